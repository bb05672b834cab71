"""Addresses of reports: releases for the firm, share links, verification."""

from django.urls import URLPattern, URLResolver, path, register_converter

from reports.views import (
    beside,
    evidence,
    files,
    recheck,
    releases,
    share,
    share_cuts,
    share_people,
    share_questions,
    urgent,
    verify,
)


class SizeConverter:
    """The sizes a photo is served in."""

    regex = "large|print|thumb"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


class ReaderPageConverter(SizeConverter):
    """Pages that only a reader has; the firm's own page stands in for them."""

    regex = "list|questions|people"


class DigestConverter(SizeConverter):
    """A SHA-256 in hexadecimal figures."""

    regex = "[0-9a-f]{64}"


register_converter(SizeConverter, "photosize")
register_converter(ReaderPageConverter, "readerpage")
register_converter(DigestConverter, "digest")

FIRM = "f/<slug:firm_slug>/"
VISIT = FIRM + "visits/<uuid:visit_id>/"
RELEASE = FIRM + "releases/<uuid:release_id>/"
NOTICE = FIRM + "urgent/<uuid:notice_id>/"
PHOTO = "photos/<uuid:photo_id>/<photosize:size>"

urlpatterns: list[URLPattern | URLResolver] = [
    path(FIRM + "releases/", releases.release_list, name="release-list"),
    path(VISIT + "release/", releases.release_read, name="release-read"),
    path(VISIT + "release/make/", releases.release_make, name="release-make"),
    path(
        VISIT + "release/evidence/", evidence.release_evidence, name="release-evidence"
    ),
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
    path(NOTICE + "photos/<slug:picture>", urgent.urgent_photo, name="urgent-photo"),
    path(RELEASE + "retry/", releases.release_retry, name="release-retry"),
    path(RELEASE + "report/", files.release_web, name="release-web"),
    path(RELEASE + "report/gallery", files.release_gallery, name="release-gallery"),
    path(RELEASE + "report/report.pdf", files.release_pdf, name="release-pdf"),
    path(RELEASE + "report/" + PHOTO, files.release_photo, name="release-photo"),
    path(RELEASE + "report/photos.zip", files.release_zip, name="release-zip"),
    path(
        RELEASE + "report/trade/<slug:trade_key>.pdf",
        files.release_trade,
        name="release-trade",
    ),
    path(
        RELEASE + "report/papers/<digest:sha256>",
        files.release_paper,
        name="release-paper",
    ),
    path(
        RELEASE + "report/<readerpage:page>",
        files.release_reader_page,
        name="release-reader-page",
    ),
    path(RELEASE + "take-back/", beside.take_back, name="release-take-back"),
    path(VISIT + "override/", beside.override, name="override-record"),
    path(VISIT + "questions/", beside.question_list, name="question-list"),
    path(
        FIRM + "questions/<uuid:question_id>/answer/",
        beside.question_answer,
        name="question-answer",
    ),
    path(VISIT + "papers/", beside.papers, name="paper-list"),
    path(VISIT + "recheck/", recheck.recheck_read, name="recheck-read"),
    path(VISIT + "recheck/begin/", recheck.recheck_begin, name="recheck-begin"),
    path(
        FIRM + "recheck-items/<uuid:item_id>/",
        recheck.recheck_look,
        name="recheck-look",
    ),
    path(VISIT + "complaints/", beside.complaints_page, name="complaint-list"),
    path("r/report/", share.report, name="share-report"),
    path("r/report/gallery", share.gallery, name="share-gallery"),
    path("r/report/report.pdf", share.pdf, name="share-pdf"),
    path("r/report/people", share_people.people, name="share-people"),
    path(
        "r/report/people/<uuid:consent_id>/withdraw",
        share_people.withdraw,
        name="share-people-withdraw",
    ),
    path("r/report/photos.zip", share_cuts.photos_zip, name="share-zip"),
    path("r/report/trade/<slug:trade_key>.pdf", share_cuts.trade, name="share-trade"),
    path("r/report/papers/<digest:sha256>", share_cuts.paper, name="share-paper"),
    path("r/report/list", share_cuts.own_list, name="share-list"),
    path("r/report/list.pdf", share_cuts.list_pdf, name="share-list-pdf"),
    path("r/report/list.docx", share_cuts.list_docx, name="share-list-docx"),
    path(
        "r/report/list/<int:number>/strike",
        share_cuts.list_strike,
        name="share-list-strike",
    ),
    path("r/report/questions", share_questions.ask, name="share-questions"),
    path(
        "r/report/questions/<uuid:question_id>",
        share_questions.ask_on,
        name="share-questions-on",
    ),
    path("r/report/" + PHOTO, share.photo, name="share-photo"),
    path("r/<str:token>", share.landing, name="share-open"),
    path("r/<str:token>/new", share.renew, name="share-renew"),
    path("verify", verify.verify, name="verify"),
    path("verify/root.pem", verify.root, name="verify-root"),
]
