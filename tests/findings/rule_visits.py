"""Small visits for the rules' tests: a house, a sound panel, one of each kind."""

from typing import Any

from findings.rules import loader, visit
from findings.rules.proposal import Proposal

RULES = loader.ruleset()
NC = loader.timeline("NC")
HOUSE_1978 = {
    "state": "NC",
    "built_from": 1978,
    "built_to": 1978,
    "built_source": "tax",
}
SERVICE: dict[str, Any] = {
    "kind": "enclosure", "stop": "garage", "name": "Main panel", "map_done": True,
    "role": "service_disconnect", "main_kind": "breaker", "main_amps": 200,
    "bus_amps": 200, "conductor_size": "4/0", "conductor_material": "aluminium",
    "conductor_how": "read", "neutral_and_ground": "joined", "antioxidant": "present",
    "cover": "in_place", "openings_unfilled": 0, "labels": "complete",
}  # fmt: skip
SPACE: dict[str, Any] = {
    "kind": "space", "enclosure": "panel", "number": 4, "space_kind": "breaker",
    "amps": 20, "poles": 1, "size": "12", "material": "copper", "how": "read",
    "load": "general",
}  # fmt: skip


def stops() -> dict[str, dict[str, Any]]:
    room = {"kind": "stop", "stop_kind": "room", "closed_at": "2026-03-04T15:00:00Z"}
    return {
        "visit": {"kind": "visit", "arrived_at": "2026-03-04T14:00:00Z"},
        "garage": {**room, "name": "Garage", "stop_kind": "garage"},
        "kitchen": {**room, "name": "Kitchen", "room_use": "kitchen", "floor": "first"},
        "bath": {**room, "name": "Hall bath", "room_use": "bathroom", "floor": "first"},
        "bed": {**room, "name": "Bedroom", "room_use": "bedroom", "floor": "first"},
    }


def offer(
    records: dict[str, dict[str, Any]],
    conflicts: dict[tuple[str, str], list[Any]] | None = None,
    house: dict[str, Any] = HOUSE_1978,
    pack: Any = (),
) -> list[Proposal]:
    facts = {**stops(), **records}
    return visit.proposals(facts, conflicts or {}, house, RULES, NC, pack)


def of(found: list[Proposal], rule: str) -> Proposal:
    return next(one for one in found if one.rule == rule)


def rules(found: list[Proposal]) -> list[str]:
    return [one.rule for one in found]


def fed(**more: Any) -> dict[str, dict[str, Any]]:
    sub = {
        "kind": "enclosure", "stop": "kitchen", "name": "Kitchen panel",
        "role": "fed_from_panel", "fed_from": "panel", "fed_by_space": "s4",
        "map_done": True, "bus_amps": 100, "neutral_and_ground": "apart",
        "main_kind": "lugs_only", "cover": "in_place", "openings_unfilled": 0, **more,
    }  # fmt: skip
    feeder = {**SPACE, "amps": 100, "poles": 2, "load": "feeder", "size": None,
              "material": None}  # fmt: skip
    return {"panel": SERVICE, "s4": feeder, "sub": sub}


RECEPTACLE: dict[str, Any] = {
    "kind": "receptacle", "stop": "bath", "place": "by the basin", "contacts": "three",
    "receptacle_kind": "bathroom",
}  # fmt: skip
