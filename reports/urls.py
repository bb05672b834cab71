"""Addresses of reports: releases for the firm, share links, verification."""

from django.urls import URLPattern, URLResolver, path, register_converter

from reports.views import files, releases, share, urgent, verify


class SizeConverter:
    """The sizes a photo is served in."""

    regex = "large|print|thumb"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


register_converter(SizeConverter, "photosize")

FIRM = "f/<slug:firm_slug>/"
VISIT = FIRM + "visits/<uuid:visit_id>/"
RELEASE = FIRM + "releases/<uuid:release_id>/"
NOTICE = FIRM + "urgent/<uuid:notice_id>/"
PHOTO = "photos/<uuid:photo_id>/<photosize:size>"

urlpatterns: list[URLPattern | URLResolver] = [
    path(FIRM + "releases/", releases.release_list, name="release-list"),
    path(VISIT + "release/", releases.release_read, name="release-read"),
    path(VISIT + "release/make/", releases.release_make, name="release-make"),
    path(VISIT + "links/", releases.share_link_make, name="share-link-make"),
    path(VISIT + "consent/", releases.consent_record, name="consent-record"),
    path(
        FIRM + "links/<uuid:link_id>/revoke/",
        releases.share_link_revoke,
        name="share-link-revoke",
    ),
    path(VISIT + "urgent/", urgent.urgent_list, name="urgent-list"),
    path(VISIT + "urgent/freeze/", urgent.urgent_freeze, name="urgent-freeze"),
    path(NOTICE, urgent.urgent_read, name="urgent-read"),
    path(NOTICE + "notice.pdf", urgent.urgent_pdf, name="urgent-pdf"),
    path(NOTICE + "photos/<slug:sha256>", urgent.urgent_photo, name="urgent-photo"),
    path(RELEASE + "retry/", releases.release_retry, name="release-retry"),
    path(RELEASE + "report/", files.release_web, name="release-web"),
    path(RELEASE + "report/gallery", files.release_gallery, name="release-gallery"),
    path(RELEASE + "report/report.pdf", files.release_pdf, name="release-pdf"),
    path(RELEASE + "report/" + PHOTO, files.release_photo, name="release-photo"),
    path("r/report/", share.report, name="share-report"),
    path("r/report/gallery", share.gallery, name="share-gallery"),
    path("r/report/report.pdf", share.pdf, name="share-pdf"),
    path("r/report/people", share.people, name="share-people"),
    path("r/report/" + PHOTO, share.photo, name="share-photo"),
    path("r/<str:token>", share.landing, name="share-open"),
    path("verify", verify.verify, name="verify"),
]
