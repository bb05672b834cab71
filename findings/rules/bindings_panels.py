"""What the panel map says to the rules: enclosures, their spaces, the tree."""

from collections.abc import Callable

from findings.rules.bindings import (
    LOOKED,
    Binding,
    Bindings,
    View,
    binding,
    reach_words,
)
from findings.rules.tree import Tree

SMALL = ("14", "12", "10")
DWELLING_A = (100, 400)
FOUR = 4
GROUND_PATHS = ("wire", "metal_raceway", "armour")
KINDS_OF_GROUND = {kind: kind for kind in (*GROUND_PATHS, "none")}
SHARED = 2  # wires under one screw
HEAT = {"yes": True, "looked_none": False}
GENERAL = [
    "general",
    "kitchen",
    "bathroom",
    "laundry",
    "range",
    "dryer",
    "water_heater",
    "heat",
    "feeder",
    "garage",
    "outside",
]
LOAD_TYPES = {**dict.fromkeys(GENERAL, "general"), "cooling": "motor_ac"}
ROOM_WORDS = {
    "bed": "bedroom",
    "living": "living",
    "family": "family",
    "dining": "dining",
    "den": "den",
    "office": "office",
    "hall": "hall",
}


def panel(view: View, tree: Tree, enclosure: str) -> Bindings:
    """Every binding of an enclosure whose map is marked done."""
    if tree.done(enclosure):
        for work in ENCLOSURE:
            yield from work(view, tree, enclosure)


def space(view: View, tree: Tree, one: str) -> Bindings:
    """Every binding of a space in an enclosure whose map is marked done."""
    enclosure = view.get(one, "enclosure")
    known = view.folded.get(enclosure or "", {}).get("kind") == "enclosure"
    if known and tree.done(enclosure):
        for look in SPACE:
            yield from look(view, tree, one)


def _at(view: View, rule: str, enclosure: str) -> Binding:
    return binding(view, rule, enclosure, "panel")


def _rating(view: View, tree: Tree, one: str) -> Bindings:
    if tree.role(one) != "service" or view.get(one, "phases") == "three":
        return
    # The dwelling allowance is for 120/240 V; 120/208 V services go without.
    if view.get(one, "volts") == "120/208":
        return
    found = _at(view, "elec.service.rating", one)
    if view.get(one, "main_kind") != "lugs_only":
        found.take(view, "main_ocpd", one, "main_amps", unit="A")
    else:
        found.give(disconnect_throws=tree.movements(one))
    found.take(view, "sec_material", one, "conductor_material")
    found.take(view, "sec_size", one, "conductor_size", unit="AWG")
    found.take(view, "sec_sets", one, "conductor_parallel")
    found.take(view, "panel_bus", one, "bus_amps", unit="A")
    found.take(view, "meter_base", one, "meter_base_amps", unit="A")
    yield found
    size = _at(view, "elec.service.minimum_size", one)
    yield size.take(view, "service_disconnect_rating", one, "main_amps", unit="A")


def _fed(view: View, tree: Tree, one: str) -> Bindings:
    if tree.role(one) != "fed":
        return
    bus = _at(view, "elec.panel.bus_vs_main", one)
    bus.take(view, "panel_bus", one, "bus_amps", unit="A")
    ahead = view.get(one, "fed_by_space")
    bus.take(view, "supply_ocpd", ahead, "amps", unit="A")
    if view.get(one, "main_amps") is not None:
        bus.take(view, "supply_ocpd", one, "main_amps", unit="A")
    bus.give(supply_ocpd=tree.supply_amps(one))
    yield bus
    whole = tree.feeds_only(one)
    amps = view.get(ahead, "amps")
    if whole and isinstance(amps, int) and DWELLING_A[0] <= amps <= DWELLING_A[1]:
        feeder = _at(view, "elec.service.dwelling_conductors", one)
        feeder.take(view, "service_rating", ahead, "amps", unit="A")
        feeder.give(carries_entire_dwelling_load=True)
    else:
        feeder = _at(view, "elec.ocpd.standard_sizes", one)
        feeder.take(view, "ocpd", ahead, "amps", unit="A")
    feeder.take(view, "size", one, "conductor_size", unit="AWG")
    feeder.take(view, "material", one, "conductor_material")
    yield feeder


