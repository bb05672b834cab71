"""An invented house of 1978, its kitchen redone about 2005 without a permit.

What stands in it is the scenario's own: two panels, a laundry, a garage that joins the
house, no alarms, a low railing on the landing, a crawl space with a tight way in.
"""

from typing import Any

from findings.rules import loader as rule_files
from findings.selectors.side_by_side import House, Side, sides
from findings.standards.visit import Scope
from tests.support.nc_visit import CLOSED, main_panel, stop, subpanel, tried

Records = dict[str, dict[str, Any]]
BUILT = {"built_from": 1978, "built_to": 1978, "built_source": "tax_record"}
STATES = ("NC", "TX", "WA")


def receptacle(at: str, place: str, kind: str, **fields: Any) -> dict[str, Any]:
    """Return a receptacle with three holes that tests well and has no protection."""
    return {
        "kind": "receptacle",
        "stop": at,
        "place": place,
        "receptacle_kind": kind,
        "contacts": "three",
        "lamps": ["hot_neutral", "hot_ground"],
        "gfci_kind": "none",
        **fields,
    }


def records() -> Records:
    """Return the whole visit, every stop closed."""
    return {
        "visit": {"kind": "visit", "arrived_at": CLOSED, "temp_out_f": 64},
        **_stops(),
        **_electrical(),
        **_rest(),
        # The kitchen looks newer than the house; nobody found a permit.
        "age": {
            "kind": "age_note",
            "reach": "s-kit",
            "year_from": 2004,
            "year_to": 2006,
            "how_known": "estimated",
            "why": "Cabinets and counters; the county has no permit.",
        },
    }


def _stops() -> Records:
    room = {"floor": "first"}
    return {
        "s-out": stop("Outside loop", "outside", "b", **tried(2)),
        "s-roof": stop("Roof", "roof", "c", method="from_ground", method_reason="wet"),
        "s-gar": stop("Garage", "garage", "d", **tried(3)),
        "s-svc": stop("Service equipment", "service_equipment", "e"),
        "s-kit": stop(
            "Kitchen",
            "room",
            "f",
            room_use="kitchen",
            has_sink=True,
            **room,
            **tried(6),
        ),
        "s-lau": stop("Laundry", "room", "g", room_use="laundry", **room, **tried(2)),
        "s-bath": stop(
            "Bathroom", "room", "h", room_use="bathroom", has_sink=True, **tried(1)
        ),
        "s-bed": stop("Bedroom", "room", "i", room_use="bedroom", **tried(4)),
        "s-att": stop("Attic", "attic", "j", method="entered"),
        "s-crawl": stop("Crawl space", "under_floor", "k", method="from_hatch"),
    }


def _electrical() -> Records:
    return {
        "e-main": main_panel(stop="s-svc", bus_amps=200, conductor_size="4/0"),
        "e-sub": subpanel(fed_from="e-main"),
        "w-1": {
            "kind": "branch_wiring",
            "stop": "s-svc",
            "material": "copper",
            "stranding": "solid",
        },
        "r-kit": receptacle("s-kit", "left of the sink", "counter"),
        "r-lau": receptacle("s-lau", "behind the washer", "laundry"),
        "r-bath": receptacle("s-bath", "beside the basin", "bathroom"),
        "r-gar": receptacle("s-gar", "by the freezer", "garage"),
        "no-co": {
            "kind": "alarm_look",
            "stop": "s-bed",
            "alarm_kind": "carbon_monoxide",
            "answer": "looked_none",
        },
        "no-smoke": {
            "kind": "alarm_look",
            "stop": "s-bed",
            "alarm_kind": "smoke",
            "answer": "looked_none",
        },
        "o-gar": {
            "kind": "observation",
            "stop": "s-gar",
            "item": "co_alarm",
            "what": "attached_garage",
            "answer": "yes",
            "how_known": "seen",
        },
    }


def _rest() -> Records:
    return {
        "guard": {
            "kind": "guard",
            "stop": "s-bed",
            "place": "landing",
            "beside": "floor",
            "drop_in": "96",
            "guard": "present",
            "height_in": "33",
            "opening_in": "4",
            "how_known": "measured",
        },
        "way-in": {
            "kind": "way_in",
            "stop": "s-crawl",
            "hatch_long_in": "24",
            "hatch_short_in": "16",
            "headroom_in": "22",
            "beam_clear_in": "14",
            "how_known": "measured",
        },
    }


def house(**changed: Any) -> House:
    """Return the house as the comparison takes it."""
    return House(
        records={**records(), **changed},
        conflicts={},
        facts=BUILT,
        rules=rule_files.ruleset(),
        ticked=frozenset(),
        scope=Scope(),
    )


def under_three() -> dict[str, Side]:
    """Return the house under each state's standard."""
    return dict(zip(STATES, sides(house(), STATES), strict=True))
