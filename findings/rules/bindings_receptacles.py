"""What receptacles, walls, boxes and wiring say to the rules."""

from collections.abc import Callable

from findings.rules import exact
from findings.rules.bindings import (
    ANSWER,
    YES_NO,
    Binding,
    Bindings,
    Fact,
    View,
    binding,
    reach_words,
)
from findings.rules.tree import Tree, lamp_states, low, pattern, protected

TRIED = {"yes": "trips", "no": "no_trip", "not_tried": "not_done"}
PLACES = {
    "bathroom": "bathroom",
    "counter": "kitchen_counter",
    "laundry": "laundry_area",
    "garage": "garage",
    "outside": "outdoor",
    "basement_unfinished": "basement_unfinished",
    "under_floor": "crawl_space_at_or_below_grade",
}
FROM_AHEAD = {"upstream": True, "breaker": True, "device": False, "none": False}
ISLANDS = ("island", "peninsula")
DISPUTED_ROOMS = ("stairs",)
NEAR_SINK_IN = 72
CEILING_IN = 78  # beyond an arm: a receptacle for a door opener


def receptacle(view: View, _: Tree, one: str) -> Bindings:
    """Every binding of a receptacle whose stop was left."""
    if view.closed(view.get(one, "stop")):
        for work in RECEPTACLE:
            yield from work(view, one)


def _at(view: View, rule: str, one: str) -> Binding:
    return binding(view, rule, one, "receptacle")


def _lamps(view: View, one: str) -> Bindings:
    states = lamp_states(view, one)
    if states is None:
        return
    found = _at(view, "elec.tester.decode", one)
    source = "lamps" if view.get(one, "lamps") else "lamps_none"
    found.take(view, "lamps", one, source)
    found.take(view, "slots", one, "contacts", {"two": 2, "three": 3})
    found.inputs.pop("lamps", None)
    for name, state in states.items():
        found.give(**{name: state})
    if not view.get(one, "lamps"):
        found.take(view, "checked_upstream", one, "repeated")
        found.ask = frozenset({"checked_upstream"})
    exchanged = states["lamp_NG"] == states["lamp_HG"] == "on"
    if exchanged and view.get(one, "load_present") in (None, "yes", "unknown"):
        # Nearly always an open neutral with a load: unplug, try again, then say.
        found.also.append((one, "load_present"))
    yield found


def _two_slots(view: View, one: str) -> Bindings:
    if view.get(one, "contacts") == "two":
        place = PLACES.get(view.get(one, "receptacle_kind") or "", "other")
        found = _at(view, "elec.receptacle.grounding_history", one)
        found.take(view, "slots", one, "contacts", {"two": 2, "three": 3})
        yield found.give(place=place)


def _ground_fault_test(view: View, one: str) -> Bindings:
    kinds = {"upstream": "no_button", "breaker": "no_button", "none": "no_button"}
    found = _at(view, "elec.gfci.test", one)
    found.take(view, "device_button", one, "gfci_own_button_trips", TRIED)
    if "device_button" not in found.inputs:
        found.take(view, "device_button", one, "gfci_kind", kinds)
    found.take(view, "tester_button", one, "gfci_tester_trips", TRIED)
    found.take(view, "reset_ok", one, "gfci_resets", {"yes": True, "no": False})
    tried = {found.inputs.get(name) for name in ("device_button", "tester_button")}
    if view.get(one, "gfci_kind") == "none" or not tried & {"trips", "no_trip"}:
        return
    lamps = view.get(one, "lamps")
    found.sources["pattern"] = Fact(one, "lamps", lamps, "seen", "lamps lit")
    found.give(pattern=pattern(view, one))
    found.take(view, "said_protected", one, "gfci_kind", FROM_AHEAD)
    found.take(view, "ahead", one, "protected_by", label="the device ahead of it")
    # Said to be guarded from ahead and not proved: what would prove it is asked.
    found.ask = frozenset({"pattern", "ahead"})
    yield found


