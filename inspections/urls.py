"""Addresses of inspections: bookings, the clients' agreement, what phones call."""

from django.urls import URLPattern, URLResolver, include, path

from inspections.views import (
    agreements,
    bookings,
    companions,
    copies,
    field_client,
)

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/", include("inspections.api.urls")),
    path("f/<slug:firm_slug>/bookings/", bookings.booking_list, name="booking-list"),
    path("f/<slug:firm_slug>/bookings/new/", bookings.booking_new, name="booking-new"),
    path(
        "f/<slug:firm_slug>/bookings/<uuid:visit_id>/",
        bookings.booking_read,
        name="booking-read",
    ),
    path(
        "f/<slug:firm_slug>/bookings/<uuid:visit_id>/agreement/",
        bookings.agreement_send,
        name="agreement-send",
    ),
    path(
        "f/<slug:firm_slug>/bookings/<uuid:visit_id>/companions/",
        companions.companion_name,
        name="companion-name",
    ),
    path(
        "f/<slug:firm_slug>/bookings/<uuid:visit_id>/companions/off/",
        companions.companion_off,
        name="companion-off",
    ),
    path(
        "f/<slug:firm_slug>/visits/<uuid:visit_id>/copy/",
        copies.copy_bring_in,
        name="copy-bring-in",
    ),
    path("s/<str:token>", agreements.agreement_sign, name="agreement-sign"),
    path("field/worker.js", field_client.worker_read, name="field-worker"),
    path("field/app.webmanifest", field_client.manifest_read, name="field-manifest"),
    path("field/", field_client.shell_read, name="field"),
    path("field/<path:rest>", field_client.shell_read, name="field-screen"),
]
