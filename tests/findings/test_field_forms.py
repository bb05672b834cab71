"""The forms of the field pages: bad input is named at its field, nothing is lost."""

import uuid

import pytest

from findings.forms.field import (
    PaintForm,
    ReceptacleCountsForm,
    ReceptacleForm,
    SpaceForm,
)
from inspections.forms.bookings import BookingForm


@pytest.mark.parametrize("typed", ["900", "two", "-3", "15.5"])
def test_an_impossible_rating_is_refused_at_its_field(typed: str) -> None:
    form = SpaceForm({"space_kind": "breaker", "amps": typed})

    assert not form.is_valid()
    assert list(form.errors) == ["amps"]
    assert form["amps"].value() == typed


def test_an_unread_space_needs_nothing_else() -> None:
    assert SpaceForm({"space_kind": "not_read"}).is_valid()


def test_paint_takes_only_spaces_that_the_enclosure_has() -> None:
    brushes = [("15-14-copper", "15 A, 14 copper")]
    good = PaintForm(
        {"brush": "15-14-copper", "space": ["1", "3"]}, brushes=brushes, spaces=[1, 3]
    )
    bad = PaintForm(
        {"brush": "15-14-copper", "space": ["5"]}, brushes=brushes, spaces=[1, 3]
    )

    assert good.is_valid()
    assert good.cleaned_data["space"] == [1, 3]
    assert list(bad.errors) == ["space"]


def test_counts_that_cannot_be_are_named() -> None:
    form = ReceptacleCountsForm(
        {
            "receptacles_seen": "4",
            "receptacles_tried": "5",
            "receptacles_correct": "6",
            "receptacles_not_reachable": "0",
        }
    )

    assert set(form.errors) == {"receptacles_seen", "receptacles_correct"}


def test_lit_lamps_and_no_lamp_contradict() -> None:
    form = ReceptacleForm(
        {"place": "by the door", "lamps": ["hot_neutral"], "lamps_none": "on"}
    )

    assert list(form.errors) == ["lamps_none"]


def test_died_with_takes_only_receptacles_of_this_stop() -> None:
    here, elsewhere = str(uuid.uuid4()), str(uuid.uuid4())
    data = {"place": "by the door", "died_with": [elsewhere]}

    form = ReceptacleForm(data, others=[(here, "by the sink")])

    assert list(form.errors) == ["died_with"]


def test_a_booking_names_every_missing_part_at_once() -> None:
    form = BookingForm(
        {"built_from": "1994", "built_to": "1990"},
        inspectors=[("1", "Ines Quill")],
        zones=[("America/New_York", "Eastern")],
    )

    assert not form.is_valid()
    assert {"street", "client_name", "client_email", "built_to", "starts_on"} <= set(
        form.errors
    )
