"""What the house as a whole says to the rules: alarms, the drop, readings, dates."""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from findings.rules.bindings import ANSWER, YES_NO, Binding, Bindings, View, binding
from findings.rules.era import Dates, Span
from findings.rules.tree import Tree

DROP_SURFACES = {
    "drip_loop_above_ground_ft": "entrance_or_drip_loop",
    "drop_above_walk_ft": "pedestrian_only",
    "drop_above_drive_ft": "residential_drive",
    "drop_above_street_ft": "street_or_truck",
}
# Rooms where an alarm is looked for.
ALARMED = ("bedroom", "hall", "stairs")
FLOOR_WORDS = {
    "below_ground": "the floor below ground",
    "first": "the first floor",
    "second": "the second floor",
    "third": "the third floor",
}
POWER = {
    "wired_with_battery": "wired",
    "wired": "wired",
    "battery": "battery",
    "sealed_battery": "battery",
}


def house(view: View) -> Bindings:
    """Every binding whose subject is the house or one reading in it."""
    yield from _smoke(view)
    yield from _carbon_monoxide(view)
    yield from _drop(view)
    yield from _voltage(view)


def _rooms(view: View) -> list[str]:
    return [stop for stop in view.all("stop") if view.get(stop, "stop_kind") == "room"]


def _all_left(view: View) -> bool:
    """Whether every room was left, so that what is missing can be counted.

    A room that could not be entered keeps nothing waiting, unless people sleep in it
    or pass through it on their way there.
    """
    rooms = _rooms(view)
    bedrooms = [one for one in rooms if view.get(one, "room_use") == "bedroom"]
    shut = {
        str(stop) for one in view.all("limit") for stop in view.get(one, "reach") or ()
    }
    return bool(bedrooms) and all(
        view.closed(one) or (one in shut and view.get(one, "room_use") not in ALARMED)
        for one in rooms
    )


def _alarms(view: View, binds: Binding, kinds: tuple[str, ...]) -> list[Any] | None:
    """Give the alarms of a kind; an empty list only where they were looked for."""
    looks = [a for a in view.all("alarm_look") if view.get(a, "alarm_kind") in kinds]
    # Looked for and none, beside one that is recorded: nobody knows how many there are.
    if any((look, "answer") in view.conflicts for look in looks):
        return None
    found = [a for a in view.all("alarm") if view.get(a, "alarm_kind") in kinds]
    for alarm in found:
        binds.take(view, "alarms", alarm, "alarm_kind")
    if found:
        return [
            {
                "made_year": view.get(alarm, "made_year"),
                "sounded": YES_NO.get(view.get(alarm, "sounded")),
                "power": POWER.get(view.get(alarm, "power")),
                "interconnected": YES_NO.get(view.get(alarm, "interconnected")),
            }
            for alarm in found
        ]
    for look in looks:
        binds.take(view, "alarms", look, "answer")
    return [] if looks else None


def _bedroom_floors(view: View) -> tuple[list[str], set[str]]:
    bedrooms = [s for s in _rooms(view) if view.get(s, "room_use") == "bedroom"]
    floors = {str(view.get(stop, "floor")) for stop in bedrooms}
    return bedrooms, floors


def _house_at(view: View, rule: str, item: str) -> Binding:
    subject = view.only("visit") or "visit"
    return Binding(rule, subject, "", "the house", item)


def _smoke(view: View) -> Bindings:
    if not _all_left(view):
        return
    found = _house_at(view, "elec.smoke.location", "smoke_alarm")
    bedrooms, floors = _bedroom_floors(view)
    alarms = _alarms(view, found, ("smoke", "both"))
    storeys = {str(view.get(s, "floor")) for s in _rooms(view)} - {"None", "attic"}
    arrived = str(view.get(view.only("visit"), "arrived_at") or "")[:4]
    found.give(bedrooms=len(bedrooms))
    # Bedrooms of one floor are taken as one sleeping area: the least it can be.
    found.give(separate_sleeping_areas=len(floors))
    found.give(stories_incl_basement=max(1, len(storeys)))
    found.give(inspection_year=arrived if arrived.isdigit() else None)
    # Age and sound are each alarm's own matter; here only their number and kind count.
    bare = ("power", "interconnected")
    counted = alarms and [{k: one[k] for k in bare} for one in alarms]
    found.place = _without_smoke_alarm(view) or found.place
    yield found.give(alarms=counted)


def _without_smoke_alarm(view: View) -> str:
    """Name the bedrooms, and the floors, where no smoke alarm was recorded."""
    heard = [
        view.get(one, "stop")
        for one in view.all("alarm")
        if view.get(one, "alarm_kind") in ("smoke", "both")
    ]
    bedrooms, _ = _bedroom_floors(view)
    bare = [view.place(stop) for stop in bedrooms if stop not in heard]
    covered = {view.get(stop, "floor") for stop in heard}
    floors = [
        floor
        for floor in dict.fromkeys(view.get(stop, "floor") for stop in _rooms(view))
        if floor and floor != "attic" and floor not in covered
    ]
    bare += [FLOOR_WORDS.get(str(floor), str(floor)) for floor in floors]
    *most, last = bare or [""]
    return f"{', '.join(most)} and {last}" if most else last


