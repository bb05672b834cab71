"""Addresses of what the rules offer."""

from django.urls import URLPattern, path

from findings.api.proposals import VisitProposalsApi

urlpatterns: list[URLPattern] = [
    path(
        "v1/visits/<uuid:visit_id>/proposals",
        VisitProposalsApi.as_view(),
        name="api-visit-proposals",
    ),
]
