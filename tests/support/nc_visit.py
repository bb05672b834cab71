"""A folded visit of an invented house, complete enough for North Carolina's ledger."""

from typing import Any

CLOSED = "2026-11-20T16:00:00Z"


def stop(name: str, kind: str, pos: str, **fields: Any) -> dict[str, Any]:
    return {
        "kind": "stop",
        "name": name,
        "stop_kind": kind,
        "pos": pos,
        "closed_at": CLOSED,
        **fields,
    }


def tried(count: int, **fields: Any) -> dict[str, Any]:
    """A stop's counts with everything tried."""
    return {
        "receptacles_seen": count,
        "receptacles_tried": count,
        "receptacles_correct": count,
        "lights_tried": 1,
        "switches_tried": 1,
        **fields,
    }


def electrical() -> dict[str, dict[str, Any]]:
    """Every record the electrical ledger asks for, so that nothing is open."""
    return {
        "s-out": stop("Outside loop", "outside", "b", **tried(2)),
        "s-gar": stop("Garage", "garage", "d", **tried(3)),
        "s-svc": stop("Service equipment", "service_equipment", "e"),
        "s-kit": stop(
            "Kitchen", "room", "f", room_use="kitchen", has_sink=True, **tried(5)
        ),
        "s-bed": stop("Bedroom", "room", "g", room_use="bedroom", **tried(4)),
        "e-main": main_panel(),
        "w-1": {
            "kind": "branch_wiring",
            "stop": "s-svc",
            "material": "copper",
            "stranding": "solid",
        },
        "r-1": {
            "kind": "receptacle",
            "stop": "s-kit",
            "gfci_kind": "device",
            "gfci_own_button_trips": "yes",
        },
        "a-1": {
            "kind": "alarm",
            "stop": "s-bed",
            "alarm_kind": "both",
            "sounded": "yes",
        },
        "d-fan": {"kind": "duty", "duty": "NC-EL-015", "answer": "not_present"},
    }


def main_panel(**fields: Any) -> dict[str, Any]:
    return {
        "kind": "enclosure",
        "stop": "s-svc",
        "name": "Main panel",
        "location": "rear wall of the garage",
        "enclosure_kind": "panelboard",
        "role": "service_disconnect",
        "service_kind": "overhead",
        "volts": "120/240",
        "main_amps": 200,
        "main_kind": "breaker",
        "conductor_material": "aluminium",
        "conductor_how": "read",
        "neutral_and_ground": "joined",
        "cover": "in_place",
        "cover_removed": "removed",
        "openings_unfilled": 0,
        "map_done": True,
        **fields,
    }


def subpanel(**fields: Any) -> dict[str, Any]:
    """A panel fed from the main one."""
    return main_panel(
        name="Subpanel",
        location="hall",
        role="fed_from_panel",
        neutral_and_ground="apart",
        **fields,
    )
