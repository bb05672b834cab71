"""The library of passages: found by key or by words, filled from facts."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from findings.wording import search as finder
from findings.wording import sentences
from findings.wording.blanks import fill_text, open_blanks
from findings.wording.files import FIXTURES, Strict, WordingDataError, read
from findings.wording.words import PARTS, Part, Words

PLAIN_FIT = 60.0
LONG_ENOUGH = 6  # a dictated line of so many words says what was seen by itself


class Variant(Strict, frozen=True, kw_only=True):
    """Other words for some purposes or in some context, part by part."""

    purposes: tuple[str, ...] = ()
    context: dict[str, str] = {}
    seen: str = ""
    matters: str = ""
    action: str = ""
    when: str = ""


class Passage(Strict, frozen=True, kw_only=True):
    """The firm's own words for one kind of finding, with blanks."""

    key: str
    version: int
    title: str
    system: str
    seen: str
    matters: str
    action: str
    when: str = ""  # empty: from the timing
    trade: str = "general"
    consequence: str = "upkeep"
    timing: str = "first_year"
    item: str = ""
    also: tuple[str, ...] = ()
    variants: tuple[Variant, ...] = ()
    # Where a blank is filled from on a visit: "height: measure.height_in".
    binds: dict[str, str] = {}
    # What the preview fills the blanks with.
    example: dict[str, str] = {}

    def part(self, name: Part) -> str:
        """Return one part of the text, its blanks open."""
        texts = {"seen": self.seen, "matters": self.matters}
        return (texts | {"action": self.action, "when": self.when})[name]


class Library(Strict, frozen=True, kw_only=True):
    """One file of passages."""

    schema: int
    passages: tuple[Passage, ...]


@dataclass(frozen=True, slots=True)
class Hit:
    """A passage found by words, best first; the score runs to 100."""

    passage: Passage
    score: float


@dataclass(frozen=True, eq=False)
class Shelf:
    """The passages that a firm drafts from; `versions` says whose words each are."""

    passages: Mapping[str, Passage]
    versions: Mapping[str, str]

    @cached_property
    def index(self) -> finder.Index:
        """What the passages are found by, arranged once."""
        return finder.index(
            finder.entry(p.key, p.title, [p.key.replace(".", " "), *p.also])
            for p in self.passages.values()
        )

    def version_of(self, key: str) -> str:
        """Return "starter 1" or the firm's "2"; nothing for an unknown key."""
        return self.versions.get(key, "")


@cache
def starter() -> Shelf:
    """Return the shelf of a firm that has not changed anything."""
    held = library()
    return Shelf(held, {key: f"starter {one.version}" for key, one in held.items()})


@cache
def library() -> dict[str, Passage]:
    """Return every passage by key. Raises WordingDataError for a key twice."""
    found: dict[str, Passage] = {}
    for path in sorted((FIXTURES / "passages").glob("*.yaml")):
        if path.name == "blanks.yaml":
            continue
        for passage in read(path, Library).passages:
            if passage.key in found:
                raise WordingDataError(f"{path.name}: {passage.key} stands there twice")
            found[passage.key] = passage
    return found


def by_key(key: str) -> Passage:
    """Return one passage; KeyError for an unknown key."""
    return library()[key]


def fill(
    passage: Passage,
    blanks: Mapping[str, str],
    *,
    purpose: str = "purchase",
    timing: str = "",
    trade: str = "",
    context: Mapping[str, str] | None = None,
) -> Words:
    """Fill a passage; blanks without a value stay visible as {name}."""
    texts = _texts(passage, purpose, context or {})
    timing, trade = timing or passage.timing, trade or passage.trade
    values = {"trade": sentences.trade_words(trade), **blanks}
    if not texts["when"]:
        texts["when"] = sentences.when_text(timing, purpose, trade)
    return Words(**{name: fill_text(text, values) for name, text in texts.items()})


