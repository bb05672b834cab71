"""The values that print and web pages have in common."""

from typing import Any

from reports.rendering import age_drawing, outline
from reports.rendering.book import Book
from reports.rendering.schema import OddReceptacle
from reports.rendering.schema_beside import Rechecked

# What the front page names of what could not be seen; its own part names the rest.
GAPS_IN_FRONT = 4


def values(book: Book) -> dict[str, Any]:
    """Return what the section templates ask for; all of it finished text."""
    s = book.snapshot
    return heading(book) | {
        "chain_seq": str(s.chain.seq),
        "digest_short": book.digest[:16],
        "cover": book.cover,
        "weather": _weather(book),
        "attended": "; ".join(f"{one.name}, {one.role}" for one in s.visit.attended),
        "sections": outline.sections(book),
        "rechecked": [_rechecked(book, item) for item in s.rechecked],
        "ages": age_drawing.rows(s.ages),
        "panels": outline.panel_sheets(book),
        "trades": book.trades,
        "gaps_more": str(len(book.gaps) - GAPS_IN_FRONT)
        if len(book.gaps) > GAPS_IN_FRONT
        else "",
        "urgent": [
            {"what": one, "ref": book.reference(one.finding)} for one in s.urgent
        ],
        "alarms": [
            {"alarm": one, "ref": book.reference(one.finding)} for one in s.alarms
        ],
        "receptacles": _receptacles(book),
    }


def heading(book: Book) -> dict[str, Any]:
    """Return what the head of every page needs."""
    s = book.snapshot
    return {
        "book": book,
        "s": s,
        "issue": str(s.issue),
        "replaced_issue": str(s.replaces.issue) if s.replaces else "",
    }


def _rechecked(book: Book, item: Rechecked) -> dict[str, Any]:
    return {
        "item": item,
        "number": str(item.number),
        "before": [book.picture(one) for one in item.before],
        "after": [book.picture(one) for one in item.after],
    }


def _weather(book: Book) -> str:
    weather = book.snapshot.visit.weather
    parts = [weather.now, weather.lately]
    parts.append(f"ground {weather.ground}" if weather.ground else "")
    parts.append(f"outside {weather.outside}" if weather.outside else "")
    parts.append(f"inside {weather.inside}" if weather.inside else "")
    return ", ".join(part for part in parts if part)


def _receptacles(book: Book) -> dict[str, Any]:
    told = book.snapshot.receptacles
    return {
        "totals": told.totals,
        "note": told.note,
        "rows": [
            {
                "place": row.place,
                "seen": str(row.seen),
                "tried": str(row.tried),
                "correct": str(row.correct),
                "not_reachable": str(row.not_reachable),
                "odd": [_odd(book, odd) for odd in row.odd],
            }
            for row in told.rows
        ],
    }


def _odd(book: Book, odd: OddReceptacle) -> dict[str, Any]:
    words = (odd.lamps_words, odd.protection_words)
    return {
        "where": odd.where,
        "words": ", ".join(part for part in words if part),
        "ref": book.reference(odd.finding),
    }
