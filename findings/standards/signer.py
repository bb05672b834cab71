"""Who may sign a report, and whether the license covers the day of the visit."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from findings.standards.schema import Pack


@dataclass(frozen=True, slots=True)
class License:
    """A license as the firm's register holds it."""

    state: str
    number: str
    valid_from: date | None
    valid_until: date | None

    def covers(self, state: str, day: date) -> bool:
        """Say whether the license is of a state and valid on a day."""
        if self.state != state or not self.number.strip():
            return False
        begun = self.valid_from is None or self.valid_from <= day
        return begun and self.valid_until is not None and day <= self.valid_until


@dataclass(frozen=True, slots=True)
class Signatory:
    """The person who would sign."""

    name: str
    was_on_site: bool
    licenses: tuple[License, ...]


def license_for(pack: Pack, licenses: Iterable[License], day: date) -> License | None:
    """Return the license to print: of the pack's state and valid on the day."""
    return next((held for held in licenses if held.covers(pack.state, day)), None)


def objections(
    pack: Pack, person: Signatory, *, visit_on: date, signing_on: date
) -> list[str]:
    """Return why a person may not sign, empty when nothing stands against it."""
    found = []
    if pack.signer.who == "inspector_on_site" and not person.was_on_site:
        found.append(
            f"{person.name} was not on site; the inspector who was there signs."
        )
    day = visit_on if pack.signer.license_valid_on == "visit" else signing_on
    if license_for(pack, person.licenses, day) is None:
        found.append(
            f"{person.name} has no {pack.name} license that was valid on "
            f"{day:%B} {day.day}, {day.year}."
        )
    return found
