"""The words a person reads for the values of the visit's vocabulary."""

from __future__ import annotations

from typing import Final

from inspections.forms.fields import Pairs, pairs

HOW_KNOWN: Final = pairs(
    seen="seen", measured="measured", read="read", told="told", estimated="estimated"
)
HOW_WIRE: Final = pairs(
    read="read on the jacket",
    compared="compared with a known one",
    estimated="estimated",
    not_seen="not seen",
)
MATERIAL: Final = pairs(
    copper="copper", aluminium="aluminum", copper_clad_aluminium="copper-clad"
)
GAUGES: Final = "14 12 10 8 6 4 3 2 1 1/0 2/0 3/0 4/0"
SIZES: Final[Pairs] = [(size, size) for size in GAUGES.split()]
SPACE_KIND: Final = pairs(
    breaker="breaker",
    fuse="fuse",
    pull_out="pull-out",
    blank_filler="filler",
    open="open",
    not_read="not read",
)
PROTECTION: Final = pairs(
    none="none", gfci="ground fault", afci="arc fault", dual="both"
)
SPACE_STATE: Final = pairs(on="on", off="off", tripped="tripped", damaged="damaged")
LOAD: Final = pairs(
    general="general",
    kitchen="kitchen",
    bathroom="bathroom",
    laundry="laundry",
    range="range",
    dryer="dryer",
    water_heater="water heater",
    cooling="cooling",
    heat="heat",
    feeder="feeder to another panel",
    garage="garage",
    outside="outside",
    other="other",
)
ROLE: Final = pairs(
    service_disconnect="service disconnect",
    fed_from_panel="fed from another panel (subpanel)",
    not_known="not known yet",
)
JOINED: Final = pairs(
    joined="joined", apart="kept apart", could_not_see="could not see"
)
PRESENT: Final = pairs(
    present="present", looked_none="looked, none", could_not_see="could not see"
)
COVER: Final = pairs(
    in_place="in place",
    missing="missing",
    damaged="damaged",
    screws_wrong="pointed or wrong screws",
)
LABELS: Final = pairs(complete="complete", partial="partly", none="none", wrong="wrong")
RECEPTACLE_KIND: Final = pairs(
    general="general",
    counter="counter",
    sink="by a sink",
    bathroom="bathroom",
    laundry="laundry",
    garage="garage",
    outside="outside",
    island="island",
    peninsula="peninsula",
    dedicated="one appliance",
    basement_unfinished="unfinished basement",
    under_floor="under the floor",
)
LAMPS: Final = pairs(
    hot_neutral="hot–neutral",
    hot_ground="hot–ground",
    neutral_ground="neutral–ground",
)
TRIED: Final[Pairs] = [("yes", "yes"), ("no", "no"), ("not_tried", "not tried")]
GFCI_KIND: Final = pairs(
    device="this one has it",
    upstream="one before it",
    breaker="the breaker",
    none="none found",
    could_not_tell="could not tell",
)
LIMIT_REASON: Final = pairs(
    utility_off="a utility is off",
    snow="snow",
    furnished="furniture",
    locked="locked",
    unsafe_access="no sound way to it",
    winterised="shut down for winter",
    animal="an animal",
    refused="was refused",
    stored_goods="stored goods",
    low_clearance="too low",
    weather="weather",
    other="something else",
)
TOLD_HOW: Final = pairs(
    in_person="in person",
    by_phone="by phone",
    by_message="by message",
    note_left="a note left there",
)
PHOTO_USE: Final = pairs(
    general_view="general view",
    shows_it="shows it",
    plate="plate",
    for_me="for me (kept)",
)
ANSWER: Final[Pairs] = [
    ("yes", "yes"),
    ("no", "no"),
    ("looked_none", "looked, none"),
    ("could_not_see", "could not see"),
]
