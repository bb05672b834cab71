"""A file of passages as it would be taken over: its columns, words, faults, preview."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from msgspec import structs

from findings.models import PassageImport, PassageVersion
from findings.selectors.library import Held, day_said, held
from findings.selectors.rulings import kinds
from findings.selectors.shelf import choices_of, read_passage
from findings.wording import columns, sheets
from findings.wording.columns import COLUMNS, Choices, Fault, Reading
from findings.wording.examples import shared_examples
from findings.wording.passages import Passage
from findings.wording.shaping import KNOWN, shown, wanting
from firm.actor import Actor

State = PassageImport.State
MOST_FAULTS = 200
MOST_SHOWN = 25
MEND = "What to do"


@dataclass(frozen=True, slots=True)
class FaultRow:
    """A row of the file that cannot be taken over as it stands."""

    row: int
    title: str
    column: str
    said: str


@dataclass(frozen=True, slots=True)
class TakenRow:
    """A row as the passage that it would become."""

    row: int
    title: str
    becomes: str
    reads: str
    wanting: str


@dataclass(frozen=True, slots=True)
class ImportPage:
    """One file that was brought."""

    name: str
    brought: str
    state: str
    waits: bool
    total: int
    faults: tuple[FaultRow, ...]
    faulty_rows: int
    more_faults: int
    ready: int
    new: int
    anew: int
    same: int
    short: int
    rows: tuple[TakenRow, ...]
    header: tuple[str, ...]
    samples: tuple[str, ...]
    choices: Choices
    explained: Mapping[str, tuple[tuple[str, int], ...]]
    list_url: str
    mend_url: str
    take_url: str
    leave_url: str


@dataclass(frozen=True, slots=True)
class BroughtRow:
    """An earlier file in the list."""

    name: str
    url: str
    said: str


def choices_in(kept: Mapping[str, Any], header: Sequence[str] = ()) -> Choices:
    """Return what a person said of a file, as it is kept; else what is guessed."""
    return Choices(
        tuple(kept.get("columns") or columns.guessed(header)),
        kept.get("words") or {},
        kept.get("otherwise") or {},
    )


def reading_of(brought: PassageImport) -> Reading:
    """Make passages of the file's rows as they are explained now."""
    known = {name: choices_of(name) for name in KNOWN}
    rows = ((number, cells) for number, cells in brought.rows)
    said = choices_in(brought.choices, brought.header)
    return columns.read_rows(brought.header, rows, said, known, dict(kinds()))


def import_page(actor: Actor, brought: PassageImport) -> ImportPage:
    """Return the file with what would become of it; the queries never grow."""
    reading, known = reading_of(brought), held(actor)
    every = known.every()
    becomes = [_becomes(known, every, p, note) for _, p, note in reading.passages]
    counts = Counter(becomes)
    waits = brought.state == State.WAITING
    faulty = {one.row for one in reading.faults}
    return ImportPage(
        name=brought.name,
        brought=f"{brought.brought_by.name}, {day_said(actor, brought.brought_at)}",
        state=brought.get_state_display(),
        waits=waits,
        total=len(brought.rows),
        faults=tuple(_fault_rows(brought, reading.faults[:MOST_FAULTS])),
        faulty_rows=len(faulty),
        more_faults=max(0, len(reading.faults) - MOST_FAULTS),
        ready=len(reading.passages),
        new=counts["new"],
        anew=counts["written anew"],
        same=counts["as it stands"],
        short=sum(1 for _, passage, _ in reading.passages if wanting(passage)),
        rows=tuple(_taken_rows(reading, becomes)),
        header=tuple(brought.header),
        samples=tuple(_samples(brought)),
        choices=choices_in(brought.choices, brought.header),
        explained=_explained(brought, reading),
        **_urls(actor, brought, ready=waits and not reading.faults),
    )


