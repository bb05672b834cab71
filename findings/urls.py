"""Addresses of findings: the walk through a house, the review, the signature."""

from django.urls import URLPattern, URLResolver, include, path

# Every address below f/<firm_slug>/visits/<visit_id>/walk/
WALK: list[URLPattern | URLResolver] = []

# Every address of the review and the signature.
REVIEW: list[URLPattern | URLResolver] = []

# What phones and programs call.
API: list[URLPattern | URLResolver] = [
    path("api/", include("findings.api.urls")),
]

urlpatterns = [*API, *WALK, *REVIEW]
