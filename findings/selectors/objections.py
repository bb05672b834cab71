"""What stands against passing words, finishing a review or signing, in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from findings.models import Finding, ReviewNote, SignOff, SubstanceChange
from findings.selectors.contents import content_digest
from findings.selectors.evaluation import Evaluation
from findings.standards.ledger import TELLS, deficient_by
from findings.standards.loader import pack
from findings.standards.parts import kept_words, missing_parts
from findings.standards.schema import Pack
from findings.wording.passages import unfilled
from findings.wording.words import Words
from firm.actor import Actor
from firm.models import Membership
from inspections.models import Visit

State = Finding.State
WAITING = SubstanceChange.Answer.WAITING
# Whoever inspects could be made a reviewer; only a firm of one checks itself.
COULD_READ = frozenset({"REVIEWER", "OWNER", "INSPECTOR"})
NOT_CHECKED = {
    State.DRAFT: "it has not been handed in",
    State.IN_REVIEW: "its words are not checked yet",
    State.RETURNED: "it is back with the inspector",
}
LONG = 90
FEW = 5
OWN_WORDS = "Somebody else of the firm checks the words of what you found yourself."


def words_of(finding: Finding) -> Words:
    """Return the words as they stand; four empty parts before there are any."""
    now = finding.words
    if now is None:
        return Words()
    return Words(now.seen, now.matters, now.action, now.when)


def title_of(finding: Finding) -> str:
    """Name a finding in one line, as people of the firm speak of it."""
    said = str((finding.proposal or {}).get("title") or "")
    if said:
        return said
    first = words_of(finding).seen.split(". ")[0].strip().rstrip(".")
    for place in map(str, finding.places):
        first = first.removeprefix(f"{place}: ")
    if len(first) > LONG:
        first = first[:LONG].rsplit(" ", 1)[0].rstrip(",;:") + " …"
    plain = first or (finding.item or finding.system).replace("_", " ")
    return plain[:1].upper() + plain[1:]


def to_words(finding: Finding, *, change_waits: bool) -> list[str]:
    """Return what stands against passing the words, empty when nothing does."""
    words, asked = words_of(finding), pack(finding.visit.pack)
    reasons = [
        f"A compulsory part is missing: {part.says}"
        for part in missing_parts(asked, words)
    ]
    reasons += [
        f"{asked.name} keeps the word “{word}” for conditions that its standards "
        "name. Use another word here."
        for word in kept_words(asked, words, _meets(asked, finding))
    ]
    reasons += [
        f"A blank is not filled: {blank.replace('_', ' ')}" for blank in unfilled(words)
    ]
    if change_waits:
        reasons.append("A change of substance still waits for the inspector.")
    return reasons


def _meets(asked: Pack, finding: Finding) -> set[str]:
    """Say by which of the state's tests a finding may use the words it keeps."""
    told = {name: getattr(finding, name) for name in TELLS}
    met = {"as_deficient"} if deficient_by(asked, told) else set()
    grave = finding.consequence in ("could_hurt", "harming_building")
    return met | ({"legal_test"} if grave else set())


def change_waits(finding: Finding) -> bool:
    return SubstanceChange.objects.filter(finding=finding, answer=WAITING).exists()


def to_finish(
    actor: Actor, visit: Visit, findings: Iterable[Finding], open_notes: int
) -> list[str]:
    """Return what stands against handing the visit over for signing."""
    reasons = []
    by_state: dict[str, list[Finding]] = {}
    for row in findings:
        by_state.setdefault(row.state, []).append(row)
    for state, why in NOT_CHECKED.items():
        rows = by_state.get(state, [])
        reasons += [
            f"{title_of(row)}{_at(row.places[:1])}: {why}." for row in rows[:FEW]
        ]
        if len(rows) > FEW:
            reasons.append(f"And {len(rows) - FEW} more: {why}.")
    if open_notes:
        noun = "note is" if open_notes == 1 else "notes are"
        reasons.append(f"{open_notes} {noun} not settled yet.")
    if own_and_not_alone(actor, visit):
        reasons.append(OWN_WORDS)
    return reasons


def to_sign(actor: Actor, visit: Visit, seen: Evaluation) -> Iterator[str]:
    """Return what the inspector still has to answer before signing."""
    if visit.status != Visit.Status.WORDS_CHECKED and not signed_before(actor, visit):
        yield f"The visit is “{visit.get_status_display()}”."
    yield from still_waiting(seen)
    yield from _not_handed_in(actor, visit, seen)
    waiting = SubstanceChange.objects.filter(
        firm=actor.firm, finding__visit=visit, answer=WAITING
    ).count()
    if waiting:
        yield (
            "A change of substance waits for your answer."
            if waiting == 1
            else f"{waiting} changes of substance wait for your answer."
        )


def _not_handed_in(actor: Actor, visit: Visit, seen: Evaluation) -> Iterator[str]:
    """Say what was recorded since hand-in and no finding tells yet."""
    rows = Finding.objects.filter(firm=actor.firm, visit=visit)
    known = {row.source_key: row.proposal or {} for row in rows}
    again = "Hand the visit in again, so that the words are checked."
    for proposal in seen.proposals:
        decision = seen.decisions.get(proposal.key)
        if decision is None or decision.choice not in {"use", "change"}:
            continue
        told = known.get(proposal.key)
        if told is None or set(told.get("subjects") or ()) != set(proposal.subjects):
            yield f"Recorded since hand-in: {proposal.title}. {again}"
    for key, record in seen.of_kind("hand_finding"):
        if record.get("line") and f"hand:{key}" not in known:
            yield f"Recorded since hand-in: {record['line']} {again}"


def signed_before(actor: Actor, visit: Visit) -> bool:
    """Say whether the standing signature is under contents that have moved on."""
    if visit.status != Visit.Status.SIGNED:
        return False
    standing = SignOff.objects.filter(
        firm=actor.firm,
        visit=visit,
        kind=SignOff.Kind.SIGNED,
        undone_at__isnull=True,
    ).first()
    return standing is None or standing.content_sha256 != content_digest(actor, visit)


def still_waiting(seen: Evaluation) -> list[str]:
    """Sentences of what the inspector has not answered yet."""
    waiting = [f"No answer yet: {p.title}{_at(p.places)}" for p in seen.undecided]
    for record, field in sorted(seen.conflicts):
        stop = seen.stop_name(seen.records.get(record, {}).get("stop")) or "the visit"
        plain = field.replace("_", " ")
        waiting.append(f"Two values for one entry at {stop}: choose one ({plain}).")
    return waiting


def _at(places: Iterable[object]) -> str:
    where = ", ".join(map(str, places))
    return f" ({where})" if where else ""


def open_notes(actor: Actor, visit: Visit) -> int:
    return ReviewNote.objects.filter(
        firm=actor.firm, visit=visit, settled_at__isnull=True
    ).count()


def own_and_not_alone(actor: Actor, visit: Visit) -> bool:
    """Say whether this person would check their own visit where another could."""
    return visit.inspector_id == actor.member_id and others_could_read(actor)


def others_could_read(actor: Actor) -> bool:
    """Say whether the firm has anybody else who could be asked to check words."""
    roles = (
        Membership.objects.filter(firm=actor.firm, disabled_at__isnull=True)
        .exclude(pk=actor.member_id)
        .values_list("roles", flat=True)
    )
    return any(COULD_READ & set(held) for held in roles)
