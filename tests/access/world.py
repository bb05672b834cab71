"""A released visit of Northside, with an id for every address."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

from django.test import Client
from django.urls import URLPattern, URLResolver

from findings.models import PassageImport, ReviewNote, SubstanceChange
from findings.services import turns
from firm import jobs
from inspections.models import Contact, Hold, Interest
from reports.models import Consent, Question, Release, ShareLink
from reports.rendering import notice_schema
from reports.services import releases, share_links, urgent
from tests.support.cast import Cast
from tests.support.walked import NOW, Walk, walk

PEOPLE = (
    "owner",
    "scheduler",
    "reviewer",
    "ines",
    "omar",
    "trainee",
    "stranger",
    "nobody",
)


def released_walk(cast: Cast) -> Walk:
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    walked.picture("ph-13", stop="s-svc", about="sp-13", use="shows_it")
    walked.decide("use")
    walked.finish()
    releases.release(actor=cast.reviewer.actor, visit=walked.visit, now=NOW)
    jobs.run_next(firm_id=str(cast.northside.pk), queue="reports")
    return walked


def ids_of(walked: Walk) -> dict[str, Any]:
    """Return what each part of an address stands for, all of Northside."""
    return _made(walked) | {
        "firm_slug": "northside",
        "visit_id": walked.visit.pk,
        "release_id": Release.objects.get().pk,
        "photo_id": walked.id("ph-13"),
        "stop_id": walked.id("s-svc"),
        "enclosure_id": walked.id("e-main"),
        "rec": walked.id("sp-13"),
        "key": "service_drop",
        "rule": "elec.ocpd.small_conductor",
        "passage": "house.rail.loose",
        "form": "csv",
        "contact_id": Contact.objects.all()[0].pk,
        "size": "thumb",
        "number": 13,
        "item": "service_drop",
        "token": "x" * 43,
        "rest": f"v/{walked.visit.pk}",
    }


def _made(walked: Walk) -> dict[str, Any]:
    """Write the rows that only an address of their own needs."""
    cast, finding = walked.cast, walked.findings()[0]
    note = ReviewNote.objects.create(
        firm=cast.northside,
        visit=walked.visit,
        about="visit",
        text="Is the photo sharp?",
        author=cast.reviewer.member,
    )
    change = SubstanceChange.objects.create(
        firm=cast.northside,
        finding=finding,
        field="timing",
        before="today",
        after="watch",
        reason="as agreed",
        author=cast.reviewer.member,
    )
    link, _ = share_links.show_link(
        actor=cast.scheduler.actor,
        visit=walked.visit,
        party=walked.visit.parties.get(part="CLIENT"),
        now=NOW,
    )
    return {
        **_asked(walked),
        **_reviewed(walked),
        **_read(walked, link),
        "finding_id": finding.pk,
        "note_id": note.pk,
        "change_id": change.pk,
        "link_id": link.pk,
    }


def _reviewed(walked: Walk) -> dict[str, Any]:
    """Cover for a reviewer, and freeze an urgent notice that shows a picture."""
    cast = walked.cast
    away = turns.Away(
        away=cast.reviewer.member,
        by=cast.owner.member,
        first_day=NOW.date(),
        last_day=NOW.date() + timedelta(days=3),
        because="at a course",
    )
    cover = turns.cover(actor=cast.owner.actor, away=away, now=NOW)
    walked.record(
        hazard={"kind": "hazard", "stop": "s-svc", "what": "A shock.", "told": "Dana"}
    )
    walked.picture("shock", stop="s-svc", about="hazard", use="shows_it")
    notice = urgent.freeze(
        actor=cast.ines.actor,
        visit=walked.visit,
        record=UUID(walked.id("hazard")),
        now=NOW,
    )
    jobs.run_next(firm_id=str(cast.northside.pk), queue="reports")
    shown = notice_schema.from_bytes(bytes(notice.contents)).photos[0]
    return {
        "cover_id": cover.pk,
        "notice_id": notice.pk,
        "picture": shown.renditions.large.sha256,
    }


def _read(walked: Walk, link: ShareLink) -> dict[str, Any]:
    """Write what a reader of the report writes."""
    firm, client = walked.cast.northside, link.contact
    question = Question.objects.create(
        firm=firm, visit=walked.visit, contact=client, issue=1, asked_at=NOW
    )
    consent = Consent.objects.create(
        firm=firm,
        visit=walked.visit,
        given_by=client,
        for_contact=client,
        scope="FULL",
        wording="I agree.",
        wording_version="2",
        given_at=NOW,
        how="in writing",
    )
    return {
        "question_id": question.pk,
        "consent_id": consent.pk,
        "trade_key": "electrician",
        "page": "list",
        "sha256": "0" * 64,
        "item_id": uuid4(),
    }


def _asked(walked: Walk) -> dict[str, Any]:
    """Write what the office records for a state's rules."""
    cast = walked.cast
    interest = Interest.objects.create(
        firm=cast.northside,
        visit=walked.visit,
        kind=Interest.Kind.TIE,
        text="Our owner and the seller are cousins.",
        recorded_by=cast.scheduler.member,
        recorded_at=NOW,
    )
    hold = Hold.objects.create(
        firm=cast.northside,
        visit=walked.visit,
        because="A letter about the roof",
        placed_by=cast.owner.member,
        placed_at=NOW,
    )
    brought = PassageImport.objects.create(
        firm=cast.northside,
        name="ours.csv",
        sha256="0" * 64,
        header=["Title", "Seen"],
        rows=[[2, ["Loose rail", "The rail is loose."]]],
        brought_by=cast.owner.member,
    )
    return {
        "brought_id": brought.pk,
        "code": "NC",
        "interest_id": interest.pk,
        "hold_id": hold.pk,
    }


def client_of(cast: Cast, person: str) -> Client:
    return Client() if person == "nobody" else getattr(cast, person).client()


def url_patterns(resolver: Any) -> Iterator[URLPattern]:
    """Every named address of ours; the operator's pages have a test of their own."""
    for found in resolver.url_patterns:
        if isinstance(found, URLPattern):
            yield found
        elif isinstance(found, URLResolver) and found.namespace != "admin":
            yield from url_patterns(found)
