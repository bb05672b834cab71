"""Whether a passage of the firm's can be kept, and what still stands against it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from findings.wording.blanks import OPTIONAL
from findings.wording.bound import TIED
from findings.wording.checks import check, context_for
from findings.wording.context import Remark
from findings.wording.passages import Passage, blanks_of, fill
from findings.wording.places import names
from findings.wording.tuning import Tuning
from findings.wording.words import PARTS, Part, Words

MOST = {"title": 200, "seen": 3000, "matters": 3000, "action": 3000, "when": 800}
NEEDED: tuple[Part, ...] = ("seen", "matters", "action")
SAYS = {
    "seen": "what was seen",
    "matters": "why it matters",
    "action": "what to do",
    "title": "the title",
    "when": "how soon",
}
KNOWN = ("system", "trade", "consequence", "timing")
# What a blank reads as in a preview where nobody gave it an example.
EXAMPLE_PLACE = "Kitchen"


def faults(
    passage: Passage,
    known: Mapping[str, Mapping[str, str]],
    kinds: Mapping[str, frozenset[str]],
) -> Iterator[tuple[str, str]]:
    """Yield (field, what to do) for what keeps a passage from being written."""
    yield from _texts(passage)
    for name in KNOWN:
        value = getattr(passage, name)
        if value not in known[name]:
            yield name, f"Choose one of those listed; “{value}” is none of them."
    for blank, tied in passage.binds.items():
        if blank not in blanks_of(passage):
            yield "binds", f"No part has a blank {{{blank}}}; take its line out."
        elif not _tied_well(tied, kinds):
            yield "binds", f"“{tied}” is nothing that a visit records."


def _texts(passage: Passage) -> Iterator[tuple[str, str]]:
    for name in ("title", "seen"):
        if not str(getattr(passage, name)).strip():
            yield name, f"Write {SAYS[name]}."
    for name, most in MOST.items():
        if (size := len(getattr(passage, name))) > most:
            yield name, f"Shorten {SAYS[name]}: {most} characters fit, it has {size}."
    for part in PARTS:
        yield from _clauses(part, passage.part(part))


def _clauses(name: str, text: str) -> Iterator[tuple[str, str]]:
    left = OPTIONAL.sub("", text)
    if "[[" in left or "]]" in left:
        yield name, "A clause in [[ ]] has only one of its two ends; write the other."


def _tied_well(tied: str, kinds: Mapping[str, frozenset[str]]) -> bool:
    match = TIED.fullmatch(tied)
    if match is None or match[1] not in kinds:
        return False
    return match[1] == "measure" or match[2] in kinds[match[1]]


def wanting(passage: Passage) -> list[str]:
    """Return the parts that an approval still waits for, in words."""
    return [SAYS[name] for name in NEEDED if not passage.part(name).strip()]


def shown(
    passage: Passage,
    shared: Mapping[str, str],
    *,
    purpose: str = "purchase",
    context: Mapping[str, str] | None = None,
) -> Words:
    """Fill a passage from its example, and from the shared ones where it has none."""
    blanks = {name: shared[name] for name in blanks_of(passage) if name in shared}
    filled = {"place": EXAMPLE_PLACE, **blanks, **passage.example}
    return fill(
        passage,
        filled,
        purpose=purpose,
        timing=passage.timing,
        context={"consequence": passage.consequence, **(context or {})},
    )


def remarks(
    passage: Passage, shared: Mapping[str, str], tuning: Tuning
) -> list[tuple[Words, Remark]]:
    """Return what the checks say of the passage as it is shown, each variant too."""
    every = [shown(passage, shared)]
    for one in passage.variants:
        purpose = one.purposes[0] if one.purposes else "purchase"
        every.append(shown(passage, shared, purpose=purpose, context=one.context))
    # An example's place is a place of the example: every place is there.
    around = context_for(places=names().places, tuning=tuning)
    found = {
        (r.part, w.part(r.part)[r.start : r.end], r.message): (w, r)
        for w in every
        for r in check(w, around, tuning)
    }
    return list(found.values())
