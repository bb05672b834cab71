"""The firm's library: a passage is written, approved, taken out of use."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final

import msgspec
from django.db import IntegrityError, transaction

from findings.models import PassageApproval, PassageVersion, WordingChoice
from findings.selectors.rulings import kinds
from findings.selectors.shelf import choices_of, read_passage, tuning_of
from findings.wording import shaping
from findings.wording.examples import shared_examples
from findings.wording.passages import Passage, library
from findings.wording.shaping import KNOWN
from findings.wording.tuning import Tuning, may_be_off
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal

Kind: Final = PassageVersion.Kind
Origin: Final = PassageVersion.Origin
KEY: Final = re.compile(r"[a-z][a-z0-9_]*(\.[a-z0-9_]+)+")
LONGEST_KEY: Final = 80


class UnableToKeep(Refusal):
    """Somebody else wrote the passage meanwhile, or there is nothing to approve."""

    code = "unable-to-keep"


@dataclass(frozen=True, slots=True)
class Written:
    """A passage, why it is written, and the version that was on the screen."""

    passage: Passage
    reason: str
    shown: int
    origin: str = Origin.HAND


def check_passage(passage: Passage) -> None:
    """Raise BadInput at the first field that keeps a passage from being written."""
    if not KEY.fullmatch(passage.key) or len(passage.key) > LONGEST_KEY:
        raise BadInput(
            "Small letters, figures and underscores, with a period: own.loose_rail.",
            field="key",
        )
    known = {name: choices_of(name) for name in KNOWN}
    for field, said in shaping.faults(passage, known, dict(kinds())):
        raise BadInput(said, field=field)


@transaction.atomic
def write(*, actor: Actor, written: Written) -> PassageVersion:
    """Write the next version of a passage. Raises BadInput, UnableToKeep."""
    actor.require("passages.write")
    check_passage(written.passage)
    if not written.reason.strip():
        raise BadInput("Say what changed, in a few words.", field="reason")
    key = written.passage.key
    last = PassageVersion.objects.filter(firm=actor.firm, key=key).order_by("-number")
    number = last[0].number if last else 0
    moved_on = UnableToKeep(
        "Somebody else wrote this passage meanwhile. Yours is kept below; compare it "
        "with the newer one, then save again."
    )
    if written.shown != number:
        raise moved_on
    try:
        with transaction.atomic():
            row = PassageVersion.objects.create(
                firm=actor.firm,
                key=key,
                number=number + 1,
                content=as_content(written.passage, number + 1),
                reason=written.reason.strip(),
                origin=written.origin,
                author_id=actor.member_id,
            )
    except IntegrityError as error:
        raise moved_on from error
    _record(actor, "written", key, row.number)
    return row


def as_content(passage: Passage, number: int) -> dict[str, Any]:
    """Return a passage as a version holds it."""
    held: dict[str, Any] = msgspec.to_builtins(passage)
    return held | {"version": number}


@transaction.atomic
def approve(*, actor: Actor, key: str, number: int) -> PassageApproval:
    """Put one version in use; number 0 says that the starter's words were read."""
    actor.require("passages.approve")
    starter = 0
    if number == 0:
        known = library().get(key)
        if known is None:
            raise UnableToKeep("The starter library has no such passage.")
        starter = known.version
    else:
        _check_whole(_version(actor, key, number))
    marks = PassageApproval.objects.filter(firm=actor.firm, key=key)
    if marks.filter(number=number, starter=starter).exists():
        raise UnableToKeep("This version was approved already.")
    if marks.filter(number__gt=number).exists():
        raise UnableToKeep("A newer version is approved. Write this one anew instead.")
    row = PassageApproval.objects.create(
        firm=actor.firm,
        key=key,
        number=number,
        starter=starter,
        approved_by_id=actor.member_id,
    )
    _record(actor, "approved", key, number)
    return row