def earlier(actor: Actor) -> tuple[BroughtRow, ...]:
    """Return the files that were brought, the newest first."""
    rows = PassageImport.objects.filter(firm=actor.firm).select_related("brought_by")
    return tuple(
        BroughtRow(
            name=row.name,
            url=_url(actor, "import-read", row.pk),
            said=f"{row.get_state_display()}, {row.brought_by.name}, "
            f"{day_said(actor, row.brought_at)}",
        )
        for row in rows.defer("rows", "choices").order_by("-brought_at")[:20]
    )


def to_mend(brought: PassageImport) -> bytes:
    """Return the rows that cannot be taken over, with what to do, as CSV."""
    said: dict[int, list[str]] = {}
    for one in reading_of(brought).faults:
        said.setdefault(one.row, []).append(f"{one.column}: {one.said}")
    rows = (
        [*cells, " ".join(said[number])]
        for number, cells in brought.rows
        if number in said
    )
    return sheets.as_csv([*brought.header, MEND], rows)


def exported(actor: Actor, form: str) -> bytes:
    """Return all passages as a file: what is in use, and what waits where it is new."""
    known = held(actor)
    rows = [
        row
        for key in sorted(known.every())
        for row in columns.rows_of(known.passage(key), _note(known, key))
    ]
    header = list(COLUMNS.values())
    return (
        sheets.as_xlsx(header, rows) if form == "xlsx" else sheets.as_csv(header, rows)
    )


def _note(known: Held, key: str) -> str:
    row = known.current.get(key) or known.newest(key)
    return row.note if row else ""


def stands(newest: PassageVersion | None, passage: Passage, note: str) -> bool:
    """Say whether a row says what the newest version of its passage says."""
    if newest is None or newest.kind == PassageVersion.Kind.RETIRED:
        return False
    held_so = structs.replace(read_passage(newest.content), version=0)
    return held_so == structs.replace(passage, version=0) and newest.note == note


def _becomes(known: Held, every: set[str], passage: Passage, note: str) -> str:
    newest = known.newest(passage.key)
    if stands(newest, passage, note):
        return "as it stands"
    return "new" if passage.key not in every else "written anew"


def _fault_rows(brought: PassageImport, found: Sequence[Fault]) -> Iterable[FaultRow]:
    cells = dict(brought.rows)
    for one in found:
        first = next((cell for cell in cells[one.row] if cell), "")
        yield FaultRow(one.row, first[:80], one.column, one.said)


def _taken_rows(reading: Reading, becomes: Sequence[str]) -> Iterable[TakenRow]:
    shared = shared_examples()
    pairs = zip(reading.passages, becomes, strict=True)
    for (number, passage, _), said in list(pairs)[:MOST_SHOWN]:
        yield TakenRow(
            row=number,
            title=passage.title,
            becomes=said,
            reads=shown(passage, shared).seen,
            wanting=" and ".join(wanting(passage)),
        )


def _samples(brought: PassageImport) -> Iterable[str]:
    for place in range(len(brought.header)):
        cells = (row[place] for _, row in brought.rows)
        yield next((cell for cell in cells if cell), "")[:60]


def _explained(
    brought: PassageImport, reading: Reading
) -> dict[str, tuple[tuple[str, int], ...]]:
    """Return the words to be explained, those that are already among them."""
    found: dict[str, tuple[tuple[str, int], ...]] = {}
    kept = choices_in(brought.choices).words
    for name in KNOWN:
        counts = dict.fromkeys(kept.get(name, {}), 0) | dict(
            reading.unknown.get(name, {})
        )
        if counts:
            found[name] = tuple(
                sorted(counts.items(), key=lambda one: (-one[1], one[0]))
            )
    return found


def _urls(actor: Actor, brought: PassageImport, *, ready: bool) -> dict[str, str]:
    waits = brought.state == State.WAITING
    return {
        "list_url": _url(actor, "passage-list"),
        "mend_url": _url(actor, "import-mend", brought.pk),
        "take_url": _url(actor, "import-take", brought.pk) if ready else "",
        "leave_url": _url(actor, "import-leave", brought.pk) if waits else "",
    }


def _url(actor: Actor, name: str, *args: object) -> str:
    return reverse(name, args=[actor.firm.slug, *args])
