"""The firm checks a state's standard line by line, and switches it on or off."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.db import transaction

from findings.models import DutyCheck, NoticeText
from findings.selectors import standards as standing
from findings.standards.due import delivery_words
from findings.standards.schema import Pack
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.models import Licence, Membership, StandardInForce


class UnableToSwitchOn(Refusal):
    """The standard has lines that nobody has checked, or is on already."""

    code = "unable-to-switch-on"


class NotALicensedReader(Refusal):
    """Only somebody licensed in the state may say what its rule says."""

    code = "not-a-licensed-reader"
    status = 403


@transaction.atomic
def check_lines(
    *, actor: Actor, pack: Pack, lines: Iterable[str], note: str, today: date
) -> int:
    """Record that the firm's licensed reader has read lines in the official text.

    Returns how many were new. Raises NotALicensedReader, or BadInput for a line that
    the standard does not have.
    """
    _require_reader(actor, pack, today)
    known = {*pack.lines(), standing.whole(pack)}
    wanted = list(dict.fromkeys(lines))
    if not wanted:
        raise BadInput("Tick at least one line that you have read.", field="lines")
    if any(line not in known for line in wanted):
        raise BadInput("One of these lines is not in the standard.", field="lines")
    made = 0
    for line in wanted:
        _, new = DutyCheck.objects.get_or_create(
            firm=actor.firm,
            what=line,
            defaults={
                "checked_by_id": actor.member_id,
                "checked_on": today,
                "note": note.strip(),
            },
        )
        made += new
    audit.record(
        actor=actor,
        event="standard.checked",
        subject=f"standard:{pack.pack}",
        detail={"lines": wanted, "note": note.strip()},
    )
    return made


def _require_reader(actor: Actor, pack: Pack, today: date) -> None:
    actor.require("standards.check")
    licensed = Licence.objects.filter(
        firm=actor.firm,
        membership_id=actor.member_id,
        state=pack.state,
        valid_from__lte=today,
        expires_on__gte=today,
    ).exists()
    if not licensed:
        raise NotALicensedReader(
            f"Lines are checked by somebody who holds a {pack.name} license that is "
            "valid today, against the official text."
        )


@transaction.atomic
def enter_notice(
    *, actor: Actor, pack: Pack, slot: str, text: str, source: str, today: date
) -> NoticeText:
    """Enter the words that law fixes, from the official text, as a new version."""
    _require_reader(actor, pack, today)
    if slot not in {one.id for one in pack.notices}:
        raise BadInput("The standard has no such notice.", field="slot")
    if not text.strip():
        raise BadInput("Copy the notice from the official text.", field="text")
    if not source.strip():
        raise BadInput("Say where the text was read, and when.", field="source")
    newest = (
        NoticeText.objects.select_for_update()
        .filter(firm=actor.firm, pack=pack.pack, slot=slot)
        .order_by("-version")
        .first()
    )
    row = NoticeText.objects.create(
        firm=actor.firm,
        pack=pack.pack,
        slot=slot,
        version=newest.version + 1 if newest else 1,
        text=text.strip(),
        source=source.strip(),
        entered_by_id=actor.member_id,
    )
    audit.record(
        actor=actor,
        event="notice.entered",
        subject=f"standard:{pack.pack}",
        detail={"slot": slot, "version": row.version},
    )
    return row


@transaction.atomic
def switch_on(
    *, actor: Actor, pack: Pack, keeper: Membership, now: datetime, today: date
) -> StandardInForce:
    """Put a state's standard in force. Raises UnableToSwitchOn, naming what lacks."""
    actor.require("standards.decide")
    if standing.in_force(actor, pack.pack):
        raise UnableToSwitchOn(f"The standard of {pack.name} is on already.")
    lacking = standing.missing(actor, pack, today)
    if lacking:
        raise UnableToSwitchOn(
            f"The standard of {pack.name} cannot be switched on yet.",
            details=[one.text for one in lacking],
        )
    read = DutyCheck.objects.get(firm=actor.firm, what=standing.whole(pack))
    row = StandardInForce.objects.create(
        firm=actor.firm,
        pack=pack.pack,
        version=pack.version,
        keeper=keeper,
        checked_by=read.checked_by,
        checked_on=read.checked_on,
        on_at=now,
        said=said_of(pack),
    )
    audit.record(
        actor=actor,
        event="standard.on",
        subject=f"standard:{pack.pack}",
        detail={"version": pack.version, "keeper": str(keeper.pk)},
    )
    return row


def said_of(pack: Pack) -> dict[str, str]:
    """Return what bookings and agreements say of a standard, in words."""
    return {
        "name": pack.name,
        "standards": pack.authority,
        "due": delivery_words(pack),
    }


@transaction.atomic
def switch_off(*, actor: Actor, pack: Pack, because: str, now: datetime) -> None:
    """Take a standard out of force for new bookings; visits booked keep theirs."""
    actor.require("standards.decide")
    if not because.strip():
        raise BadInput("Say why it is switched off.", field="because")
    changed = StandardInForce.objects.filter(
        firm=actor.firm, pack=pack.pack, off_at__isnull=True
    ).update(off_at=now, off_because=because.strip())
    if changed:
        audit.record(
            actor=actor,
            event="standard.off",
            subject=f"standard:{pack.pack}",
            detail={"because": because.strip()},
        )
