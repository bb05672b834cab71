"""One decision of a firm about one rule, and what it does to a row's level."""

from dataclasses import dataclass
from typing import Final

from findings.rules.engine import QUIET
from findings.rules.rule import Row

OFF: Final = "OFF"
ON: Final = "ON"
LEVEL: Final = "LEVEL"
OWN: Final = "OWN"


@dataclass(frozen=True, slots=True)
class Ruling:
    """`number` counts within the rule; the latest of a rule is in force."""

    rule: str
    number: int
    kind: str
    reason: str
    consequence: str = ""
    timing: str = ""
    trade: str = ""
    definition: str = ""

    @property
    def said(self) -> str:
        """What the proposal's reasons tell of it."""
        return f"The firm set this level: {self.reason}"

    @property
    def traced(self) -> str:
        """The line that a proposal's trace keeps."""
        parts = (self.consequence, self.timing, self.trade)
        named = ", ".join(part for part in parts if part)
        return f"ruling {self.number} of the firm: {named}: {self.reason}"


@dataclass(frozen=True, slots=True)
class Level:
    """How much a row matters, how soon, and who is called."""

    consequence: str
    timing: str
    trade: str


def accuses(row: Row) -> bool:
    """Whether a row says that something is wrong, now or by the calendar."""
    return bool(row.consequence) and (row.dated or row.outcome not in QUIET)


def leveled(row: Row, ruling: Ruling | None) -> Level:
    """Give a row's level, the firm's before the rule's; what is empty stays."""
    if ruling is None or not accuses(row):
        return Level(row.consequence, row.timing, row.trade)
    return Level(
        ruling.consequence or row.consequence,
        ruling.timing or row.timing,
        ruling.trade or row.trade,
    )
