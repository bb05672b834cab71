"""The columns of a file of passages: what they mean, and passages made of its rows."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from msgspec import structs

from findings.wording.passages import Passage, Variant
from findings.wording.sentences import levels
from findings.wording.shaping import KNOWN, MOST, faults
from findings.wording.words import PARTS

NOTE: Final = "note"
# Our columns, with what a person reads; the order of an export.
COLUMNS: Final = {
    "key": "Name",
    "title": "Title",
    "system": "System",
    "item": "Item",
    "consequence": "What it does",
    "timing": "How soon, by level",
    "trade": "Who puts it right",
    "also": "Also found by",
    "purposes": "Only on visits",
    "context": "Only where it says",
    "seen": "What was seen, and where",
    "matters": "Why it matters",
    "action": "What to do",
    "when": "How soon, in words",
    "binds": "Blanks filled from",
    "example": "Example",
    NOTE: "Kept as a note",
}
# What firms commonly call such a column, letters and figures only.
CALLED: Final = {
    "key": ("name", "key", "id", "code"),
    "title": ("title", "subject", "heading", "short"),
    "system": ("system", "section", "category", "chapter"),
    "item": ("item", "component", "subsection"),
    "consequence": ("consequence", "severity", "priority", "level"),
    "timing": ("timing", "urgency", "deadline"),
    "trade": ("trade", "contractor", "who"),
    "also": ("also", "keywords", "tags"),
    "seen": ("seen", "observation", "text", "comment", "description", "finding"),
    "matters": ("matters", "why", "implication", "significance"),
    "action": ("action", "recommendation", "whattodo"),
}
MOST_KEY: Final = 60


@dataclass(frozen=True, slots=True)
class Choices:
    """What a person said of a file: its columns, its words, what holds otherwise."""

    columns: tuple[str, ...]
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    otherwise: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one row, and what to do about it."""

    row: int
    column: str
    said: str


@dataclass(frozen=True, slots=True)
class Reading:
    """What a file's rows make: passages with notes, faults, words nobody explained."""

    passages: tuple[tuple[int, Passage, str], ...]
    faults: tuple[Fault, ...]
    unknown: Mapping[str, Mapping[str, int]]


def plain(text: str) -> str:
    """Return letters and figures alone, small: how names are compared."""
    bare = unicodedata.normalize("NFKD", text).casefold()
    return re.sub(r"[^a-z0-9]+", "", bare)


def guessed(header: Sequence[str]) -> tuple[str, ...]:
    """Guess what each column means; what nobody knows is kept as a note."""
    names = {plain(words): column for column, words in COLUMNS.items()}
    names |= {called: column for column, many in CALLED.items() for called in many}
    names |= {plain(column): column for column in COLUMNS}
    found: list[str] = []
    for name in header:
        guess = names.get(plain(name), NOTE)
        found.append(NOTE if guess in found else guess)
    return tuple(found)


def read_rows(
    header: Sequence[str],
    rows: Iterable[tuple[int, Sequence[str]]],
    choices: Choices,
    known: Mapping[str, Mapping[str, str]],
    kinds: Mapping[str, frozenset[str]],
) -> Reading:
    """Make passages of the rows, and say of each row what keeps it from being one."""
    maker = _Maker(header, choices, known, kinds)
    for number, cells in rows:
        maker.take(number, cells)
    return maker.reading()


