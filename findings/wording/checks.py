"""Checks of a finding's words, each small, shown at the words they are about."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, TypeAlias

from findings.wording.blanks import open_blanks
from findings.wording.context import Context, Remark
from findings.wording.jargon import jargon_remarks
from findings.wording.numbers import found_in, normal, number_remarks
from findings.wording.phrases import phrase_remarks
from findings.wording.places import place_remarks
from findings.wording.reading import reading_remarks
from findings.wording.spelling import spelling_remarks
from findings.wording.tuning import Tuning, kept
from findings.wording.units import unit_remarks
from findings.wording.words import PARTS, Part, Words

Check: TypeAlias = Callable[[Words, Context], Iterator[Remark]]

SAYS: dict[Part, str] = {
    "seen": "Say what was seen, and where.",
    "matters": "Say why it matters.",
    "action": "Say what to do, and which trade does it.",
    "when": "Say how soon.",
}


def missing_remarks(words: Words, _around: Context) -> Iterator[Remark]:
    """Point out parts that are empty."""
    for part, text in words.parts():
        if not text.strip():
            yield Remark(part, 0, 0, "missing", SAYS[part], "missing")


def blank_remarks(words: Words, _around: Context) -> Iterator[Remark]:
    """Point out blanks that still stand."""
    for part, text in words.parts():
        for blank in open_blanks(text):
            message = f"Fill in: {blank[1].replace('_', ' ')}."
            yield Remark(part, *blank.span(), "blank", message, "blank")


CHECKS: tuple[Check, ...] = (
    missing_remarks,
    blank_remarks,
    phrase_remarks,
    place_remarks,
    number_remarks,
    unit_remarks,
    jargon_remarks,
    spelling_remarks,
    reading_remarks,
)


def check(
    words: Words, around: Context | None = None, tuning: Tuning | None = None
) -> list[Remark]:
    """Return the remarks on a finding's words, in the order they are read."""
    known, tuned = around or Context(), tuning or Tuning()
    every = (remark for run in CHECKS for remark in run(words, known))
    found = kept(every, tuned)
    return sorted(found, key=lambda r: (PARTS.index(r.part), r.start, r.end, r.kind))


def context_for(
    *,
    places: Iterable[str] = (),
    facts: Iterable[Mapping[str, Any]] = (),
    blanks: Mapping[str, str] | None = None,
    passage: str = "",
    tuning: Tuning | None = None,
) -> Context:
    """Make a context from a proposal's facts and blanks, as they are stored.

    A fact is {"label", "value", "unit"}; numbers in the blanks' texts and in the
    passage's own text may stand in the words too.
    """
    tuned = tuning or Tuning()
    texts = [*(blanks or {}).values(), passage]
    read = (normal(f.get("label"), f.get("value"), f.get("unit")) for f in facts)
    return Context(
        places=tuple(places),
        facts=tuple(fact for fact in read if fact),
        known=tuple(n.fact for text in texts for n in found_in(str(text))),
        names=tuned.own_words,
        metric=tuned.metric,
        grade=tuned.grade,
        longest_sentence=tuned.longest_sentence,
    )
