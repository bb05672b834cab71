"""One passage: how it reads, its blanks, variants, use, versions and approvals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.urls import reverse

from findings.models import PassageApproval, PassageVersion
from findings.selectors.library import NEVER, STANDINGS, Held, day_said, held
from findings.selectors.library_rows import (
    BlankRow,
    NewPage,
    PassagePage,
    RemarkLine,
    VariantRow,
    VersionRow,
)
from findings.selectors.review_pages import PartRow
from findings.selectors.review_words import LABELS, part_rows
from findings.selectors.rulings import rules_of
from findings.selectors.shelf import read_passage, systems, tuning_of
from findings.wording import sentences, shaping
from findings.wording.blanks import fill_text
from findings.wording.examples import shared_examples
from findings.wording.passages import Passage, Variant, blanks_of, library
from findings.wording.tuning import Tuning
from findings.wording.words import PARTS, Words
from firm.actor import Actor
from inspections.selectors.rows import FactRow

Origin = PassageVersion.Origin
BY_ITSELF = {"place": "the stop, or the places of the finding"}


def passage_page(actor: Actor, key: str) -> PassagePage:
    """Return one passage; the number of queries never grows."""
    known, shared = held(actor, key), shared_examples()
    passage, tuning = known.passage(key), tuning_of(actor)
    rows = known.versions.get(key, ())
    stands = known.standings(key)
    newest = read_passage(rows[-1].content) if rows else passage
    waits = rows[-1].number if rows and _waits(known, rows[-1]) else 0
    variants = tuple(_variant(passage, shared, one) for one in passage.variants)
    return PassagePage(
        key=key,
        title=passage.title,
        list_url=_url(actor, "passage-list"),
        standing="; ".join(STANDINGS[one] for one in stands),
        level=sentences.sentence(
            passage.consequence, passage.timing, passage.trade, "purchase"
        ),
        facts=_facts(passage),
        parts=part_rows(shaping.shown(passage, shared)),
        blanks=tuple(_blanks(actor, passage, shared)),
        variants=variants,
        remarks=remark_lines(newest, tuning),
        usage=_usage(known, key),
        versions=tuple(_versions(actor, known, key)),
        waits=waits,
        wanting=" and ".join(shaping.wanting(newest)) if waits else "",
        shown=rows[-1].number if rows else 0,
        initial=initial_of(newest),
        variant_initial=tuple(variant_initial(one) for one in newest.variants),
        **_urls(actor, known, key, waits),
    )


def new_page(actor: Actor) -> NewPage:
    """Return the page of a new passage."""
    return NewPage(_url(actor, "passage-list"), _url(actor, "passage-remarks"))


def remark_lines(passage: Passage, tuning: Tuning) -> tuple[RemarkLine, ...]:
    """Return what the checks say of a passage as its preview reads."""
    return tuple(
        RemarkLine(
            part=LABELS[remark.part],
            about=words.part(remark.part)[remark.start : remark.end],
            message=remark.message,
        )
        for words, remark in shaping.remarks(passage, shared_examples(), tuning)
    )


def initial_of(passage: Passage) -> dict[str, Any]:
    """Return what the form of a passage begins with."""
    plain = ("title", "system", "item", "trade", "consequence", "timing")
    return {
        **{name: getattr(passage, name) for name in (*plain, *PARTS)},
        "also": ", ".join(passage.also),
        "binds": lines_of(passage.binds),
        "example": lines_of(passage.example),
    }


def variant_initial(variant: Variant) -> dict[str, Any]:
    """Return what the form of a variant begins with."""
    return {
        "purposes": list(variant.purposes),
        "consequence": variant.context.get("consequence", ""),
        **{name: getattr(variant, name) for name in PARTS},
    }


def lines_of(pairs: Mapping[str, str]) -> str:
    return "\n".join(f"{name}: {value}" for name, value in pairs.items())


def _facts(passage: Passage) -> tuple[FactRow, ...]:
    named = [
        ("System", systems().get(passage.system, passage.system)),
        ("Item", passage.item.replace("_", " ")),
        ("Also found by", ", ".join(passage.also)),
    ]
    return tuple(FactRow(label, value) for label, value in named if value)


def _blanks(
    actor: Actor, passage: Passage, shared: Mapping[str, str]
) -> Iterable[BlankRow]:
    filled = _from_rules(actor, passage.key) | {
        name: f"the record {tied.replace('_', ' ').replace('.', ', ')}"
        for name, tied in passage.binds.items()
    }
    for name in sorted(blanks_of(passage)):
        example = passage.example.get(name) or shared.get(name, "")
        place = shaping.EXAMPLE_PLACE if name == "place" else ""
        value = example or place
        yield BlankRow(
            name=name,
            filled_from=filled.get(name)
            or BY_ITSELF.get(name, "a person, at the desk"),
            example=fill_text(f"{{{name}}}", {name: value}) if value else "",
        )


def _from_rules(actor: Actor, key: str) -> dict[str, str]:
    """Say which recorded fact a rule fills a blank with."""
    found = {}
    for rule in rules_of(actor).rules.values():
        if any(row.passage == key for row in rule.rows):
            for name, spec in rule.inputs.items():
                found[name] = f"{spec.label}, by the rule “{rule.title}”"
            for name in rule.let:
                found.setdefault(name, f"worked out by the rule “{rule.title}”")
    return found


def _variant(
    passage: Passage, shared: Mapping[str, str], variant: Variant
) -> VariantRow:
    purposes = [sentences.purpose_words(one) for one in variant.purposes]
    around = [
        f"where it says “{sentences.consequence_label(value)}”"
        if name == "consequence"
        else f"where {name.replace('_', ' ')} is {value}"
        for name, value in variant.context.items()
    ]
    purpose = variant.purposes[0] if variant.purposes else "purchase"
    words = shaping.shown(passage, shared, purpose=purpose, context=variant.context)
    plain = shaping.shown(passage, shared, purpose=purpose)
    changed = tuple(
        part
        for part in part_rows(words, plain)
        if part.changed or getattr(variant, part.key)
    )
    return VariantRow("; ".join([*purposes, *around]) or "always", changed)


def _usage(known: Held, key: str) -> tuple[FactRow, ...]:
    used = known.usage.get(key, NEVER)
    if not used.used:
        return ()
    return (
        FactRow("Findings drafted from it", str(used.used)),
        FactRow("On visits", str(used.visits)),
        FactRow("Words changed afterwards", str(used.reworded)),
    )


def _versions(actor: Actor, known: Held, key: str) -> Iterable[VersionRow]:
    """Yield every version, the newest first, each against the one before it."""
    rows = list(known.versions.get(key, ()))
    starter = library().get(key)
    before = _raw(starter) if starter else Words()
    found = []
    for row in rows:
        now = _raw(read_passage(row.content))
        found.append(_version(actor, known, row, part_rows(now, before)))
        before = now
    if starter:
        yield from reversed([_starter(actor, known, starter), *found])
    else:
        yield from reversed(found)


def _version(
    actor: Actor, known: Held, row: PassageVersion, parts: tuple[PartRow, ...]
) -> VersionRow:
    mark = known.approvals.get((row.key, row.number, 0))
    written = row.kind == PassageVersion.Kind.WRITTEN
    return VersionRow(
        number=row.number,
        kind=row.get_kind_display(),
        written=f"{row.author.name}, {day_said(actor, row.made_at)}",
        origin=Origin(row.origin).label if row.origin != Origin.HAND else "",
        reason=row.reason,
        note=row.note,
        approved=_approved(actor, mark),
        approve=mark is None,
        changes=tuple(part for part in parts if part.changed) if written else (),
    )


def _starter(actor: Actor, known: Held, passage: Passage) -> VersionRow:
    mark = known.approvals.get((passage.key, 0, passage.version))
    return VersionRow(
        number=0,
        kind=f"Starter, version {passage.version}",
        written="comes with Kingpost",
        origin="",
        reason="",
        note="",
        approved=_approved(actor, mark),
        approve=mark is None,
        changes=(),
    )


def _approved(actor: Actor, mark: PassageApproval | None) -> str:
    if mark is None:
        return ""
    return f"{mark.approved_by.name}, {day_said(actor, mark.approved_at)}"


def _raw(passage: Passage) -> Words:
    return Words(**{name: passage.part(name) for name in PARTS})


def _waits(known: Held, row: PassageVersion) -> bool:
    return (row.key, row.number, 0) not in known.approvals


def _urls(actor: Actor, known: Held, key: str, waits: int) -> dict[str, str]:
    approves = actor.can("passages.approve")
    starter = library().get(key)
    read = starter and (key, 0, starter.version) in known.approvals
    unread = starter is not None and not read and key not in known.current
    now = known.current.get(key)
    gone = now is not None and now.kind == PassageVersion.Kind.RETIRED
    may = {
        "write_url": ("passage-write", actor.can("passages.write")),
        "approve_url": ("passage-approve", approves and waits > 0),
        "starter_url": ("passage-approve", approves and unread),
        "retire_url": ("passage-retire", approves and not gone),
    }
    urls = {
        name: _url(actor, address, key) if allowed else ""
        for name, (address, allowed) in may.items()
    }
    return urls | {"remarks_url": _url(actor, "passage-remarks")}


def _url(actor: Actor, name: str, *args: str) -> str:
    return reverse(name, args=[actor.firm.slug, *args])
