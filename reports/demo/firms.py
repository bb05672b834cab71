"""Loads the demo's two invented firms."""

from datetime import date
from pathlib import Path

from reports.demo import password, story
from reports.services import founding
from reports.services.founding import SignIn

NOTICE = (
    "Demonstration: here stands the notice whose wording the state's law fixes; "
    "the firm enters it from the official text."
)


def load(folder: Path, today: date) -> list[SignIn]:
    """Make both firms, or leave them as they are; return who can sign in."""
    word = password.kept(folder)
    return [
        person
        for data in (story.firm(), story.neighbours())
        for person in founding.found(data, password=word, today=today, notice=NOTICE)
    ]
