"""A record put into one line, as an inspector would say it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

Book = Mapping[str, Any]


def line_of(
    book: Book, kind: str, entry: Mapping[str, Any], fields: Sequence[str]
) -> tuple[str, set[str]]:
    """Return the line and the names of the fields that it says."""
    lines = book["lines"]
    told = lines["kinds"].get(kind, {})
    left = {name: entry[name] for name in fields if entry.get(name, "") != ""}
    parts: list[str] = []
    into = told.get("rest")
    if into in left and "." not in str(left[into]):
        parts.append(str(left.pop(into)))
    ways = sorted(told.get("say", ()), key=lambda one: -len(names(one)))
    for one in ways:
        if fits(one, left):
            parts.append(phrase(book, one["phrase"], left))
            for name in names(one):
                left.pop(name)
    for name in list(left):
        said = labelled(book, kind, name, left[name])
        if said:
            parts.append(said)
            left.pop(name)
    return ", ".join(parts), {
        name for name in fields if entry.get(name, "") != ""
    } - set(left)


def names(one: Mapping[str, Any]) -> list[str]:
    return [*one.get("set", {}), *re.findall(r"\{(\w+)\}", one["phrase"])]


def fits(one: Mapping[str, Any], left: Mapping[str, Any]) -> bool:
    same = all(left.get(name) == value for name, value in one.get("set", {}).items())
    return same and all(name in left for name in names(one))


def phrase(book: Book, text: str, left: Mapping[str, Any]) -> str:
    """Write a phrase with its values and without what may be left out."""
    plain = re.sub(r"\[[^\]]*\] ?", "", text).strip()
    return re.sub(r"\{(\w+)\}", lambda at: word(book, left[at[1]]), plain)


def word(book: Book, value: Any) -> str:
    return str(book["lines"]["words"].get(value, [value])[0]).replace("_", " ")


def labelled(book: Book, kind: str, name: str, value: Any) -> str | None:
    """Say a field by its own name before the value."""
    form = book["vocabulary"]["kinds"][kind][name]["form"]
    label = book["labels"]["kinds"].get(kind, {}).get("fields", {}).get(name, {})
    called = book["lines"]["called"].get(name)
    own = label.get("label") or book["labels"]["facts"].get(name)
    own = own or name.replace("_", " ")
    if form in ("text", "line"):
        whole = re.search(r"[,;]|\.(\s|$)", str(value)) is None
        return f"{called[0] if called else own} {value}" if whole else None
    if form in ("int", "decimal", "choice"):
        return f"{own.replace(',', '')} {word(book, value)}"
    return None
