"""Addresses of findings: the walk through a house, the review, the signature."""

from django.urls import URLPattern, URLResolver, include, path

from findings.views import (
    asks,
    bringing,
    finding,
    passages,
    review,
    review_office,
    rules,
    side_by_side,
    signing,
    standards,
    wording,
)
from findings.views.field import (
    day,
    entries,
    panel,
    photos,
    proposals,
    receptacles,
    stop,
    visit,
)

FIRM = "f/<slug:firm_slug>/"
VISIT = FIRM + "visits/<uuid:visit_id>/"
ON_SITE = VISIT + "walk/"
STOP = ON_SITE + "stops/<uuid:stop_id>/"
PANEL = ON_SITE + "panels/<uuid:enclosure_id>/"
FINDING = FIRM + "findings/<uuid:finding_id>/"

# Every address of the walk: the day, the visit by stop, and photos as they are served.
WALK: list[URLPattern | URLResolver] = [
    path(FIRM + "day/", day.my_day, name="my-day"),
    path(ON_SITE, visit.visit_read, name="visit-read"),
    path(ON_SITE + "start/", visit.visit_start, name="visit-start"),
    path(ON_SITE + "leave/", visit.visit_leave, name="visit-leave"),
    path(ON_SITE + "hand-in/", visit.visit_hand_in, name="visit-hand-in"),
    path(ON_SITE + "decide/", proposals.proposal_decide, name="proposal-decide"),
    path(ON_SITE + "entries/<uuid:rec>/", entries.entry_write, name="entry-write"),
    path(STOP, stop.stop_read, name="stop-read"),
    path(STOP + "leave/", stop.stop_leave, name="stop-leave"),
    path(STOP + "close/", stop.stop_close, name="stop-close"),
    path(STOP + "photos/", photos.photo_add, name="photo-add"),
    path(STOP + "items/<str:key>/", entries.item_write, name="item-write"),
    path(STOP + "hazard/", entries.hazard_write, name="hazard-write"),
    path(STOP + "limit/", entries.limit_write, name="limit-write"),
    path(STOP + "note/", entries.stop_note, name="stop-note"),
    path(STOP + "receptacles/", receptacles.receptacle_walk, name="receptacle-walk"),
    path(
        STOP + "receptacles/<uuid:rec>/",
        receptacles.receptacle_write,
        name="receptacle-write",
    ),
    path(PANEL, panel.panel_map, name="panel-map"),
    path(PANEL + "done/", panel.panel_done, name="panel-done"),
    path(PANEL + "paint/", panel.space_paint, name="space-paint"),
    path(PANEL + "facts/", panel.enclosure_write, name="enclosure-write"),
    path(PANEL + "spaces/<int:number>/", panel.space_write, name="space-write"),
    path(
        FIRM + "photos/<uuid:photo_id>/<slug:size>",
        photos.photo_read,
        name="photo-read",
    ),
]

# Every address of the review and the signature.
REVIEW: list[URLPattern | URLResolver] = [
    path(FIRM + "review/", review.review_list, name="review-list"),
    path(FIRM + "review/how/", review_office.review_how, name="review-how"),
    path(FIRM + "review/policy/", review_office.review_policy, name="review-policy"),
    path(FIRM + "review/cover/", review_office.cover_set, name="cover-set"),
    path(
        FIRM + "covers/<uuid:cover_id>/end/", review_office.cover_end, name="cover-end"
    ),
    path(VISIT + "review/", review.review_read, name="review-read"),
    path(VISIT + "review/turn/", review_office.turn_give, name="turn-give"),
    path(VISIT + "review/beat/", review_office.review_beat, name="review-beat"),
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
    path(VISIT + "stand-in/", signing.visit_stand_in, name="visit-stand-in"),
    path(
        FIRM + "changes/<uuid:change_id>/answer/",
        signing.change_answer,
        name="change-answer",
    ),
]