def _texts(
    passage: Passage, purpose: str, context: Mapping[str, str]
) -> dict[str, str]:
    texts = {
        "seen": passage.seen,
        "matters": passage.matters,
        "action": passage.action,
        "when": passage.when,
    }
    for variant in passage.variants:
        fits = not variant.purposes or purpose in variant.purposes
        if fits and all(context.get(k) == v for k, v in variant.context.items()):
            mine = {"seen": variant.seen, "matters": variant.matters}
            mine |= {"action": variant.action, "when": variant.when}
            texts |= {name: text for name, text in mine.items() if text}
    return texts


def fill_by_key(
    key: str,
    blanks: Mapping[str, str],
    *,
    purpose: str = "purchase",
    consequence: str = "",
    timing: str = "",
    trade: str = "",
    context: Mapping[str, str] | None = None,
    shelf: Shelf | None = None,
) -> Words:
    """Fill the passage of a key; without one, only "how soon" is known.

    The consequence is part of the context, so that a passage may word it differently.
    """
    passage = (shelf or starter()).passages.get(key)
    if passage is None:
        when = sentences.when_text(timing or "first_year", purpose, trade or "general")
        return Words(when=when)
    around = {"consequence": consequence, **(context or {})}
    return fill(
        passage, blanks, purpose=purpose, timing=timing, trade=trade, context=around
    )


def fill_hand(
    line: str,
    found: Passage | None,
    *,
    place: str = "",
    purpose: str = "purchase",
    values: Mapping[str, str] | None = None,
    **level: Any,
) -> Words:
    """Make words of a dictated line; what it saw stands as the inspector said it.

    `level` is the consequence, timing and trade that were chosen; `values` are what the
    visit's records say for the blanks that the passage ties to them.
    """
    said = _as_sentence(line, place)
    blanks = {**(values or {}), **({"place": place} if place else {})}
    shelf = Shelf({found.key: found}, {}) if found else starter()
    words = fill_by_key(
        found.key if found else "", blanks, purpose=purpose, shelf=shelf, **level
    )
    own = found is None or len(line.split()) >= LONG_ENOUGH
    seen = said if own or open_blanks(words.seen) else words.seen
    return Words(seen, words.matters, words.action, words.when)


def _as_sentence(line: str, place: str) -> str:
    text = line.strip()
    if place and place.lower() not in text.lower():
        text = f"{place}: {text}"
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) or not text else f"{text}."


def unfilled(words: Words) -> list[str]:
    """Return the names of the blanks that still stand in the words, each once."""
    names = [m[1] for _, text in words.parts() for m in open_blanks(text)]
    return list(dict.fromkeys(names))


def blanks_of(passage: Passage) -> set[str]:
    """Return every blank that a passage names, the automatic ones left out."""
    texts = [passage.seen, passage.matters, passage.action, passage.when]
    for variant in passage.variants:
        texts += [getattr(variant, part) for part in PARTS]
    return {m[1] for text in texts for m in open_blanks(text)} - {"trade"}


def search(
    text: str,
    system: str | None = None,
    limit: int = 8,
    shelf: Shelf | None = None,
) -> list[Hit]:
    """Return the passages that fit a few words, best first, misspelt or not."""
    held = shelf or starter()
    query, found, known = finder.tokens(text), held.index, held.passages
    hits = [
        Hit(known[found_by.key], score)
        for found_by in found.entries
        if system in (None, "", known[found_by.key].system)
        and (score := finder.score(query, found_by, found)) >= finder.ENOUGH / 2
    ]
    return sorted(hits, key=lambda h: (-h.score, h.passage.key))[:limit]


def closest(
    text: str,
    system: str | None = None,
    item: str | None = None,
    shelf: Shelf | None = None,
) -> Passage | None:
    """Return the one passage that plainly fits a line, None when none does.

    A passage about the very item that was looked at needs less to fit.
    """
    held = shelf or starter()
    hits = search(text, system=system, limit=len(held.passages), shelf=held)
    same = [h for h in hits if item and h.passage.item == item]
    if same:
        return same[0].passage
    return hits[0].passage if hits and hits[0].score >= PLAIN_FIT else None
