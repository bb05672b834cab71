"""What the firm keeps of how each finding came about; never shown to a client."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import asdict
from typing import Any

from django.db.models import QuerySet

from findings.models import Finding, ReviewNote, Revision, SubstanceChange
from firm.actor import Actor
from inspections.models import Visit
from reports.services.snapshot.material import Material, gather
from reports.services.snapshot.versions import versions


def case_file(actor: Actor, visit: Visit) -> dict[str, Any]:
    """Return facts, rules, editions, traces and decisions, as plain JSON values."""
    material = gather(actor, visit)
    return {
        "visit": str(visit.pk),
        "number": material.visit.number,
        "log_version": material.visit.version,
        "versions": versions(material) | _sources(material),
        "findings": _findings(actor, material),
        # Said "not here, because", or quieted after the same reason twice.
        "not_here": [one.as_dict() for one in material.seen.set_aside],
        "undecided": [p.as_dict() for p in material.seen.undecided],
        "decisions": [
            {"proposal": key} | asdict(one)
            for key, one in sorted(material.seen.decisions.items())
        ],
        "ledger": [
            asdict(row) | {"findings": list(row.findings)}
            for row in material.seen.ledger.rows
        ],
        "conflicts": [
            {"record": record, "field": field, "values": list(values)}
            for (record, field), values in sorted(material.seen.conflicts.items())
        ],
        "kept_photos": [
            {"photo": p.id, "sha256": str(p.record.get("sha256") or "")}
            for p in material.pictures
            if not p.printable
        ],
        "notes": _notes(actor, visit),
    }


def _sources(material: Material) -> dict[str, Any]:
    pack = material.seen.pack
    return {
        "pack_edition": pack.edition,
        "pack_authority": pack.authority,
        "checked_lines": sorted(material.checked),
        "rules": {row.rule: row.rule_version for row in material.findings if row.rule},
    }


def _findings(actor: Actor, material: Material) -> list[dict[str, Any]]:
    ids = [row.pk for row in material.findings]
    words = _by_finding(
        Revision.objects.filter(firm=actor.firm, finding__in=ids)
        .select_related("author")
        .order_by("number")
    )
    changes = _by_finding(
        SubstanceChange.objects.filter(firm=actor.firm, finding__in=ids)
        .select_related("author")
        .order_by("made_at", "pk")
    )
    return [
        _finding(material, row)
        | {
            "words": [_revision(one) for one in words[row.pk]],
            "changes": [_change(one) for one in changes[row.pk]],
        }
        for row in material.findings
    ]


def _by_finding(rows: QuerySet[Any]) -> dict[Any, list[Any]]:
    found: dict[Any, list[Any]] = defaultdict(list)
    for row in rows:
        found[row.finding_id].append(row)
    return found


def _finding(material: Material, row: Finding) -> dict[str, Any]:
    decision = material.seen.decisions.get(row.source_key)
    return {
        "id": str(row.pk),
        "source_key": row.source_key,
        "state": row.state,
        "by_hand": not row.rule,
        "rule": row.rule,
        "rule_version": row.rule_version,
        "places": list(row.places),
        "levels": [row.consequence, row.timing, row.trade],
        "level_reason": row.level_reason,
        "passage": row.passage,
        "author": row.author.name,
        # As it stood when it was used: facts, edition, source, provenance, trace.
        "proposal": row.proposal,
        "decision": asdict(decision) if decision else None,
    }


def _revision(row: Revision) -> dict[str, Any]:
    return {
        "number": row.number,
        "author": row.author.name if row.author else "",
        "asked_by": row.asked_by,
        "made_at": row.made_at.isoformat(),
        "seen": row.seen,
        "matters": row.matters,
        "action": row.action,
        "when": row.when,
    }


def _change(row: SubstanceChange) -> dict[str, Any]:
    return {
        "field": row.field,
        "before": row.before,
        "after": row.after,
        "reason": row.reason,
        "asked_by": row.asked_by,
        "author": row.author.name,
        "answer": row.answer,
        "answered_at": row.answered_at.isoformat() if row.answered_at else None,
    }


def _notes(actor: Actor, visit: Visit) -> list[dict[str, Any]]:
    rows = (
        ReviewNote.objects.filter(firm=actor.firm, visit=visit)
        .select_related("author", "settled_by")
        .order_by("made_at", "pk")
    )
    return [
        {
            "about": row.about,
            "text": row.text,
            "author": row.author.name,
            "made_at": row.made_at.isoformat(),
            "answer": row.answer,
            "settled_by": row.settled_by.name if row.settled_by else "",
            "settled_at": row.settled_at.isoformat() if row.settled_at else None,
        }
        for row in rows
    ]
