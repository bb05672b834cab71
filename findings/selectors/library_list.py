"""The list of the firm's passages: searched, narrowed, a page at a time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

from findings.selectors.library import NEVER, STANDINGS, WAITS, Held, held
from findings.selectors.library_rows import Filter, LibraryPage, PassageRow
from findings.selectors.shelf import systems
from findings.wording import passages
from findings.wording.passages import Passage, Shelf
from firm.actor import Actor

PER_PAGE = 60
BEGINS = 160


@dataclass(frozen=True, slots=True)
class Wanted:
    """What somebody looks for in the library."""

    query: str = ""
    system: str = ""
    standing: str = ""
    page: int = 1

    def at(self, url: str, **other: object) -> str:
        """Return the address of this search with something changed."""
        asked = {"find": self.query, "system": self.system, "standing": self.standing}
        kept = {name: value for name, value in {**asked, **other}.items() if value}
        return f"{url}?{urlencode(kept)}" if kept else url


def library_page(actor: Actor, wanted: Wanted) -> LibraryPage:
    """Return one page of the list; the number of queries never grows."""
    known = held(actor)
    every = {key: known.passage(key) for key in known.every()}
    standings = {key: known.standings(key) for key in every}
    hits = _searched(every, wanted.query)
    by_system = [k for k in hits if wanted.system in ("", every[k].system)]
    found = [
        k for k in by_system if not wanted.standing or wanted.standing in standings[k]
    ]
    pages = max(1, -(-len(found) // PER_PAGE))
    page = min(max(1, wanted.page), pages)
    url = _url(actor, "passage-list")
    rows = found[(page - 1) * PER_PAGE : page * PER_PAGE]
    waiting = sum(1 for stand in standings.values() if WAITS in stand)
    return LibraryPage(
        query=wanted.query,
        system=wanted.system,
        standing=wanted.standing,
        url=url,
        found=len(found),
        total=len(every),
        rows=tuple(_row(actor, known, k, every[k], standings[k]) for k in rows),
        systems=tuple(_systems(url, wanted, [every[k].system for k in hits])),
        standings=tuple(
            _standings(url, wanted, [s for k in by_system for s in standings[k]])
        ),
        page=page,
        pages=pages,
        earlier_url=wanted.at(url, page=page - 1) if page > 1 else "",
        later_url=wanted.at(url, page=page + 1) if page < pages else "",
        waiting=waiting,
        **_urls(actor, waiting),
    )


def _searched(every: dict[str, Passage], query: str) -> list[str]:
    """Return the keys that fit, best first; without a query all, by title."""
    if not query.strip():
        order = sorted(every.values(), key=lambda p: (p.title.casefold(), p.key))
        return [one.key for one in order]
    shelf = Shelf(every, {})
    hits = passages.search(query, limit=len(every), shelf=shelf)
    plain = query.casefold()
    exact = [
        k for k, p in every.items() if plain in f"{k} {p.title} {p.seen}".casefold()
    ]
    return list(dict.fromkeys([*exact, *(hit.passage.key for hit in hits)]))


def _row(
    actor: Actor, known: Held, key: str, passage: Passage, standings: Sequence[str]
) -> PassageRow:
    begins = passage.seen.removeprefix("{place}: ").strip()
    return PassageRow(
        key=key,
        title=passage.title,
        url=_url(actor, "passage-read", key),
        system=systems().get(passage.system, passage.system),
        begins=f"{begins[:BEGINS].rstrip()} …" if len(begins) > BEGINS else begins,
        standing="; ".join(STANDINGS[one] for one in standings),
        usage=known.usage.get(key, NEVER).said,
    )


def _systems(url: str, wanted: Wanted, found: Sequence[str]) -> list[Filter]:
    counts = Counter(found)
    return [
        Filter(words, wanted.at(url, system=key), counts[key], wanted.system == key)
        for key, words in sorted(systems().items(), key=lambda one: one[1])
        if counts[key] or wanted.system == key
    ]


def _standings(url: str, wanted: Wanted, found: Sequence[str]) -> list[Filter]:
    counts = Counter(found)
    return [
        Filter(words, wanted.at(url, standing=key), counts[key], wanted.standing == key)
        for key, words in STANDINGS.items()
        if counts[key] or wanted.standing == key
    ]


def _urls(actor: Actor, waiting: int) -> dict[str, str]:
    writes, approves = actor.can("passages.write"), actor.can("passages.approve")
    may = {
        "new_url": ("passage-new", (), writes),
        "bring_url": ("passage-bring", (), approves),
        "csv_url": ("passage-export", ("csv",), approves),
        "xlsx_url": ("passage-export", ("xlsx",), approves),
        "checks_url": ("wording-checks", (), True),
        "approve_url": ("passage-approve-waiting", (), approves and waiting > 0),
    }
    return {
        key: _url(actor, name, *args) if allowed else ""
        for key, (name, args, allowed) in may.items()
    }


def _url(actor: Actor, name: str, *args: str) -> str:
    return reverse(name, args=[actor.firm.slug, *args])