def location_of(view: View, one: str) -> str | None:
    """Give the place that decides about ground-fault protection, or None."""
    kind = view.get(one, "receptacle_kind")
    stop = view.get(one, "stop")
    use = view.get(stop, "room_use")
    if use in ("bathroom", "half_bath"):
        return "bathroom"
    if kind in PLACES:
        return PLACES[kind]
    if kind in ISLANDS:
        near = exact.parse(view.get(one, "sink_distance_in"))
        close = near is not None and near <= NEAR_SINK_IN
        return "kitchen_island_within_6ft_of_sink" if close else "kitchen_counter_all"
    if view.get(stop, "stop_kind") == "garage":
        return "garage"
    if kind == "sink":
        return {
            "kitchen": "any_sink_incl_kitchen_non_counter_within_6ft",
            "laundry": "laundry_or_utility_sink_within_6ft",
            "utility": "laundry_or_utility_sink_within_6ft",
        }.get(use, "any_sink_not_kitchen_within_6ft")
    return None


def _ground_fault_place(view: View, one: str) -> Bindings:
    where = location_of(view, one)
    # A device that is there and fails is a hazard now; the calendar adds nothing.
    if where is None or view.get(one, "gfci_own_button_trips") == "no":
        return
    found = _at(view, "elec.gfci.location", one)
    found.take(view, "location", one, "receptacle_kind").give(location=where)
    found.take(view, "distance_to_sink", one, "sink_distance_in", unit="in")
    inches = exact.parse(view.get(one, "sink_distance_in"))
    if inches is not None:
        feet = exact.rounded(inches / 12, 3)
        found.give(distance_to_sink=exact.to_wire(feet))
    high = exact.parse(view.get(one, "reach_height_in"))
    if where == "garage" and high is not None and high > CEILING_IN:
        found.take(view, "not_readily_accessible", one, "reach_height_in", unit="in")
        found.give(not_readily_accessible=True)
    if view.get(one, "receptacle_kind") == "dedicated":
        found.give(dedicated_single_receptacle=True)
    found.take(view, "protected", one, "gfci_kind")
    found.give(protected=protected(view, one))
    yield found


def _shutters(view: View, one: str) -> Bindings:
    words = {"yes": True, "no": False}
    found = _at(view, "elec.receptacle.tamper", one)
    height = exact.parse(view.get(one, "reach_height_in"))
    if height is not None:
        found.give(height=exact.to_wire(exact.rounded(height / 12, 2)))
    found.give(dedicated_appliance=view.get(one, "receptacle_kind") == "dedicated")
    yield found.take(view, "tr_mark", one, "tamper_resistant", words)


def _weather(view: View, one: str) -> Bindings:
    covers = {"in_use": "in_use", "flap": "flip", "none": "none"}
    if view.get(one, "weather_cover") in covers:
        found = _at(view, "elec.receptacle.weather", one).give(exposure="wet")
        yield found.take(view, "cover", one, "weather_cover", covers)


def _plate(view: View, one: str) -> Bindings:
    if view.get(one, "cover") is not None:
        yield _cover_plate(view, one, "reach_height_in")


def _cover_plate(view: View, one: str, height: str) -> Binding:
    found = _at(view, "elec.receptacle.cover_plate", one)
    found.take(view, "cover", one, "cover")
    found.take(view, "low_reach", one, height, unit="in")
    found.give(low_reach=low(view.get(one, height)))
    found.take(view, "live_parts_seen", one, "live_parts_seen", YES_NO)
    return found.give(reach=reach_words(view.get(one, height)) or None)


def wall(view: View, _: Tree, one: str) -> Bindings:
    """Spacing along a wall, railing, counter or island of a stop that was left."""
    if not view.closed(view.get(one, "stop")):
        return
    kind = view.get(one, "wall_kind")
    if kind in ISLANDS:
        yield _island(view, one)
    elif kind == "counter":
        yield _counter(view, one)
    elif kind in ("wall", "railing", "fixed_glass"):
        yield from _wall(view, one)


def _wall(view: View, one: str) -> Bindings:
    use = view.get(view.get(one, "stop"), "room_use")
    # A railing at a stair or loft edge is read differently from town to town.
    if view.get(one, "wall_kind") == "railing" and use in DISPUTED_ROOMS:
        return
    found = binding(view, "elec.receptacle.spacing", one, "wall")
    found.take(view, "unbroken_wall_length", one, "length_ft", unit="ft")
    found.take(view, "receptacle_positions", one, "receptacles_at_ft", unit="ft")
    yield found.give(room=use)


