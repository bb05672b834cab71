"""Turning used proposals and hand-written lines into findings with words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from findings.models import Finding, Revision, SubstanceChange
from findings.rules.proposal import Proposal
from findings.selectors.evaluation import Decision, Evaluation
from findings.selectors.shelf import shelf_of
from findings.wording import bound, passages
from findings.wording.passages import Shelf
from findings.wording.words import Words
from firm import audit
from firm.actor import Actor
from inspections.models import Visit

# What a later record may change of a finding that is there already.
FRESH: Final = (
    "photos",
    "places",
    "stop",
    "proposal",
    "consequence",
    "timing",
    "trade",
    "age_note",
    "level_reason",
)


@transaction.atomic
def adopt(*, actor: Actor, visit: Visit, seen: Evaluation) -> int:
    """Make the findings that the inspector's decisions ask for; return how many.

    Doing it again makes nothing new. A finding whose decision was taken back is
    withdrawn, never deleted; one that review took out with a yes stays out.
    """
    known = {f.source_key: f for f in Finding.objects.filter(visit=visit)}
    settled = _settled(visit)
    wanted = _wanted(visit, seen, shelf_of(actor))
    _follow(known, wanted)
    made = 0
    for source_key, fields in wanted.items():
        finding = known.get(source_key)
        if finding is None:
            _make(actor, visit, source_key, fields)
            made += 1
        else:
            _freshen(finding, fields, settled.get(finding.pk, set()))
    for source_key, finding in known.items():
        if source_key not in wanted and finding.state != Finding.State.WITHDRAWN:
            finding.state = Finding.State.WITHDRAWN
            finding.version += 1
            finding.save(update_fields=["state", "version"])
    return made


def _follow(known: dict[str, Finding], wanted: Mapping[str, Any]) -> None:
    """Keep a finding, and its words, when facts that joined it lead it now."""
    for source_key in [key for key in wanted if key not in known]:
        told = wanted[source_key].get("proposal") or {}
        subjects = set(told.get("subjects") or ())
        for old_key, finding in list(known.items()):
            before = set((finding.proposal or {}).get("subjects") or ())
            same = finding.rule == told.get("rule") and before & subjects
            if same and old_key not in wanted:
                finding.source_key = source_key
                finding.save(update_fields=["source_key"])
                known[source_key] = known.pop(old_key)
                break


def _settled(visit: Visit) -> dict[Any, set[str]]:
    """Return, by finding, the fields that an accepted change has settled."""
    found: dict[Any, set[str]] = {}
    rows = SubstanceChange.objects.filter(
        finding__visit=visit, answer=SubstanceChange.Answer.YES
    )
    for finding, name in rows.values_list("finding_id", "field"):
        found.setdefault(finding, set()).add(name)
    return found


def _wanted(visit: Visit, seen: Evaluation, shelf: Shelf) -> dict[str, dict[str, Any]]:
    wanted = {}
    for proposal in seen.proposals:
        decision = seen.decisions.get(proposal.key)
        if decision and decision.choice in {"use", "change"}:
            fields = _from_proposal(seen, proposal, decision)
            fields["_words"] = _drafted(visit, proposal, fields, shelf)
            fields["passage_version"] = shelf.version_of(proposal.passage)
            wanted[proposal.key] = fields
    for key, record in seen.of_kind("hand_finding"):
        if record.get("line"):
            wanted[f"hand:{key}"] = _by_hand(visit, seen, key, record, shelf)
    return wanted


def _from_proposal(
    seen: Evaluation, proposal: Proposal, decision: Decision
) -> dict[str, Any]:
    consequence = decision.consequence or proposal.consequence
    timing = decision.timing or proposal.timing
    return {
        "rule": proposal.rule,
        "rule_version": str(proposal.rule_version),
        "proposal": proposal.as_dict(),
        "system": proposal.system,
        "item": proposal.item,
        "stop": proposal.stop or None,
        "places": list(proposal.places),
        "consequence": consequence,
        "timing": timing,
        "trade": proposal.trade,
        "level_reason": decision.reason_text,
        "age_note": proposal.age_note,
        "passage": proposal.passage,
        "photos": _photos_of(seen, [proposal.subject, *proposal.subjects]),
    }


def _drafted(
    visit: Visit, proposal: Proposal, fields: Mapping[str, Any], shelf: Shelf
) -> Words:
    return passages.fill_by_key(
        proposal.passage,
        proposal.blanks,
        purpose=visit.purpose,
        consequence=fields["consequence"],
        timing=fields["timing"],
        trade=fields["trade"],
        shelf=shelf,
    )


def _by_hand(
    visit: Visit,
    seen: Evaluation,
    key: str,
    record: Mapping[str, Any],
    shelf: Shelf,
) -> dict[str, Any]:
    line = str(record["line"])
    consequence = record.get("consequence") or "upkeep"
    timing = record.get("timing") or "first_year"
    trade = record.get("trade") or "general"
    found = passages.closest(line, system=record.get("system"), shelf=shelf)
    here = [r for r in seen.records.values() if r.get("stop") == record.get("stop")]
    words = passages.fill_hand(
        line,
        found,
        place=seen.stop_name(record.get("stop")),
        purpose=visit.purpose,
        values=bound.values_for(found, here) if found else None,
        consequence=consequence,
        timing=timing,
        trade=trade,
    )
    return {
        "system": record.get("system") or (found.system if found else "general"),
        "item": record.get("item") or "",
        "stop": record.get("stop"),
        "places": [name] if (name := seen.stop_name(record.get("stop"))) else [],
        "consequence": consequence,
        "timing": timing,
        "trade": trade,
        "passage": found.key if found else "",
        "passage_version": shelf.version_of(found.key) if found else "",
        "photos": _photos_of(seen, [key]),
        "_words": words,
    }


def _photos_of(seen: Evaluation, subjects: list[str]) -> list[str]:
    """Photos that show any of the subjects, in the order they were taken.

    A general view or a plate stays with its place. Where several findings speak of
    what a photo shows, it goes to the one about the fewest things.
    """
    wanted = set(subjects)
    tied = [
        (str(record.get("taken_at") or ""), key)
        for key, record in seen.of_kind("photo")
        if record.get("about") in wanted
        and record.get("use") in (None, "", "shows_it")
        and len(wanted) <= _narrowest(seen, str(record.get("about")))
    ]
    return [key for _, key in sorted(tied)]


def _narrowest(seen: Evaluation, subject: str) -> int:
    """Return of how many things the narrowest finding about a subject speaks."""
    sizes = [
        len({one.subject, *one.subjects})
        for one in seen.proposals
        if subject in (one.subject, *one.subjects)
        and one.key in seen.decisions
        and seen.decisions[one.key].choice != "not_here"
    ]
    return min(sizes, default=len(seen.proposals) + 1)


def _make(actor: Actor, visit: Visit, source_key: str, fields: dict[str, Any]) -> None:
    words: Words = fields.pop("_words")
    finding = Finding.objects.create(
        firm=actor.firm,
        visit=visit,
        source_key=source_key,
        author=visit.inspector,
        **fields,
    )
    finding.words = Revision.objects.create(
        firm=actor.firm,
        finding=finding,
        number=1,
        author=visit.inspector,
        seen=words.seen,
        matters=words.matters,
        action=words.action,
        when=words.when,
    )
    finding.save(update_fields=["words"])
    audit.record(
        actor=actor,
        event="finding.made",
        subject=f"finding:{finding.pk}",
        detail={"visit": str(visit.pk), "source": source_key},
    )


def _freshen(finding: Finding, fields: dict[str, Any], settled: set[str]) -> None:
    """Bring a finding up to what was recorded since; what review settled stays.

    The words stay too: a person may have written them. What changed is read again.
    """
    if finding.state == Finding.State.WITHDRAWN:
        if "withdrawn" in settled:
            return
        finding.state = Finding.State.DRAFT
    changed = {
        name: fields[name]
        for name in FRESH
        if name in fields
        and name not in settled
        and _plain(getattr(finding, name)) != _plain(fields[name])
    }
    if not changed and finding.state != Finding.State.DRAFT:
        return
    for name, value in changed.items():
        setattr(finding, name, value)
    if changed:
        finding.version += 1
        finding.passed_unread = False
    if finding.state in {Finding.State.WORDS_CHECKED, Finding.State.SIGNED}:
        finding.state = Finding.State.IN_REVIEW
    finding.save()


def _plain(value: Any) -> Any:
    """Compare ids as they are written, whatever held them."""
    if isinstance(value, list):
        return [_plain(one) for one in value]
    return str(value) if isinstance(value, UUID) else value
