"""Addresses of findings: the walk through a house, the review, the signature."""

from django.urls import URLPattern, URLResolver

# Every address below f/<firm_slug>/visits/<visit_id>/walk/
WALK: list[URLPattern | URLResolver] = []

# Every address of the review and the signature.
REVIEW: list[URLPattern | URLResolver] = []

urlpatterns = [*WALK, *REVIEW]