def _carbon_monoxide(view: View) -> Bindings:
    if not _all_left(view):
        return
    found = _house_at(view, "elec.co.location", "carbon_monoxide_alarm")
    alarms = _alarms(view, found, ("carbon_monoxide", "both"))
    for one in view.all("observation"):
        what = view.get(one, "what")
        if what in ("fuel_appliance", "attached_garage"):
            name = {"attached_garage": "attached_garage_with_opening"}.get(what, what)
            found.take(view, name, one, "answer", ANSWER)
    found.give(sleeping_areas=len(_bedroom_floors(view)[1]))
    yield found.give(alarms=None if alarms is None else len(alarms))


def _measures(view: View) -> dict[str, str]:
    """Give the last measure of each thing, by its key, in the order of record ids."""
    return {str(view.get(one, "what")): one for one in view.all("measure")}


def _reading(
    view: View, rule: str, item: str, name: str, one: str, unit: str
) -> Binding:
    found = binding(view, rule, one, item)
    found.take(view, name, one, "value", unit=unit)
    return found.give(judged=view.how(one, "value") == "estimated")


def _drop(view: View) -> Bindings:
    measures = _measures(view)
    for what, surface in DROP_SURFACES.items():
        if what in measures:
            found = _reading(
                view, "elec.service_drop.ground", "service_drop", "height",
                measures[what], "ft",
            )  # fmt: skip
            yield found.give(surface=surface)
    if "drop_above_roof_ft" in measures:
        roof = _reading(
            view, "elec.service_drop.roof", "service_drop", "clearance",
            measures["drop_above_roof_ft"], "ft",
        )  # fmt: skip
        slope = measures.get("roof_slope_in_per_12")
        yield roof.take(view, "slope_rise_per_12", slope, "value", unit="in")
    if "drop_to_opening_ft" in measures:
        near = _reading(
            view, "elec.service_drop.openings", "service_drop", "horizontal_distance",
            measures["drop_to_opening_ft"], "ft",
        )  # fmt: skip
        # Only a window can be passed above; the nearest opening is asked as one.
        yield near.give(opening="openable_window")


def _voltage(view: View) -> Bindings:
    measures = _measures(view)
    if "leg_a_V" in measures and "leg_b_V" in measures:
        found = binding(view, "elec.service.voltage", measures["leg_a_V"], "service")
        found.take(view, "leg_a", measures["leg_a_V"], "value", unit="V")
        found.take(view, "leg_b", measures["leg_b_V"], "value", unit="V")
        both = measures.get("leg_to_leg_V")
        yield found.take(view, "leg_to_leg", both, "value", unit="V")


LOOKED_AT: dict[str, tuple[str, str, Mapping[Any, Any]]] = {
    "drip_loop": ("elec.service.drip_loop", "drip_loop", ANSWER),
    "mast_tilted": ("elec.service.mast", "tilted", ANSWER),
    "mast_cables": ("elec.service.mast", "other_cables_attached", ANSWER),
    "outdoor_shut_off": (
        "elec.disconnect.exterior_emergency", "exterior_disconnect", ANSWER,
    ),
    "surge_protection": ("elec.disconnect.exterior_emergency", "spd_present", ANSWER),
    "panel_blocked": ("elec.panel.working_space", "storage_in_space", ANSWER),
    "cooling_shut_off": ("elec.ac_disconnect", "within_sight", ANSWER),
}  # fmt: skip


def looked(view: View, _: Tree, one: str) -> Bindings:
    """Read an observation under a key that rules know; looked and none is a no."""
    known = LOOKED_AT.get(str(view.get(one, "what")))
    if known is not None:
        rule, name, words = known
        item = str(view.get(one, "item") or "electrical")
        found = binding(view, rule, one, item)
        yield found.take(view, name, one, "answer", words)


def tester_limits(view: View, _: Tree, stop: str) -> Bindings:
    """A room where all tried correct still says what the lamps cannot show."""
    if view.closed(stop) and (view.get(stop, "receptacles_correct") or 0) > 0:
        found = binding(view, "elec.tester.limits", stop, "receptacle")
        found.take(view, "pattern", stop, "receptacles_correct")
        yield found.give(pattern="correct").give(slots=3)


def dates_of(view: View, bind: Binding, facts: Mapping[str, Any]) -> Dates:
    """Give the dates of a binding: the property's, and those of age notes."""
    built = _span(facts.get("built_from"), facts.get("built_to"))
    visit = view.only("visit")
    if built is None:
        built = _span(view.get(visit, "built_year"), view.get(visit, "built_year_to"))
    permit = facts.get("permit_date")
    altered = None
    wanted = (bind.stop, f"system:{bind.system}", "house")
    notes = {view.get(note, "reach"): note for note in view.all("age_note")}
    for reach in wanted:
        note = notes.get(reach)
        # A date in dispute is no date; the house's own would be a guess here.
        if (note, "year_from") in view.conflicts or (note, "year_to") in view.conflicts:
            return Dates()
        span = _span(view.get(note, "year_from"), view.get(note, "year_to"))
        if reach and note and span:
            if reach == "house":
                built = built or span
            else:
                altered = span
            break
    return Dates(
        built=built, permit=Span.of(str(permit)) if permit else None, altered=altered
    )


@lru_cache(maxsize=1024)
def _span(first: Any, last: Any) -> Span | None:
    if first is None and last is None:
        return None
    return Span.of(first if first is not None else last, last)