def _counter(view: View, one: str) -> Binding:
    found = binding(view, "elec.receptacle.counter", one, "counter")
    found.take(view, "counter_length", one, "length_ft", unit="ft")
    found.take(view, "receptacle_positions", one, "receptacles_at_ft", unit="ft")
    found.give(counter_length=_inches(view.get(one, "length_ft")))
    at = view.get(one, "receptacles_at_ft")
    if isinstance(at, list):
        found.give(receptacle_positions=[_inches(place) for place in at])
    return found


def _inches(feet: object) -> object:
    number = exact.parse(feet)
    return None if number is None else exact.to_wire(number * 12)


def _island(view: View, one: str) -> Binding:
    found = binding(view, "elec.receptacle.island", one, "island")
    found.take(view, "kind", one, "wall_kind")
    found.take(view, "long_dim", one, "long_in", unit="in")
    found.take(view, "short_dim", one, "short_in", unit="in")
    return found.take(view, "receptacles", one, "receptacles_at_ft")


def box(view: View, _: Tree, one: str) -> Bindings:
    """Read a junction box, splice or cover plate, with reach as context."""
    kind = view.get(one, "box_kind")
    if kind in ("switch", "receptacle", "luminaire"):
        plate = _cover_plate(view, one, "height_in")
        plate.item = {"switch": "switch", "luminaire": "light"}.get(kind, plate.item)
        yield plate
        return
    found = binding(view, "elec.box.covers", one, "box")
    words = {"missing": 1, "broken": 1, "in_place": 0}
    found.take(view, "uncovered_boxes", one, "cover", words)
    if kind == "open_splice":
        found.take(view, "splices_outside", one, "box_kind", {"open_splice": 1})
    found.take(view, "live_parts_seen", one, "live_parts_seen", YES_NO)
    found.take(view, "low_reach", one, "height_in", unit="in")
    found.give(low_reach=low(view.get(one, "height_in")))
    yield found.give(reach=reach_words(view.get(one, "height_in")) or None)


def wiring(view: View, _: Tree, one: str) -> Bindings:
    """Branch wiring as it was seen: aluminum, porcelain knobs."""
    if view.get(one, "method") == "knob_and_tube":
        knob = binding(view, "elec.knob_tube", one, "wiring")
        yield knob.take(view, "present", one, "method", {"knob_and_tube": True})
    if view.get(one, "material") != "aluminium":
        return
    found = binding(view, "elec.aluminium.branch", one, "wiring")
    found.take(view, "material", one, "material")
    found.take(view, "solid_or_stranded", one, "stranding")
    found.take(view, "size", one, "sizes")
    sizes = view.get(one, "sizes") or []
    small = [size for size in ("12", "10") if size in sizes]
    found.give(size=small[0] if small else None)
    marks = {"cu_only": True, "co_alr": False, "al_cu": False}
    found.take(view, "heat_damage", one, "heat_damage", ANSWER)
    yield found.take(view, "cu_only_devices", one, "device_marking", marks)
    yield from _small_devices(view, one, sizes)


def _small_devices(view: View, one: str, sizes: list[str]) -> Bindings:
    """Devices of 15 and 20 A on solid aluminum; those for copper only speak above."""
    marks = {"co_alr": "CO/ALR", "al_cu": "AL-CU"}
    solid = view.get(one, "stranding") == "solid"
    if solid and "12" in sizes and view.get(one, "device_marking") in marks:
        found = binding(view, "elec.aluminium.terminal", one, "wiring")
        found.give(conductor_class="solid_branch")
        found.take(view, "terminal_marking", one, "device_marking", marks)
        found.take(view, "device_amps", one, "sizes")
        yield found.give(device_amps=20)


RECEPTACLE: tuple[Callable[[View, str], Bindings], ...] = (
    _lamps, _two_slots, _ground_fault_test, _ground_fault_place, _shutters, _weather,
    _plate,
)  # fmt: skip
