"""Addresses of what phones call."""

from django.urls import URLPattern, path

from inspections.api.photos import PhotoUploadApi, PhotoUploadCreateApi
from inspections.api.sync import VisitChangesApi, VisitManifestApi, VisitPushApi
from inspections.api.visits import VisitListApi, VisitReadApi

urlpatterns: list[URLPattern] = [
    path("v1/visits", VisitListApi.as_view(), name="api-visit-list"),
    path("v1/visits/<uuid:visit_id>", VisitReadApi.as_view(), name="api-visit-read"),
    path(
        "sync/v1/visits/<uuid:visit_id>/push",
        VisitPushApi.as_view(),
        name="api-visit-push",
    ),
    path(
        "sync/v1/visits/<uuid:visit_id>/changes",
        VisitChangesApi.as_view(),
        name="api-visit-changes",
    ),
    path(
        "sync/v1/visits/<uuid:visit_id>/manifest",
        VisitManifestApi.as_view(),
        name="api-visit-manifest",
    ),
    path(
        "sync/v1/photos/",
        PhotoUploadCreateApi.as_view(),
        name="api-photo-upload-create",
    ),
    path(
        "sync/v1/photos/<uuid:photo_id>",
        PhotoUploadApi.as_view(),
        name="api-photo-upload",
    ),
]
