"""What a visit says, whoever's ids and clocks it was said with."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

Entry = Mapping[str, Any]
# What differs between two phones by nature: bytes, clocks, order on the route.
OWN = {"sha256", "size", "width", "height", "file_name", "camera", "taken_at", "pos",
       "closed_minutes", "closed_struck", "on_site", "media"}  # fmt: skip
# What the script leaves for the desk, or for the end of the visit: levels, captions,
# marks, where an answer was given, and what ties one record to a later one.
LATER = {
    "duty": {"stop"},
    "hand_finding": {"item", "system", "consequence", "timing", "trade"},
    "photo": {"caption", "use"},
    "note": {"about", "stop"},
    "measure": {"about"},
    "limit": {"reach", "stop"},
}
DESK = {"mark"}


def fits(one: Entry, stop: Entry) -> bool:
    """Say whether a stop of the new route can become a stop of the story."""
    if one["stop_kind"] != stop["stop_kind"]:
        return False
    if one["stop_kind"] == "outside":
        return bool(one.get("corner") == stop["corner"])
    return bool(one.get("room_use") == stop.get("room_use"))


def told(records: Mapping[str, Entry], visit: object) -> Counter[Any]:
    """Return what a visit says, whoever's ids and clocks it was said with."""
    named = {rec: called(one) for rec, one in records.items()} | {str(visit): "visit"}
    found: Counter[Any] = Counter()
    for one in records.values():
        if one["kind"] in DESK or said_once(one):
            continue
        left = OWN | LATER.get(str(one["kind"]), set())
        said = {
            name: in_any_order(name, plain(value, named))
            for name, value in one.items()
            if name not in left
            and not name.endswith("_at")
            and value not in ("", [], None, False)
        }
        found[(one["kind"], tuple(sorted(said.items())))] += 1
    return found


def said_once(one: Entry) -> bool:
    """The story answers one duty of the whole house twice; a phone asks it once."""
    return one.get("duty") == "NC-EL-015" and one.get("answer") == "not_present"


def called(one: Entry) -> str:
    keys = (
        "name",
        "line",
        "place",
        "number",
        "what",
        "model",
        "duty",
        "caption",
        "reason",
    )
    return f"{one['kind']} " + " ".join(str(one[key]) for key in keys if key in one)


def in_any_order(name: str, value: Any) -> Any:
    return tuple(sorted(value)) if name in ("attended", "died_with") else value


def plain(value: Any, named: Mapping[str, str]) -> Any:
    if isinstance(value, list):
        return tuple(plain(one, named) for one in value)
    if isinstance(value, dict):
        return tuple(sorted(value.items()))
    return named.get(value, value) if isinstance(value, str) else value
