"""Addresses of what the rules offer."""

from django.urls import URLPattern, path

from findings.api.previews import PhotoPreviewApi
from findings.api.proposals import VisitProposalsApi
from findings.api.rules import RulesApi
from findings.api.taken import BookApi, VisitPackageApi

urlpatterns: list[URLPattern] = [
    path("v1/rules", RulesApi.as_view(), name="api-rules"),
    path("v1/book", BookApi.as_view(), name="api-book"),
    path(
        "v1/visits/<uuid:visit_id>/package",
        VisitPackageApi.as_view(),
        name="api-visit-package",
    ),
    path(
        "sync/v1/visits/<uuid:visit_id>/photos/<uuid:photo_id>/preview",
        PhotoPreviewApi.as_view(),
        name="api-photo-preview",
    ),
    path(
        "v1/visits/<uuid:visit_id>/proposals",
        VisitProposalsApi.as_view(),
        name="api-visit-proposals",
    ),
]
