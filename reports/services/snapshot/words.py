"""The report's own words: keys of records in plain English, times, lists, lengths."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, datetime
from functools import cache
from typing import Any, Final
from zoneinfo import ZoneInfo

import yaml
from django.conf import settings

from findings.standards.coverage import called
from findings.standards.coverage import listed as listed  # noqa: PLC0414

LINE: Final = 400
TEXT: Final = 20_000


@cache
def table() -> dict[str, Any]:
    """Return the words of fixtures/words/report.yaml."""
    path = settings.FIRM_DATA_DIR / "words" / "report.yaml"
    data = yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader)
    found: dict[str, Any] = data
    return found


def say(group: str, key: Any, default: str = "") -> str:
    """Return the words for one value of a record; the default for none or a new one."""
    return str(table()[group].get(str(key), default)) if key is not None else default


def template(group: str, key: str, **blanks: object) -> str:
    """Return a sentence with its blanks filled."""
    return str(table()[group][key]).format(**blanks)


def remedy(key: str, purpose: str, *, gap: bool = False) -> str:
    """Return what the client can do about a reason, in words of the visit's purpose."""
    group = table()["remedies_by_gap" if gap else "remedies"]
    before = table()["before"]
    sentence = group.get(key) or table()["remedies"]["other"]
    return str(sentence).format(before=before.get(purpose, before["other"]))


def system_label(key: str) -> str:
    """Return a system's name as a heading."""
    return capital(called(key))


def plainly(key: object) -> str:
    """Return a key as words: "drop_above_roof" is "drop above roof"."""
    return str(key).replace("_", " ").strip()


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Return the text as a sentence, with its capital and its period."""
    clean = capital(text.strip())
    return clean if not clean or clean.endswith((".", "?", "!")) else f"{clean}."


def line(text: object, most: int = LINE) -> str:
    """Return one line that fits its place, cut between words and marked when cut."""
    flat = re.sub(r"\s+", " ", str(text)).strip()
    if len(flat) <= most:
        return flat
    return flat[: most - 2].rsplit(" ", 1)[0] + " …"


def fitted(items: Iterable[str], most: int = LINE - 20) -> list[str]:
    """Join names into as few lines as hold them all, so that none is left out."""
    lines: list[list[str]] = [[]]
    for item in dict.fromkeys(line(one, most) for one in items):
        if lines[-1] and len(", ".join([*lines[-1], item])) > most:
            lines.append([])
        lines[-1].append(item)
    return [listed(names) for names in lines if names]


def moment(value: Any) -> datetime | None:
    """Read an instant of the log; None for what is none."""
    try:
        found = datetime.fromisoformat(str(value))
    except ValueError:
        return None
    return found if found.tzinfo else None


def day(when: datetime, zone: ZoneInfo) -> str:
    """Say a day: "March 4, 2026"."""
    local = when.astimezone(zone)
    return f"{local:%B} {local.day}, {local.year}"


def clock(when: datetime, zone: ZoneInfo) -> str:
    """Say a time of the day: "5:40 p.m."."""
    local = when.astimezone(zone)
    half = "a.m." if local.hour < 12 else "p.m."  # noqa: PLR2004 - noon
    return f"{local.hour % 12 or 12}:{local.minute:02d} {half}"


def day_and_clock(when: datetime, zone: ZoneInfo) -> str:
    return f"{day(when, zone)}, {clock(when, zone)}"


def clock_of(value: Any, zone: ZoneInfo) -> str:
    """Say the time of an instant of the log, nothing for what is none."""
    found = moment(value)
    return clock(found, zone) if found else ""


def instant(when: datetime) -> str:
    """Return a moment as the snapshot holds it: UTC, to the second."""
    return when.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