def _joined(view: View, tree: Tree, one: str) -> Bindings:
    role = tree.role(one)
    if role is None or tree.at_odds(one):
        return
    words = {"joined": True, "apart": False}
    wires = view.get(one, "feeder_wires")
    if role == "service":
        name = "service"
    elif not tree.detached(one):
        name = "sub_same_building"
    elif wires == FOUR or view.get(one, "feeder_ground") in GROUND_PATHS:
        name = "sub_detached_4wire"
    elif view.get(one, "feeder_ground") == "none":
        name = "sub_detached_3wire"
    else:
        return  # a raceway may be the way back: nothing is concluded unseen
    found = _at(view, "elec.bond.main_vs_sub", one).give(panel_role=name)
    found.take(view, "panel_role", one, "role", {})
    found.give(panel_role=name)
    yield found.take(view, "bond_present", one, "neutral_and_ground", words)
    if role == "fed":
        feeder = _at(view, "elec.feeder.wire_count", one)
        feeder.give(building="detached" if tree.detached(one) else "same")
        feeder.take(view, "feeder_wires", one, "feeder_wires")
        feeder.take(view, "egc_kind", one, "feeder_ground", KINDS_OF_GROUND)
        yield feeder.take(
            view, "neutral_bonded_there", one, "neutral_and_ground", words
        )


def _paste(view: View, _tree: Tree, one: str) -> Bindings:
    # Never asked of copper, so that an empty answer there stays empty.
    if view.get(one, "conductor_material") in ("aluminium", "copper_clad_aluminium"):
        found = _at(view, "elec.aluminium.paste", one)
        found.take(view, "material", one, "conductor_material")
        yield found.take(view, "antioxidant_visible", one, "antioxidant", LOOKED)
        terminal = _at(view, "elec.aluminium.terminal", one)
        terminal.give(conductor_class="stranded_feeder")
        marks = {"al_cu": "AL-CU", "cu_only": "CU", "none": "none"}
        terminal.take(view, "terminal_marking", one, "terminal_marking", marks)
        yield terminal.take(view, "heat_damage", one, "terminal_heat", HEAT)


def _cover(view: View, tree: Tree, one: str) -> Bindings:
    found = _at(view, "elec.panel.openings", one)
    found.take(
        view, "dead_front_present", one, "cover", {"missing": False, "in_place": True}
    )
    found.take(view, "screws_pointed", one, "cover", {"screws_wrong": True})
    found.take(view, "unused_openings", one, "openings_unfilled")
    mapped = [
        space
        for space in tree.spaces.get(one, [])
        if view.get(space, "space_kind") == "open"
    ]
    if len(mapped) > (view.get(one, "openings_unfilled") or 0):
        for space in mapped:
            found.take(view, "unused_openings", space, "space_kind")
        found.give(unused_openings=len(mapped))
    reach = reach_words(view.get(one, "top_device_height_in"))
    yield found.give(reach=reach or None)


def _place(view: View, _tree: Tree, one: str) -> Bindings:
    labels = {"complete": 1, "partial": "0.5", "none": 0, "wrong": 0}
    directory = _at(view, "elec.panel.directory", one)
    if view.get(one, "labels") is not None:
        directory.give(directory_present=view.get(one, "labels") != "none")
        directory.give(legible=True)
    yield directory.take(view, "fraction_identified", one, "labels", labels)
    space = _at(view, "elec.panel.working_space", one)
    for name in ("width", "depth", "height"):
        space.take(view, name, one, f"working_{name}_in", unit="in")
    yield space
    height = _at(view, "elec.panel.height", one)
    yield height.take(view, "handle_height", one, "top_device_height_in", unit="in")
    stop = view.get(one, "stop")
    use = view.get(stop, "room_use")
    rooms = {"bathroom": "bathroom", "half_bath": "bathroom", "stairs": "stairs"}
    room = _at(view, "elec.panel.location", one).give(dwelling=True)
    yield room.take(view, "room", stop, "room_use", rooms) if use in rooms else room


