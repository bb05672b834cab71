"""Water off, snow on the roof, a locked room: how many taps until nothing is open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from findings.standards.ledger import Ledger, Row, index_findings, ledger
from findings.standards.loader import pack
from inspections.models import Visit
from inspections.selectors.folded import folded
from inspections.services import log
from reports.demo import script
from tests.support.cast import Cast
from tests.support.field import hidden, url
from tests.support.visits import make_visit, mutation

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

START = datetime(2026, 11, 24, 14, 0, tzinfo=UTC)
MOST = 20
NC = pack("NC")
BLOCKED = ("NC-PL", "NC-RO")  # what hangs on water, and on the roof


@dataclass
class Hand:
    """A thumb on the real pages that counts what it presses."""

    client: Client
    taps: int = 0

    def gap(self, visit: Visit, stop: str, reason: str, **more: Any) -> None:
        """Open a stop, say what could not be looked at there and why, and save."""
        self.client.get(url("stop-read", visit, stop))
        address = url("limit-write", visit, stop)
        page = self.client.get(address)
        ticked = page.context["form"].initial["reach"]
        sent = {"reason": reason, "reach": ticked} | more
        changed = set(sent["reach"]) ^ set(ticked)
        answer = self.client.post(address, hidden(page) | sent)
        assert answer.status_code == 302, answer.context["form"].errors
        # The stop, its "could not look", the reason, each tick, a return visit, save.
        self.taps += 3 + len(changed) + ("return_visit" in more) + 1


def told() -> Iterator[Any]:
    """Yield what was recorded, less all that water, snow and the lock prevented."""
    whole = script.write(
        run="gaps", visit=VISIT_ID, starts_at=START, zone="America/New_York"
    )
    records = whole.folded()
    shut = {k for k, one in records.items() if is_shut(one)}
    lost = {
        key
        for key, one in records.items()
        if one.get("stop") in shut or str(one.get("duty")).startswith(BLOCKED)
    }
    for one in whole.mutations():
        closing = one.rec in shut and one.field.startswith("closed")
        if one.rec not in lost and not closing:
            yield one


def is_shut(record: dict[str, Any]) -> bool:
    return record["kind"] == "stop" and (
        record.get("stop_kind") == "roof" or record.get("name") == "Dining room"
    )


VISIT_ID = uuid4()


@pytest.fixture
def visit(cast: Cast) -> Visit:
    made = make_visit(cast.ines, starts=START)
    last: dict[tuple[str, str], str] = {}
    rows = []
    for seq, one in enumerate(told(), 1):
        rec = str(made.pk) if one.rec == str(VISIT_ID) else one.rec
        place, id_ = (rec, one.field), str(uuid4())
        seen = [last[place]] if place in last else []
        at = one.at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        rows.append(
            mutation(seq, one.field, one.value, rec=rec, id=id_, seen=seen, at=at)
        )
        last[place] = id_
    log.push(
        actor=cast.ines.actor,
        visit_id=made.pk,
        device=uuid4(),
        client="test",
        now=START,
        mutations=rows,
        received_at=START,
    )
    return made


def stands(cast: Cast, visit: Visit) -> Ledger:
    records, _ = folded(cast.ines.actor, visit)
    by_hand = [
        {"id": key, **one}
        for key, one in records.items()
        if one["kind"] == "hand_finding"
    ]
    by_rule = [
        {"id": "boxes", "rule": "elec.box.covers"},
        {"id": "opening", "rule": "elec.panel.openings"},
    ]
    return ledger(NC, records, index_findings(NC, [*by_hand, *by_rule]))


def stop_named(cast: Cast, visit: Visit, name: str) -> str:
    records, _ = folded(cast.ines.actor, visit)
    return next(
        key
        for key, one in records.items()
        if one["kind"] == "stop" and one.get("name") == name
    )


def test_three_gaps_close_everything_in_twenty_taps(
    cast: Cast, visit: Visit, capsys: pytest.CaptureFixture[str]
) -> None:
    hand = Hand(cast.ines.client())
    before = stands(cast, visit).open()

    hand.gap(
        visit,
        stop_named(cast, visit, "Laundry"),
        "utility_off",
        reach=["system:plumbing"],
        return_visit="on",
    )
    hand.gap(visit, stop_named(cast, visit, "Roof"), "snow", return_visit="on")
    hand.gap(visit, stop_named(cast, visit, "Dining room"), "locked")

    after = stands(cast, visit)
    with capsys.disabled():
        print(f"\nthree gaps: {len(before)} open lines closed in {hand.taps} taps")  # noqa: T201
    assert len(before) > MOST
    assert after.open() == ()
    assert hand.taps <= MOST
    records, _ = folded(cast.ines.actor, visit)
    limits = [one for one in records.values() if one["kind"] == "limit"]
    # Water and snow pass: both are offered a return visit, the locked room is not.
    assert sum(one.get("return_visit") is True for one in limits) >= 2
    gaps = [row for row in after.rows if row.state == "not_inspected"]
    assert all(row.text for row in gaps)
    assert reasons(gaps) >= {"a utility was off", "snow lay on it", "it was locked"}


def reasons(rows: list[Row]) -> set[str]:
    """Give the reasons that the rows tell, in the pack's words."""
    known = ("a utility was off", "snow lay on it", "it was locked")
    return {one for row in rows for one in known if one in row.text.lower()}