class _Maker:
    """Takes a file row by row; a row for some visits joins the passage it names."""

    def __init__(
        self,
        header: Sequence[str],
        choices: Choices,
        known: Mapping[str, Mapping[str, str]],
        kinds: Mapping[str, frozenset[str]],
    ) -> None:
        self.header, self.choices, self.known, self.kinds = (
            header,
            choices,
            known,
            kinds,
        )
        self.made: dict[str, tuple[int, Passage, str]] = {}
        self.faults: list[Fault] = []
        self.unknown: dict[str, dict[str, int]] = {name: {} for name in KNOWN}

    def take(self, number: int, cells: Sequence[str]) -> None:
        given, note = self._given(cells)
        if given.get("purposes") or given.get("context"):
            self._variant(number, given)
            return
        key = self._key(given)
        if key in self.made and not given.get("key"):
            key = self._free(key)
        if key in self.made:
            first = self.made[key][0]
            said = f"Row {first} has the name {key} already. Give one of them another."
            self._fault(number, "key", said)
            return
        known = self._known(number, given)
        if len(known) < len(KNOWN):
            return
        passage = Passage(
            key=key,
            version=0,
            item=re.sub(r"\W+", "_", given.get("item", "").lower()).strip("_")[:60],
            also=_several(given.get("also", "")),
            binds=self._pairs(number, "binds", given),
            example=self._pairs(number, "example", given),
            **known,
            **self._texts(given),
        )
        for name, said in faults(passage, self.known, self.kinds):
            self._fault(number, name, said)
        self.made[key] = (number, passage, note)

    def reading(self) -> Reading:
        return Reading(
            tuple(self.made.values()),
            tuple(self.faults),
            {name: words for name, words in self.unknown.items() if words},
        )

    def _given(self, cells: Sequence[str]) -> tuple[dict[str, str], str]:
        given, notes = {}, []
        pairs = zip(self.header, self.choices.columns, cells, strict=True)
        for name, column, cell in pairs:
            if column != NOTE:
                given[column] = cell
            elif cell:
                notes.append(
                    cell if plain(name) == plain(COLUMNS[NOTE]) else f"{name}: {cell}"
                )
        return given, "\n".join(notes)

    def _key(self, given: Mapping[str, str]) -> str:
        key = given.get("key", "").strip().lower()
        if re.fullmatch(r"[a-z][a-z0-9_]*(\.[a-z0-9_]+)+", key):
            return key
        slug = re.sub(r"[^a-z0-9]+", "_", _ascii(key or self._title(given)))
        return f"own.{slug.strip('_')[:MOST_KEY].strip('_') or 'passage'}"

    def _free(self, key: str) -> str:
        """Two rows of one title are two passages."""
        tries = (f"{key}_{number}" for number in range(2, len(self.made) + 3))
        return next(one for one in tries if one not in self.made)

    def _title(self, given: Mapping[str, str]) -> str:
        """Take the first sentence where a file has no titles."""
        said = given.get("title", "").strip()
        return said or given.get("seen", "").split(". ")[0][: MOST["title"]].rstrip(".")

    def _texts(self, given: Mapping[str, str]) -> dict[str, Any]:
        texts: dict[str, str] = {name: given.get(name, "").strip() for name in PARTS}
        if texts["seen"] and "{place}" not in texts["seen"]:
            texts["seen"] = f"{{place}}: {texts['seen']}"
        return {"title": self._title(given), **texts}

    def _known(self, number: int, given: Mapping[str, str]) -> dict[str, Any]:
        """Return system, level and trade as we name them, each named or said once."""
        found = {}
        for name in KNOWN:
            typed = given.get(name, "").strip()
            key = self._named(name, typed)
            if key:
                found[name] = key
            elif typed:
                words = self.unknown[name]
                words[typed] = words.get(typed, 0) + 1
                self._fault(number, name, f"Say below what “{typed}” means.")
            else:
                said = (
                    f"Nothing stands under “{COLUMNS[name]}”. Choose what holds then."
                )
                self._fault(number, name, said)
        return found

    def _named(self, name: str, typed: str) -> str:
        if not typed:
            return self.choices.otherwise.get(name, "")
        chosen = self.choices.words.get(name, {}).get(typed, "")
        if chosen:
            return chosen
        bare = plain(typed)
        for key, words in self.known[name].items():
            if bare in (plain(key), plain(words)):
                return key
        return ""

    def _pairs(
        self, number: int, name: str, given: Mapping[str, str]
    ) -> dict[str, str]:
        found = {}
        for typed in given.get(name, "").splitlines():
            blank, mark, value = typed.strip().partition(":")
            if blank and not mark:
                self._fault(number, name, "Write a blank's name, a colon, the value.")
            elif blank:
                found[blank.strip()] = value.strip()
        return found

    def _variant(self, number: int, given: Mapping[str, str]) -> None:
        key = self._key(given)
        if key not in self.made:
            said = f"Put it below the row that has the name {key} and no such cells."
            self._fault(number, "purposes", said)
            return
        context = self._pairs(number, "context", given)
        for one in _several(given.get("purposes", "")):
            if one not in levels().purposes:
                said = f"“{one}” is no kind of visit: {', '.join(levels().purposes)}."
                self._fault(number, "purposes", said)
        variant = Variant(
            purposes=_several(given.get("purposes", "")),
            context=context,
            **{name: given.get(name, "").strip() for name in PARTS},
        )
        row, passage, note = self.made[key]
        joined = structs.replace(passage, variants=(*passage.variants, variant))
        self.made[key] = (row, joined, note)

    def _fault(self, number: int, column: str, said: str) -> None:
        self.faults.append(Fault(number, COLUMNS.get(column, column), said))


def _several(text: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in re.split(r"[,;\n]", text) if one.strip())


def _ascii(text: str) -> str:
    bare = unicodedata.normalize("NFKD", text)
    return bare.encode("ascii", "ignore").decode().lower()


def rows_of(passage: Passage, note: str) -> Iterable[tuple[str, ...]]:
    """Yield the rows of a passage for a file: itself, then its variants."""
    whole: dict[str, Any] = {
        **{name: getattr(passage, name) for name in ("key", "title", "item", *KNOWN)},
        **{name: passage.part(name) for name in PARTS},
        "also": "; ".join(passage.also),
        "binds": _joined(passage.binds),
        "example": _joined(passage.example),
        NOTE: note,
    }
    yield tuple(str(whole.get(name, "")) for name in COLUMNS)
    for one in passage.variants:
        said: dict[str, str] = {
            "key": passage.key,
            "purposes": "; ".join(one.purposes),
            "context": _joined(one.context),
            **{name: getattr(one, name) for name in PARTS},
        }
        yield tuple(said.get(name, "") for name in COLUMNS)


def _joined(pairs: Mapping[str, str]) -> str:
    return "\n".join(f"{name}: {value}" for name, value in pairs.items())
