"""A walked house of any size, as the folded log holds it. Invented."""

from __future__ import annotations

from random import Random
from typing import Any

from tests.support import nc_visit

ROOMS = ("kitchen", "bathroom", "bedroom", "living", "hall", "laundry")


def house(observations: int, seed: int = 1) -> dict[str, dict[str, Any]]:
    """Give a visit with about so many records besides its stops."""
    random = Random(seed)
    records: dict[str, dict[str, Any]] = {
        "v": {"kind": "visit", "arrived_at": "2026-11-24T14:00:00Z"},
        **nc_visit.electrical(),
    }
    for at in range(24):
        use = ROOMS[at % len(ROOMS)]
        records[f"st-{at}"] = nc_visit.stop(
            f"Room {at}", "room", f"r{at:02}", room_use=use, floor="first"
        )
    makers = (_space, _receptacle, _stair, _guard, _heater, _tap, _wood, _glass, _box)
    for at in range(observations):
        maker = makers[at % len(makers)]
        records[f"o-{at:05}"] = maker(random, at) | {"stop": f"st-{at % 24}"}
    return records


def _space(random: Random, at: int) -> dict[str, Any]:
    size, amps = random.choice([("14", 15), ("12", 20), ("14", 20), ("10", 30)])
    return {
        "kind": "space", "enclosure": "e-main", "number": at % 84 + 1, "amps": amps,
        "space_kind": "breaker", "poles": 1, "size": size, "material": "copper",
        "how": "read", "load": "general", "state": "on", "label": f"circuit {at}",
    }  # fmt: skip


def _receptacle(random: Random, at: int) -> dict[str, Any]:
    lamps = random.choice([["hot_neutral", "hot_ground"], ["hot_neutral"]])
    return {"kind": "receptacle", "place": f"wall {at}", "lamps": lamps,
            "contacts": "three", "gfci_kind": "none"}  # fmt: skip


def _stair(random: Random, at: int) -> dict[str, Any]:
    risers = [str(7 + random.randrange(6) / 8) for _ in range(12)]
    return {"kind": "stair", "place": f"stair {at}", "risers_in": risers,
            "treads_in": ["10"], "steps": 12, "handrail": "present"}  # fmt: skip


def _guard(random: Random, at: int) -> dict[str, Any]:
    drop = str(random.randint(20, 80))
    return {"kind": "guard", "place": f"edge {at}", "drop_in": drop,
            "guard": "present", "height_in": "36", "opening_in": "4.5"}  # fmt: skip


def _heater(random: Random, at: int) -> dict[str, Any]:
    return {"kind": "water_heater", "place": f"heater {at}", "relief_pipe": "present",
            "relief_end_in": str(random.randint(2, 20)), "made_year": 2010}  # fmt: skip


def _tap(random: Random, at: int) -> dict[str, Any]:
    return {"kind": "hot_tap", "place": f"tap {at}", "tap": "sink",
            "temp_f": str(random.randint(100, 150))}  # fmt: skip


def _wood(random: Random, at: int) -> dict[str, Any]:
    return {"kind": "wood_moisture", "place": f"joist {at}", "meter": "pin",
            "reading_pct": str(random.randint(8, 30)), "material": "wood"}  # fmt: skip


def _glass(random: Random, at: int) -> dict[str, Any]:
    low = str(random.randint(20, 80))
    return {"kind": "glass", "place": f"pane {at}", "glass_place": "tub_shower",
            "mark": "corners_bare", "bottom_in": low}  # fmt: skip


def _box(random: Random, at: int) -> dict[str, Any]:
    return {"kind": "box", "place": f"box {at}", "box_kind": "junction",
            "cover": random.choice(["in_place", "missing"])}  # fmt: skip