def _shut_off(view: View, tree: Tree, one: str) -> Bindings:
    if tree.role(one) == "service":
        found = _at(view, "elec.disconnect.count", one).give(same_enclosure=True)
        found.take(view, "disconnect_movements", one, "main_kind")
        yield found.give(disconnect_movements=tree.movements(one))


def _bars(view: View, _tree: Tree, one: str) -> Bindings:
    neutral = _at(view, "elec.terminal.neutral_bar", one).give(conductor_mix="neutral")
    doubled = view.get(one, "neutral_bar_doubled")
    neutral.take(view, "count", one, "neutral_bar_doubled")
    if doubled is not None:
        yield neutral.give(conductors=2 if doubled else 1)
    most = view.get(one, "ground_bar_most_per_screw")
    crowded = view.get(one, "ground_bar_doubled")
    if most is None and not crowded:
        return
    ground = _at(view, "elec.terminal.neutral_bar", one).give(conductor_mix="ground")
    ground.take(view, "conductors", one, "ground_bar_most_per_screw")
    ground.take(view, "label_allows", one, "ground_bar_label_allows")
    if most is None:
        ground.take(view, "count", one, "ground_bar_doubled").give(conductors=2)
    ground.ask = frozenset({"label_allows"})
    yield ground


def _electrode(view: View, tree: Tree, one: str) -> Bindings:
    if tree.role(one) != "service":
        return
    size = _at(view, "elec.gec.size", one)
    size.take(view, "service_size", one, "conductor_size", unit="AWG")
    size.take(view, "service_material", one, "conductor_material")
    size.take(view, "gec_size", one, "gec_size", unit="AWG")
    yield size.take(view, "gec_material", one, "gec_material")
    bond = _at(view, "elec.electrode.system", one)
    yield bond.take(view, "any_electrode_bond", one, "electrode_bond", LOOKED)


def _number(view: View, space: str) -> str:
    number = view.get(space, "number")
    name = view.place(view.get(space, "enclosure") or "")
    return f"{name}, space {number}" if number else name


def _space(view: View, rule: str, space: str) -> Binding:
    enclosure = view.get(space, "enclosure") or ""
    found = binding(view, rule, space, "breaker", place=_number(view, space))
    found.stop = str(view.get(enclosure, "stop") or "")
    return found


def _in_use(view: View, space: str) -> bool:
    return view.get(space, "space_kind") in ("breaker", "fuse", "pull_out")


def _overcurrent(view: View, _tree: Tree, space: str) -> Bindings:
    if not _in_use(view, space):
        return
    load, size = view.get(space, "load"), view.get(space, "size")
    feeds = [one for one in view.all("enclosure")
             if view.get(one, "fed_by_space") == space]  # fmt: skip
    if load == "cooling" and view.get(space, "plate_mocp") is not None:
        yield _cooling(view, space)
        return
    if load == "water_heater" and view.get(space, "plate_watts") is not None:
        yield _water_heater(view, space)
    if size is None and (space, "size") not in view.conflicts:
        return
    rule = "elec.ocpd.small_conductor" if size in SMALL else "elec.ocpd.standard_sizes"
    if feeds and size not in SMALL:
        return  # judged once, at the enclosure it feeds
    found = _space(view, rule, space)
    found.take(view, "ocpd", space, "amps", unit="A")
    found.take(view, "size", space, "size", unit="AWG")
    found.take(view, "material", space, "material")
    found.give(label=view.get(space, "label") or None)
    if size in SMALL:
        found.take(view, "load_type", space, "load", LOAD_TYPES)
        found.ask = frozenset({"load_type"})
    elif view.get(space, "poles") == 1:
        found.give(multi_outlet_receptacle_circuit=True)
    yield found


def _cooling(view: View, space: str) -> Binding:
    found = _space(view, "elec.hvac.nameplate", space)
    found.take(view, "mca", space, "plate_mca", unit="A")
    found.take(view, "mocp", space, "plate_mocp", unit="A")
    found.take(view, "ocpd", space, "amps", unit="A")
    found.take(view, "conductor_size", space, "size", unit="AWG")
    return found.take(view, "material", space, "material")