# What a state asks: its standard as the firm checked it, and one visit's part of it.
STANDARD = FIRM + "standards/<str:code>/"
STANDARDS: list[URLPattern | URLResolver] = [
    path(FIRM + "standards/", standards.standard_list, name="standard-list"),
    path(STANDARD, standards.standard_read, name="standard-read"),
    path(STANDARD + "check/", standards.standard_check, name="standard-check"),
    path(STANDARD + "notice/", standards.standard_notice, name="standard-notice"),
    path(STANDARD + "on/", standards.standard_on, name="standard-on"),
    path(STANDARD + "off/", standards.standard_off, name="standard-off"),
    path(VISIT + "asks/", asks.visit_asks, name="visit-asks"),
    path(VISIT + "states/", side_by_side.visit_states, name="visit-states"),
    path(VISIT + "asks/interests/", asks.interest_add, name="interest-add"),
    path(VISIT + "asks/payment/", asks.payment_add, name="payment-add"),
    path(VISIT + "asks/hold/", asks.hold_place, name="hold-place"),
    path(
        FIRM + "interests/<uuid:interest_id>/told/",
        asks.interest_told,
        name="interest-told",
    ),
    path(FIRM + "holds/<uuid:hold_id>/end/", asks.hold_end, name="hold-end"),
]

# The rules book: read by those who record and review, decided by the owner.
RULE = FIRM + "rules/<str:rule>/"
RULES: list[URLPattern | URLResolver] = [
    path(FIRM + "rules/", rules.rule_list, name="rule-list"),
    path(FIRM + "rules/own/", rules.rule_own, name="rule-own"),
    path(RULE, rules.rule_read, name="rule-read"),
    path(RULE + "tick/", rules.rule_tick, name="rule-tick"),
    path(RULE + "switch/", rules.rule_switch, name="rule-switch"),
    path(RULE + "level/", rules.rule_level, name="rule-level"),
    path(RULE + "write/", rules.rule_write, name="rule-write"),
]

# The firm's library, what is brought into it, and how words are checked.
PASSAGE = FIRM + "passages/<str:passage>/"
BROUGHT = FIRM + "passages/bring/<uuid:brought_id>/"
LIBRARY: list[URLPattern | URLResolver] = [
    path(FIRM + "passages/", passages.passage_list, name="passage-list"),
    path(FIRM + "passages/new/", passages.passage_new, name="passage-new"),
    path(FIRM + "passages/remarks/", wording.passage_remarks, name="passage-remarks"),
    path(
        FIRM + "passages/approve/",
        passages.passage_approve_waiting,
        name="passage-approve-waiting",
    ),
    path(
        FIRM + "passages/export/<slug:form>/",
        bringing.passage_export,
        name="passage-export",
    ),
    path(FIRM + "passages/bring/", bringing.passage_bring, name="passage-bring"),
    path(BROUGHT, bringing.import_read, name="import-read"),
    path(BROUGHT + "mend/", bringing.import_mend, name="import-mend"),
    path(BROUGHT + "take/", bringing.import_take, name="import-take"),
    path(BROUGHT + "leave/", bringing.import_leave, name="import-leave"),
    path(PASSAGE, passages.passage_read, name="passage-read"),
    path(PASSAGE + "write/", passages.passage_write, name="passage-write"),
    path(PASSAGE + "approve/", passages.passage_approve, name="passage-approve"),
    path(PASSAGE + "retire/", passages.passage_retire, name="passage-retire"),
    path(FIRM + "wording/", wording.wording_checks, name="wording-checks"),
    path(FINDING + "remarks/", wording.finding_remarks, name="finding-remarks"),
]

# What phones and programs call.
API: list[URLPattern | URLResolver] = [
    path("api/", include("findings.api.urls")),
]

urlpatterns = [*API, *WALK, *REVIEW, *STANDARDS, *RULES, *LIBRARY]
