"""Addresses of findings: the walk through a house, the review, the signature."""

from django.urls import URLPattern, URLResolver, include, path

from findings.views import finding, review, signing

FIRM = "f/<slug:firm_slug>/"
VISIT = FIRM + "visits/<uuid:visit_id>/"
FINDING = FIRM + "findings/<uuid:finding_id>/"

# Every address below f/<firm_slug>/visits/<visit_id>/walk/
WALK: list[URLPattern | URLResolver] = []

# Every address of the review and the signature.
REVIEW: list[URLPattern | URLResolver] = [
    path(FIRM + "review/", review.review_list, name="review-list"),
    path(VISIT + "review/", review.review_read, name="review-read"),
    path(VISIT + "review/finish/", review.review_finish, name="review-finish"),
    path(VISIT + "review/notes/", review.note_write, name="note-write"),
    path(FIRM + "notes/<uuid:note_id>/settle/", review.note_settle, name="note-settle"),
    path(FINDING, finding.finding_read, name="finding-read"),
    path(FINDING + "words/", finding.finding_words, name="finding-words"),
    path(FINDING + "change/", finding.finding_change, name="finding-change"),
    path(FINDING + "return/", finding.finding_return, name="finding-return"),
    path(FINDING + "hand-back/", finding.finding_hand_back, name="finding-hand-back"),
    path(FINDING + "check/", finding.finding_check, name="finding-check"),
    path(VISIT + "sign/", signing.visit_sign, name="visit-sign"),
    path(
        FIRM + "changes/<uuid:change_id>/answer/",
        signing.change_answer,
        name="change-answer",
    ),
]

# What phones and programs call.
API: list[URLPattern | URLResolver] = [
    path("api/", include("findings.api.urls")),
]

urlpatterns = [*API, *WALK, *REVIEW]