def _water_heater(view: View, space: str) -> Binding:
    found = _space(view, "elec.water_heater.circuit", space)
    found.take(view, "watts", space, "plate_watts", unit="W")
    found.take(view, "volts", space, "poles", {1: 120, 2: 240})
    found.take(view, "poles", space, "poles")
    # What the plate says stands before what the poles suggest.
    if view.get(space, "plate_volts"):
        found.take(view, "volts", space, "plate_volts", unit="V")
    found.take(view, "ocpd", space, "amps", unit="A")
    found.take(view, "conductor_size", space, "size", unit="AWG")
    return found.take(view, "material", space, "material")


def _screw(view: View, _tree: Tree, space: str) -> Bindings:
    if not _in_use(view, space) or (view.get(space, "under_screw") or 0) < SHARED:
        return
    found = _space(view, "elec.terminal.double_tap_breaker", space)
    found.take(view, "conductors", space, "under_screw")
    found.take(view, "breaker_amps", space, "amps", unit="A")
    words = {1: False, 2: True, 3: True, 4: True}
    found.take(view, "terminal_marked_for_two", space, "screw_allows", words)
    found.give(label=view.get(space, "label") or None)
    found.ask = frozenset({"terminal_marked_for_two"})
    yield found


def _solid_aluminium(view: View, _tree: Tree, space: str) -> Bindings:
    if view.get(space, "material") != "aluminium":
        return
    found = _space(view, "elec.aluminium.branch", space)
    found.take(view, "material", space, "material")
    found.take(view, "solid_or_stranded", space, "stranding")
    yield found.take(view, "size", space, "size", unit="AWG")


def _state(view: View, _tree: Tree, space: str) -> Bindings:
    """Ask why a device was found off or tripped; a damaged one is told."""
    if not _in_use(view, space) or view.get(space, "state") in (None, "on"):
        return
    found = _space(view, "elec.breaker.state", space)
    found.take(view, "state", space, "state")
    found.take(view, "why_so", space, "state_reason", label="why it was so")
    yield found.give(label=view.get(space, "label") or None)


def _shared_neutral(view: View, _tree: Tree, space: str) -> Bindings:
    if not _in_use(view, space) or view.get(space, "neutral_shared") is not True:
        return
    found = _space(view, "elec.multiwire", space).give(hots=2)
    poles = view.get(space, "poles")
    found.take(view, "ocpd_each", space, "amps", unit="A")
    found.take(view, "legs", space, "neutral_legs", {"same": "same",
               "opposite": "opposite"}, label="legs of the two hots")  # fmt: skip
    found.take(view, "common_trip_or_tie", space, "handle_tie", LOOKED)
    if isinstance(poles, int) and poles > 1:
        # One body across two spaces stands on opposite legs and trips as one.
        found.take(view, "common_trip_or_tie", space, "poles")
        found.give(common_trip_or_tie=True)
        if "legs" not in found.inputs:
            found.give(legs="opposite")
    found.ask = frozenset({"legs", "common_trip_or_tie"})
    yield found


def _arc_fault(view: View, _tree: Tree, space: str) -> Bindings:
    load = view.get(space, "load")
    label = str(view.get(space, "label") or "").lower()
    room = load if load in ("kitchen", "laundry") else None
    room = room or next((r for word, r in ROOM_WORDS.items() if word in label), None)
    if not _in_use(view, space) or room is None or view.get(space, "poles") != 1:
        return
    words = {"none": False, "gfci": False, "afci": True, "dual": True}
    found = _space(view, "elec.afci.location", space).give(room=room)
    found.take(view, "room", space, "label").give(room=room)
    yield found.take(view, "protected", space, "protection", words)


Work = Callable[[View, Tree, str], Bindings]
ENCLOSURE: tuple[Work, ...] = (
    _rating, _fed, _joined, _paste, _cover, _place, _shut_off, _bars, _electrode,
)  # fmt: skip
SPACE: tuple[Work, ...] = (
    _overcurrent, _screw, _solid_aluminium, _arc_fault, _state, _shared_neutral,
)  # fmt: skip
