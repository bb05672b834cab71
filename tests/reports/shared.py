"""A released report with a door to it, as the tests of readers need it."""

from __future__ import annotations

import re
from typing import Any

from django.core import mail
from django.test import Client

from firm import jobs
from inspections.models import Contact, Party
from reports.services import consents, releases, share_links
from tests.support.cast import Cast
from tests.support.walked import NOW, Walk, walk

UPKEEP = {
    "system": "electrical",
    "item": "main_panel",
    "line": "The label inside the door is faded and hard to read.",
    "consequence": "upkeep",
    "timing": "first_year",
    "trade": "handy_owner",
}
SECRET = re.compile(r"/r/([\w-]{43})")


def released_report(cast: Cast, *, number: str = "R-2026-0001", **more: Any) -> Walk:
    """Release a visit with a finding from a rule, and one beside the front page."""
    walked = walk(cast, number=number, **more)
    walked.clients("Dana Whitlow")
    Contact.objects.filter(name="Dana Whitlow").update(email="dana@example.net")
    walked.picture("ph-13", stop="s-svc", about="sp-13", use="shows_it")
    walked.record(**{"hf-up": {"kind": "hand_finding", "stop": "s-svc", **UPKEEP}})
    walked.picture("ph-up", stop="s-svc", about="hf-up", use="shows_it")
    walked.decide("use")
    walked.finish()
    releases.release(actor=cast.reviewer.actor, visit=walked.visit, now=NOW)
    jobs.run_next(firm_id=str(cast.northside.pk), queue="reports")
    return walked


def work_off(walked: Walk) -> None:
    """Let the worker do what waits."""
    while jobs.run_next(firm_id=str(walked.cast.northside.pk), queue="other"):
        pass


def client_party(walked: Walk) -> Party:
    return Party.objects.get(visit=walked.visit, part="CLIENT")


def door(walked: Walk, party: Party | None = None, code: str = "") -> tuple[Any, str]:
    """Return a link and its token, handed over by the office."""
    return share_links.show_link(
        actor=walked.cast.scheduler.actor,
        visit=walked.visit,
        party=party or client_party(walked),
        now=NOW,
        code=code,
    )


def reader(token: str) -> Client:
    """Somebody who has opened the link."""
    person = Client()
    assert person.post(f"/r/{token}").status_code == 302
    return person


def status(person: Client, path: str) -> int:
    """Ask, and read what is on its way to its end."""
    answer = person.get(path)
    if answer.streaming:
        answer.getvalue()
    return int(answer.status_code)


def agent(walked: Walk, scope: str = "FULL") -> Party:
    """An agent whom the client lets in."""
    firm = walked.cast.northside
    contact = Contact.objects.create(
        firm=firm, name="Ann Agent", email="ann@example.org"
    )
    party = Party.objects.create(
        firm=firm, visit=walked.visit, contact=contact, part="AGENT"
    )
    consents.consent(
        actor=walked.cast.scheduler.actor,
        visit=walked.visit,
        given_by=client_party(walked).contact,
        for_contact=contact,
        scope=scope,
        how="in writing",
        now=NOW,
    )
    return party


def mailed_token() -> str:
    found = SECRET.search(str(mail.outbox[-1].body))
    assert found, mail.outbox[-1].body
    return found.group(1)
