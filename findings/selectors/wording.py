"""Remarks on words as they are typed, and the page of the checks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from findings.models import Finding, WordingChoice
from findings.selectors.library import day_said
from findings.selectors.review_words import LABELS, remarks_on
from findings.selectors.shelf import choices_of, house_of, tuning_of
from findings.wording import shaping
from findings.wording.context import Remark
from findings.wording.examples import shared_examples
from findings.wording.passages import Passage
from findings.wording.phrases import phrases
from findings.wording.tuning import abouts
from findings.wording.words import PARTS, Words
from firm.actor import Actor
from inspections.selectors.folded import folded

MOST = 4000


@dataclass(frozen=True, slots=True)
class TypedRemark:
    """A remark with the words it is about."""

    about: str
    message: str


@dataclass(frozen=True, slots=True)
class TypedPart:
    """The remarks on one part of words that are typed."""

    key: str
    label: str
    remarks: tuple[TypedRemark, ...]


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One check: what it is for, both of its examples, and whether it runs."""

    title: str
    says: str
    wrong: str
    right: str
    standing: str
    phrases: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ChecksPage:
    """All checks, and the firm's choice."""

    rows: tuple[CheckRow, ...]
    list_url: str
    write_url: str
    chosen: str
    initial: dict[str, Any]


def typed_for_finding(
    actor: Actor, finding: Finding, typed: Mapping[str, str]
) -> tuple[TypedPart, ...]:
    """Run the checks on typed words with what the finding rests on."""
    records, _ = folded(actor, finding.visit)
    stops = [str(r.get("name") or "") for r in records.values() if r["kind"] == "stop"]
    words = _words(typed)
    found = remarks_on(finding, stops, house_of(actor), words)
    return _parts((words, remark) for remark in found)


def typed_for_passage(actor: Actor, typed: Mapping[str, str]) -> tuple[TypedPart, ...]:
    """Run the checks on a typed passage as its preview would read."""
    words = _words(typed)
    level: dict[str, Any] = {
        name: typed[name]
        for name in ("trade", "consequence", "timing")
        if typed.get(name) in choices_of(name)
    }
    texts: dict[str, Any] = {name: words.part(name) for name in PARTS}
    passage = Passage(
        key="typed", version=0, title="", system="general", **texts, **level
    )
    return _parts(shaping.remarks(passage, shared_examples(), tuning_of(actor)))


def checks_page(actor: Actor) -> ChecksPage:
    """Return every check, and how the firm chose; two queries."""
    tuning = tuning_of(actor)
    row = (
        WordingChoice.objects.filter(firm=actor.firm)
        .select_related("author")
        .order_by("-number")
        .first()
    )
    chosen = (
        f"Chosen by {row.author.name}, {day_said(actor, row.made_at)}." if row else ""
    )
    return ChecksPage(
        rows=tuple(
            CheckRow(
                title=one.title,
                says=one.says,
                wrong=one.wrong,
                right=one.right,
                standing=_standing(one.kind, always=one.always, off=tuning.off),
                phrases=tuple(
                    (p.wrong, p.message) for p, _ in phrases() if p.kind == one.kind
                ),
            )
            for one in abouts()
        ),
        list_url=reverse("passage-list", args=[actor.firm.slug]),
        write_url=reverse("wording-checks", args=[actor.firm.slug])
        if actor.can("words.tune")
        else "",
        chosen=chosen,
        initial={
            "on": [one.kind for one in abouts() if one.kind not in tuning.off],
            "grade": f"{tuning.grade:g}",
            "longest_sentence": tuning.longest_sentence,
            "own_words": "\n".join(sorted(tuning.own_words)),
            "metric": tuning.metric,
            "shown": row.number if row else 0,
        },
    )


def _standing(kind: str, *, always: bool, off: frozenset[str]) -> str:
    if always:
        return "always runs"
    return "switched off" if kind in off else ""


def _words(typed: Mapping[str, str]) -> Words:
    return Words(**{name: str(typed.get(name) or "")[:MOST] for name in PARTS})


def _parts(found: Iterable[tuple[Words, Remark]]) -> tuple[TypedPart, ...]:
    by_part: dict[str, list[TypedRemark]] = {name: [] for name in PARTS}
    for words, remark in found:
        about = words.part(remark.part)[remark.start : remark.end]
        by_part[remark.part].append(TypedRemark(about, remark.message))
    return tuple(TypedPart(name, LABELS[name], tuple(by_part[name])) for name in PARTS)
