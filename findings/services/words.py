"""Changing a finding's words, and changes of substance that wait for a yes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from django.db import transaction
from django.utils import timezone

from findings.models import Finding, Revision, SignOff, SubstanceChange
from findings.selectors.objections import words_of
from findings.wording import sentences
from findings.wording.words import Words
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, NotAllowed, Refusal
from inspections.models import Visit
from inspections.services import visits

SUBSTANCE = ("consequence", "timing", "trade", "places", "withdrawn")
CHOICES: dict[str, Callable[[], list[str]]] = {
    "consequence": lambda: list(sentences.levels().consequences),
    "timing": lambda: list(sentences.levels().timings),
    "trade": lambda: list(sentences.levels().trades),
    "withdrawn": lambda: ["yes"],
}
MOST = 300  # characters of what a change of substance can hold


class WordsMovedOn(Refusal):
    """Somebody changed these words in the meantime; both versions are shown."""

    code = "words-moved-on"

    def __init__(self, message: str, *, theirs: Words, version: int) -> None:
        super().__init__(message)
        self.theirs = theirs
        self.version = version


class UnableToChange(Refusal):
    """The visit or the finding is not open to this change."""

    code = "unable-to-change"


@dataclass(frozen=True, slots=True)
class Rewording:
    """New words, the version that was on the screen, and who asked for them."""

    words: Words
    version: int
    asked_by: str = Revision.AskedBy.NOBODY


@transaction.atomic
def rewrite(*, actor: Actor, finding: Finding, new: Rewording) -> Finding:
    """Write the next revision. Raises WordsMovedOn, UnableToChange, BadInput."""
    finding = locked(finding)
    _may_word(actor, finding)
    if finding.version != new.version:
        theirs = words_of(finding)
        if theirs == new.words:
            return finding  # the same words, sent twice
        raise WordsMovedOn(
            "These words were changed while you wrote. Yours are kept below; "
            "compare them with the newer ones, then save again.",
            theirs=theirs,
            version=finding.version,
        )
    if new.asked_by not in Revision.AskedBy.values:
        raise BadInput("Say who asked for the change.", field="asked_by")
    before = finding.words
    if before is not None and words_of(finding) == new.words:
        return finding
    _revise(actor, finding, new.words, new.asked_by)
    _reopened(actor, finding, "words were changed")
    finding.save()
    return finding


def _revise(actor: Actor, finding: Finding, words: Words, asked_by: str) -> None:
    before = finding.words
    finding.words = Revision.objects.create(
        firm=actor.firm,
        finding=finding,
        number=(before.number if before else 0) + 1,
        author=actor.membership,
        asked_by=asked_by,
        seen=words.seen,
        matters=words.matters,
        action=words.action,
        when=words.when,
    )
    audit.record(
        actor=actor,
        event="words.changed",
        subject=f"finding:{finding.pk}",
        detail={"revision": finding.words.number, "asked_by": asked_by},
    )


@dataclass(frozen=True, slots=True)
class Substance:
    """Changes of substance asked for at once: only the fields that are to differ."""

    wanted: Mapping[str, str]
    reason: str
    asked_by: str = Revision.AskedBy.NOBODY


@transaction.atomic
def ask_for_changes(*, actor: Actor, finding: Finding, asked: Substance) -> int:
    """Ask for each change that differs, all or none; return how many."""
    differing = {
        field: after
        for field, after in asked.wanted.items()
        if after and after != _value(finding, field)
    }
    if not differing:
        raise BadInput("Nothing here differs from what it says already.")
    for field, after in differing.items():
        ask_for_change(
            actor=actor,
            finding=finding,
            field=field,
            after=after,
            reason=asked.reason,
            asked_by=asked.asked_by,
        )
    return len(differing)


@transaction.atomic
def ask_for_change(
    *,
    actor: Actor,
    finding: Finding,
    field: str,
    after: str,
    reason: str,
    asked_by: str,
) -> SubstanceChange:
    """Ask the inspector for a change of substance; nothing moves until the yes."""
    actor.require("words.review")
    finding = locked(finding)
    _open_visit(finding.visit)
    before = _value(finding, field) if field in SUBSTANCE else ""
    _fits(finding, field, before, after)
    if not reason.strip():
        raise BadInput("Say why, in a few words.", field="reason")
    change = SubstanceChange.objects.create(
        firm=actor.firm,
        finding=finding,
        field=field,
        before=before[:MOST],
        after=after,
        reason=reason.strip(),
        asked_by=asked_by,
        author_id=actor.member_id,
    )
    audit.record(
        actor=actor,
        event="substance.asked",
        subject=f"finding:{finding.pk}",
        detail={"field": field, "before": before, "after": after, "asked_by": asked_by},
    )
    return change


def _fits(finding: Finding, field: str, before: str, after: str) -> None:
    """Raise unless the change can be asked for."""
    if field not in SUBSTANCE:
        raise BadInput("This is not something that can be changed here.", field="field")
    if field in CHOICES and after not in CHOICES[field]():
        raise BadInput("Choose one of those listed.", field=field)
    if len(after) > MOST:
        raise BadInput(f"At most {MOST} characters fit.", field=field)
    if before == after:
        raise BadInput("That is what it says already.", field=field)
    waits = SubstanceChange.Answer.WAITING
    if SubstanceChange.objects.filter(
        finding=finding, field=field, answer=waits
    ).exists():
        raise UnableToChange(
            "A change of this waits for the inspector already.", field=field
        )


@transaction.atomic
def answer_change(*, actor: Actor, change: SubstanceChange, yes: bool) -> None:
    """Accept or refuse as the inspector; only then the finding changes."""
    finding = locked(change.finding)
    change = SubstanceChange.objects.select_for_update().get(pk=change.pk)
    if finding.visit.inspector_id != actor.member_id:
        raise NotAllowed("The inspector of the visit answers this.")
    _open_visit(finding.visit)
    if change.answer != SubstanceChange.Answer.WAITING:
        raise UnableToChange("This was answered already.")
    change.answer = SubstanceChange.Answer.YES if yes else SubstanceChange.Answer.NO
    change.answered_at = timezone.now()
    change.save(update_fields=["answer", "answered_at"])
    if yes:
        _apply(finding, change.field, change.after)
        _say_how_soon(actor, finding, change)
        _reopened(actor, finding, f"{change.field} was changed")
        finding.save()
    audit.record(
        actor=actor,
        event="substance.accepted" if yes else "substance.refused",
        subject=f"finding:{finding.pk}",
        detail={"field": change.field, "after": change.after},
    )


def undo_signature(actor: Actor, visit: Visit, because: str) -> None:
    """Take back standing sign-offs after hand-in; the rows stay."""
    rows = SignOff.objects.filter(visit=visit, undone_at__isnull=True).exclude(
        kind=SignOff.Kind.HANDED_IN
    )
    if not rows.exists():
        return
    rows.update(undone_at=timezone.now(), undone_because=because)
    audit.record(
        actor=actor,
        event="signature.undone",
        subject=f"visit:{visit.pk}",
        detail={"because": because},
    )


def locked(finding: Finding) -> Finding:
    # The visit first, always: the same order as the log, so that nothing deadlocks.
    visit = Visit.objects.select_for_update().get(pk=finding.visit_id)
    locked = (
        Finding.objects.select_for_update(of=("self",))
        .select_related("words")
        .get(pk=finding.pk)
    )
    locked.visit = visit
    return locked


def _may_word(actor: Actor, finding: Finding) -> None:
    visit = finding.visit
    own = visit.inspector_id == actor.member_id
    if not (own or actor.can("words.review")):
        raise NotAllowed("The visit's inspector or a reviewer edits these words.")
    _open_visit(visit)


def _open_visit(visit: Visit) -> None:
    if visit.status in {Visit.Status.RELEASED, Visit.Status.ABANDONED}:
        raise UnableToChange(
            "This report is released. A correction is a new issue of it."
        )


def _reopened(actor: Actor, finding: Finding, because: str) -> None:
    finding.version += 1
    finding.passed_unread = False
    if finding.state in {Finding.State.WORDS_CHECKED, Finding.State.SIGNED}:
        finding.state = Finding.State.IN_REVIEW
    reopen_visit(actor, finding.visit, because)


def reopen_visit(actor: Actor, visit: Visit, because: str) -> None:
    """Take back what was signed and bring the visit back to review."""
    undo_signature(actor, visit, because)
    if visit.status in {Visit.Status.WORDS_CHECKED, Visit.Status.SIGNED}:
        visits.move_on(visit, Visit.Status.HANDED_IN)


def _value(finding: Finding, field: str) -> str:
    if field == "places":
        # A place may hold a comma of its own: "Garage, left wall".
        return "; ".join(map(str, finding.places))
    if field == "withdrawn":
        return "yes" if finding.state == Finding.State.WITHDRAWN else "no"
    return str(getattr(finding, field))


def _apply(finding: Finding, field: str, after: str) -> None:
    if field == "places":
        finding.places = [part.strip() for part in after.split(";") if part.strip()]
    elif field == "withdrawn":
        finding.state = Finding.State.WITHDRAWN
    else:
        setattr(finding, field, after)


def _say_how_soon(actor: Actor, finding: Finding, change: SubstanceChange) -> None:
    """Keep the drafted "how soon" in step; words of a person's own stay."""
    purpose, words = finding.visit.purpose, words_of(finding)
    if change.field not in {"timing", "trade"}:
        return
    timing, trade = finding.timing, finding.trade
    was = {"timing": timing, "trade": trade} | {change.field: change.before}
    drafted = sentences.when_text(was["timing"], purpose, was["trade"])
    if words.when == drafted:
        now = replace(words, when=sentences.when_text(timing, purpose, trade))
        if now != words:
            _revise(actor, finding, now, change.asked_by)
