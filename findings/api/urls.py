"""Addresses of what the rules offer."""

from django.urls import URLPattern, path

from findings.api.proposals import VisitProposalsApi
from findings.api.rules import RulesApi

urlpatterns: list[URLPattern] = [
    path("v1/rules", RulesApi.as_view(), name="api-rules"),
    path(
        "v1/visits/<uuid:visit_id>/proposals",
        VisitProposalsApi.as_view(),
        name="api-visit-proposals",
    ),
]
