"""Texas: water off, snow on the roof, a locked room, closed on the real pages."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest

from findings.standards.ledger import Ledger
from inspections.models import Visit
from inspections.selectors.folded import folded
from inspections.services import log
from tests.findings.test_pack_tx import UNSAID, found_on, stands
from tests.findings.test_pack_tx_gaps import answer_to
from tests.findings.test_taps_gaps import MOST, START, VISIT_ID, Hand, is_shut, told
from tests.support.cast import Cast
from tests.support.visits import make_visit, mutation

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

AFTER = datetime(2026, 11, 24, 20, 0, tzinfo=UTC)
NEEDS_WATER_OR_ROOF = ("TX-PL", "TX-RO")


@pytest.fixture
def visit(cast: Cast) -> Visit:
    """The demo's walk, less what was prevented, under the standard of Texas."""
    made = make_visit(cast.ines, starts=START)
    made.pack = "TX"
    made.save(update_fields=["pack"])
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
    answers = [n for n in sorted(UNSAID) if not n.startswith(NEEDS_WATER_OR_ROOF)]
    changes = [
        log.Change(rec, name, value)
        for rec, fields in ((str(uuid4()), answer_to(duty)) for duty in answers)
        for name, value in fields.items()
    ]
    log.record(actor=cast.ines.actor, visit=made, changes=changes, now=AFTER)
    return made


def now_stands(cast: Cast, visit: Visit) -> Ledger:
    records, _ = folded(cast.ines.actor, visit)
    # No pressure was read while the water was off.
    left = {
        key: dict(one)
        for key, one in records.items()
        if one.get("what") != "water_pressure_psi"
    }
    return stands(left, found_on(left))


def test_three_gaps_close_everything_in_twenty_taps(
    cast: Cast, visit: Visit, capsys: pytest.CaptureFixture[str]
) -> None:
    hand = Hand(cast.ines.client())
    before = now_stands(cast, visit).open()
    records, _ = folded(cast.ines.actor, visit)
    shut: dict[str, Any] = {
        str(one["name"]): key
        for key, one in records.items()
        if one["kind"] == "stop" and (is_shut(dict(one)) or one["name"] == "Laundry")
    }

    water = ["system:plumbing"]
    hand.gap(visit, shut["Laundry"], "utility_off", reach=water, return_visit="on")
    hand.gap(visit, shut["Roof"], "snow", return_visit="on")
    hand.gap(visit, shut["Dining room"], "locked")

    after = now_stands(cast, visit)
    with capsys.disabled():
        print(f"\nTexas: {len(before)} open lines closed in {hand.taps} taps")  # noqa: T201
    assert len(before) > MOST
    assert [line.duty for line in after.open()] == []
    assert hand.taps <= MOST
    assert all(row.text for row in after.rows if row.state == "not_inspected")
    assert {"TX-PL-003", "TX-RO-008"} <= {
        row.duty for row in after.rows if row.state == "not_inspected"
    }
