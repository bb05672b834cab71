"""Forms of the walk; fields are named as in fixtures/vocabulary/records.yaml."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django import forms

from findings.forms import words
from findings.forms.recorded import RecordForm
from findings.selectors.field.panel import Paint
from findings.services.field.photos import Picture
from inspections.forms.fields import (
    Pairs,
    decimal,
    line,
    number,
    one_of,
    picked,
    text,
)
from inspections.services.log import new_id


def whole(label: str, choices: Pairs) -> forms.TypedChoiceField:
    """Return a choice among whole numbers."""
    return forms.TypedChoiceField(
        label=label,
        choices=choices,
        coerce=int,
        empty_value=None,
        required=False,
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Choose one of those listed."},
    )


class PaintForm(RecordForm):
    """One brush, many spaces."""

    brush = one_of("Paint with", [], required=True)
    amps = number("Another rating", 1, 400)
    size = picked("Wire", words.SIZES)
    material = picked("Metal", words.MATERIAL)
    how = one_of("How is the wire known?", words.HOW_WIRE, initial="compared")
    space = forms.TypedMultipleChoiceField(
        label="Spaces",
        coerce=int,
        error_messages={"required": "Choose at least one space to paint."},
    )

    def __init__(
        self, *args: Any, brushes: Pairs, spaces: list[int], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self._choices("brush", [*brushes, ("other", "another, written below")])
        self._choices("space", [(str(one), str(one)) for one in spaces])

    def paint(self) -> Paint:
        """Return what is painted, and on which spaces."""
        given = self.cleaned_data
        if given["brush"] != "other":
            return Paint.of_brush(given["brush"], given["how"], given["space"])
        wire = {name: given[name] or None for name in ("amps", "size", "material")}
        fields = {"space_kind": "breaker", "how": given["how"] or None, **wire}
        return Paint(fields, given["space"])

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("brush") == "other" and not given.get("amps"):
            self.add_error("amps", "Write the rating of the other brush.")
        return self.cleaned_data

    def _choices(self, name: str, choices: Pairs) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  # narrows for mypy
        field.choices = choices


class SpaceForm(RecordForm):
    """One space of an enclosure, all that may be said of it."""

    space_kind = one_of("What is in it?", words.SPACE_KIND, required=True)
    amps = number("Rating", 1, 400)
    poles = whole("Poles", [("1", "one"), ("2", "two"), ("3", "three")])
    tandem = forms.BooleanField(label="Two in one body (tandem)", required=False)
    size = picked("Wire", words.SIZES)
    material = one_of("Metal", words.MATERIAL)
    stranding = one_of("Strands", [("solid", "solid"), ("stranded", "stranded")])
    how = one_of("How is the wire known?", words.HOW_WIRE)
    protection = one_of("Protection in the breaker", words.PROTECTION)
    under_screw = number("Wires under its screw", 1, 4)
    screw_allows = number("The device allows", 1, 4)
    state = one_of("It was", words.SPACE_STATE)
    label = line("What the label says", 80)
    load = picked("What it feeds", words.LOAD)
    neutral_shared = forms.BooleanField(
        label="Shares its neutral with another", required=False
    )
    handle_tie = one_of("Handle tie", words.PRESENT)


class EnclosureForm(RecordForm):
    """The enclosure itself: role, main, bus, feeder, joined or apart."""

    name = line("Name", 80, required=True)
    location = line("Where it is", 120)
    role = one_of("Its role", words.ROLE, required=True)
    spaces = number("Spaces", 0, 84)
    columns = whole("Columns", [("1", "one"), ("2", "two")])
    main_amps = number("Main device", 1, 1200)
    bus_amps = number("Bus, from its label", 1, 1200)
    conductor_size = picked(
        "Conductors to it",
        [*words.SIZES, *((size, size) for size in ("250", "300", "350", "400", "500"))],
    )
    conductor_material = one_of("Metal", words.MATERIAL)
    conductor_how = one_of("How are they known?", words.HOW_WIRE)
    neutral_and_ground = one_of("Neutral and ground here are", words.JOINED)
    antioxidant = one_of("Antioxidant on aluminum", words.PRESENT)
    cover = one_of("Cover", words.COVER)
    cover_removed = one_of(
        "Its cover was", [("removed", "taken off"), ("left_on", "left on")]
    )
    cover_reason = line("Left on, because", 500)
    openings_unfilled = number("Openings nothing fills", 0, 84)
    labels = one_of("Circuits are labeled", words.LABELS)
    working_width_in = decimal("Clear width before it", 0, 200)
    working_depth_in = decimal("Clear depth before it", 0, 400)


class ReceptacleCountsForm(RecordForm):
    """Seen, tried, correct, not reachable in one room."""

    receptacles_seen = number("Seen", 0, 200)
    receptacles_tried = number("Tried", 0, 200)
    receptacles_correct = number(
        "Correct", 0, 200, attrs={"data-follows": "receptacles_tried"}
    )
    receptacles_not_reachable = number("Not reachable", 0, 200)

    def clean(self) -> dict[str, Any]:
        given = {key: value or 0 for key, value in (super().clean() or {}).items()}
        seen = given.get("receptacles_seen", 0)
        tried = given.get("receptacles_tried", 0)
        if given.get("receptacles_correct", 0) > tried:
            self.add_error(
                "receptacles_correct", "More correct than tried: count again."
            )
        if tried + given.get("receptacles_not_reachable", 0) > seen:
            self.add_error(
                "receptacles_seen", "Tried and not reachable come to more than seen."
            )
        return self.cleaned_data


class ReceptacleForm(RecordForm):
    """One odd receptacle: lamps as pairs, ground-fault test, which others died."""

    place = line("Where in the room", 120, required=True)
    receptacle_kind = one_of("It serves", words.RECEPTACLE_KIND)
    contacts = one_of("Openings", [("two", "two"), ("three", "three")])
    lamps = forms.MultipleChoiceField(
        label="Lamps lit",
        choices=words.LAMPS,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    lamps_none = forms.BooleanField(label="Tried, and no lamp lit", required=False)
    load_present = one_of(
        "Something drawing power on this circuit?",
        [("yes", "yes"), ("no", "no"), ("unknown", "not known")],
    )
    repeated = forms.BooleanField(label="I repeated the test", required=False)
    gfci_kind = one_of("Ground-fault protection", words.GFCI_KIND)
    gfci_own_button_trips = one_of("Trips by its own button", words.TRIED)
    gfci_tester_trips = one_of("Trips by the tester", words.TRIED)
    gfci_resets = one_of("Resets", words.TRIED)
    died_with = forms.MultipleChoiceField(
        label="Which others died with it",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    sink_distance_in = decimal("Distance to the sink's edge", 0, 600)
    cover = one_of(
        "Cover",
        [("in_place", "in place"), ("missing", "missing"), ("broken", "broken")],
    )

    def __init__(self, *args: Any, others: Pairs = (), **kwargs: Any) -> None:  # type: ignore[assignment]
        super().__init__(*args, **kwargs)
        died = self.fields["died_with"]
        assert isinstance(died, forms.MultipleChoiceField)  # noqa: S101  # for mypy
        died.choices = list(others)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("lamps") and given.get("lamps_none"):
            self.add_error("lamps_none", "A lamp is marked lit above: take one away.")
        return self.cleaned_data


class LimitForm(RecordForm):
    """One reason, many gaps."""

    reason = one_of("Not inspected, because of", words.LIMIT_REASON, required=True)
    text = text("In your words", 1000)
    told = line("Who was told", 200)
    return_visit = forms.BooleanField(label="Offer a return visit", required=False)
    reach = forms.MultipleChoiceField(
        label="What it touches", required=False, widget=forms.CheckboxSelectMultiple
    )


class HazardForm(RecordForm):
    """Something that could hurt a person now."""

    what = text("What it is and where", 1000, required=True)
    told = line("Who was told", 200, required=True)
    told_how = one_of("How", words.TOLD_HOW)
    left_off = line("What was left off", 200)


class PhotoForm(RecordForm):
    """A picture from this phone or another camera; never refused on site."""

    photo = forms.FileField(
        label="Photo",
        widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
        error_messages={"required": "Choose or take a picture first."},
    )
    use = one_of("It is", words.PHOTO_USE, initial="general_view")
    caption = line("Say later, or now", 300)

    def picture(self, stop: str, about: str) -> Picture:
        """Return the picture as the service takes it; a form sent twice is one."""
        given = self.cleaned_data
        sent = given["photo"]
        return Picture(
            photo_id=given["record_id"] or UUID(new_id()),
            stop=stop,
            content=sent.read(),
            name=sent.name or "",
            about=about,
            use=given["use"],
            caption=given["caption"],
        )
