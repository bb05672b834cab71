"""The order of the walk, from the booking to the opened report."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from reports.demo.walk import client, office, reader
from reports.demo.walk.field import Field
from reports.demo.walk.pace import Pace
from reports.demo.walk.party import Party
from reports.demo.walk.reviewer import Reviewer

Step = tuple[str, Callable[[], str]]


def walk(party: Party, pace: Pace) -> None:
    """Do the whole job once. Raises StepFailed at the first thing that is not so."""
    field, reviewer = Field(party), Reviewer(party)
    for steps in (
        _before(party),
        _at_the_house(field),
        _words(field, reviewer),
        _release(party, field, reviewer, pace),
        _reading(party),
    ):
        for name, act in steps:
            pace.step(name, act)


def _before(party: Party) -> Iterator[Step]:
    yield "Tobias books the visit", lambda: office.book(party)
    yield "Tobias books the days ahead", lambda: office.book_ahead(party)
    yield "Tobias sends the agreement", lambda: office.send_agreement(party)
    yield "Dana signs the agreement", lambda: client.sign(party, "dana")
    yield "Rui signs the agreement", lambda: client.sign(party, "rui")


def _at_the_house(field: Field) -> Iterator[Step]:
    yield "Ines takes the visit along", field.take_along
    yield "The photos are drawn", field.draw
    yield "Ines's phone pushes what she recorded", field.push
    yield "Ines's phone sends the photos", field.upload
    yield "Ines's phone compares", field.compare
    yield "Ines freezes the urgent notice", field.freeze_notice
    yield "Ines answers what the rules propose", field.decide
    yield "Ines hands in", field.hand_in


def _words(field: Field, reviewer: Reviewer) -> Iterator[Step]:
    yield "Lucinda reads the findings", reviewer.read
    yield "Lucinda edits words", reviewer.edit
    yield "Lucinda saves a page that has grown old", reviewer.edit_late
    yield "Lucinda asks for another timing", reviewer.ask_for_substance
    yield "Lucinda writes a note", reviewer.note
    yield "Ines accepts the change", field.accept_change
    yield "Ines answers the note", field.settle_note
    yield "Lucinda passes the words", reviewer.check_all
    yield "Lucinda finishes the review", reviewer.finish


def _release(
    party: Party, field: Field, reviewer: Reviewer, pace: Pace
) -> Iterator[Step]:
    yield "A release without the signature is refused", reviewer.refuse_release
    yield "Ines signs the differences", field.sign
    yield "Tobias records the fee as paid", lambda: office.record_payment(party)
    yield "Lucinda releases the report", reviewer.release
    yield "The worker makes the files", lambda: reviewer.await_files(pace)


def _reading(party: Party) -> Iterator[Step]:
    yield (
        "The report's address alone opens nothing",
        (lambda: reader.refuse_before_opening(party)),
    )
    yield "Tobias makes the client's link", lambda: office.make_client_link(party)
    yield "Dana opens the report", lambda: reader.open_as_client(party)
    yield "Dana reads the files", lambda: reader.read_files(party)
    yield "Somebody asks whether the PDF is genuine", lambda: reader.verify(party)
    yield "Dana lets the agent in", lambda: reader.let_agent_in(party)
    yield "Agnes opens the report", lambda: reader.open_as_agent(party)
    yield "The neighbours look for the visit", lambda: office.try_as_neighbour(party)