@transaction.atomic
def approve_waiting(*, actor: Actor) -> tuple[int, int]:
    """Approve what waits, is whole and has no remark; return (approved, left)."""
    actor.require("passages.approve")
    tuning, shared = tuning_of(actor), shared_examples()
    waiting = waiting_versions(actor)
    good = [
        row
        for row in waiting
        if not shaping.wanting(passage := read_passage(row.content))
        and not shaping.remarks(passage, shared, tuning)
    ]
    PassageApproval.objects.bulk_create(
        PassageApproval(
            firm=actor.firm,
            key=row.key,
            number=row.number,
            approved_by_id=actor.member_id,
        )
        for row in good
    )
    keys = [row.key for row in good]
    audit.record(
        actor=actor,
        event="passage.approved_many",
        subject=f"firm:{actor.firm.pk}",
        detail={"passages": keys},
    )
    return len(good), len(waiting) - len(good)


def waiting_versions(actor: Actor) -> list[PassageVersion]:
    """Return the newest version of each key where it is not approved yet."""
    rows = PassageVersion.objects.filter(firm=actor.firm).order_by("key", "number")
    newest = {row.key: row for row in rows}
    approved = set(
        PassageApproval.objects.filter(firm=actor.firm).values_list("key", "number")
    )
    return [row for row in newest.values() if (row.key, row.number) not in approved]


@transaction.atomic
def retire(*, actor: Actor, key: str, reason: str, shown: int) -> PassageVersion:
    """Take a passage out of use; what was drafted from it stays as it is."""
    actor.require("passages.approve")
    rows = PassageVersion.objects.filter(firm=actor.firm, key=key).order_by("-number")
    last = rows.first()
    number = last.number if last else 0
    if number != shown:
        raise UnableToKeep("This passage changed meanwhile. Look again, then decide.")
    if last is not None and last.kind == Kind.RETIRED:
        raise UnableToKeep("It is out of use already.")
    if not reason.strip():
        raise BadInput("Say why, in a few words.", field="reason")
    starter = library().get(key)
    content = last.content if last else as_content(starter, 0) if starter else {}
    row = PassageVersion.objects.create(
        firm=actor.firm,
        key=key,
        number=number + 1,
        kind=Kind.RETIRED,
        content=content,
        reason=reason.strip(),
        author_id=actor.member_id,
    )
    PassageApproval.objects.create(
        firm=actor.firm, key=key, number=row.number, approved_by_id=actor.member_id
    )
    _record(actor, "retired", key, row.number)
    return row


@transaction.atomic
def tune(*, actor: Actor, tuning: Tuning, shown: int) -> WordingChoice:
    """Choose how the firm's words are checked; findings keep the words they have."""
    actor.require("words.tune")
    last = WordingChoice.objects.filter(firm=actor.firm).order_by("-number").first()
    number = last.number if last else 0
    if number != shown:
        raise UnableToKeep("Somebody else chose meanwhile. Look again, then choose.")
    if refused := tuning.off - may_be_off():
        raise BadInput(f"This check always runs: {min(refused)}.", field="off")
    row = WordingChoice.objects.create(
        firm=actor.firm,
        number=number + 1,
        off=sorted(tuning.off),
        grade=tuning.grade,
        longest_sentence=tuning.longest_sentence,
        own_words=sorted(tuning.own_words),
        metric=tuning.metric,
        author_id=actor.member_id,
    )
    audit.record(
        actor=actor,
        event="words.tuned",
        subject=f"firm:{actor.firm.pk}",
        detail={"number": row.number, "off": row.off, "grade": str(row.grade)},
    )
    return row


def _version(actor: Actor, key: str, number: int) -> PassageVersion:
    rows = PassageVersion.objects.filter(firm=actor.firm, key=key, number=number)
    found: PassageVersion | None = rows.first()
    if found is None:
        raise UnableToKeep("There is no such version.")
    return found


def _check_whole(row: PassageVersion) -> None:
    if missing := shaping.wanting(read_passage(row.content)):
        raise UnableToKeep(f"Write {' and '.join(missing)} before it is approved.")


def _record(actor: Actor, what: str, key: str, number: int) -> None:
    audit.record(
        actor=actor,
        event=f"passage.{what}",
        subject=f"passage:{key}",
        detail={"number": number},
    )
