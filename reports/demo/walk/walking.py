"""The order of the walk, from the booking to the opened report."""

from __future__ import annotations

from collections.abc import Callable

from reports.demo.walk import client, office
from reports.demo.walk.field import Field
from reports.demo.walk.pace import Pace
from reports.demo.walk.party import Party


def walk(party: Party, pace: Pace) -> None:
    """Do the whole job once. Raises StepFailed at the first thing that is not so."""
    field = Field(party)
    for name, act in _steps(party, field):
        pace.step(name, act)


def _steps(party: Party, field: Field) -> list[tuple[str, Callable[[], str]]]:
    return [
        ("Tobias books the visit", lambda: office.book(party)),
        ("Tobias sends the agreement", lambda: office.send_agreement(party)),
        ("Dana signs", lambda: client.sign(party, "dana")),
        ("Rui signs", lambda: client.sign(party, "rui")),
        ("Ines takes the visit along", field.take_along),
        ("The photos are drawn", field.draw),
        ("Ines records", field.push),
        ("Ines sends the photos", field.upload),
        ("Ines's phone compares", field.compare),
        ("Ines answers the rules", field.decide),
    ]
