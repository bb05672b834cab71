"""What a rule offers the inspector: one quiet line with all that led to it."""

from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(frozen=True)
class Proposal:
    """One proposal; several subjects of one topic and trade share it."""

    key: str
    rule: str
    rule_version: str
    system: str
    item: str
    subject: str
    subjects: list[str]
    stop: str
    places: list[str]
    title: str
    facts: list[dict[str, Any]]
    outcome: str
    consequence: str
    timing: str
    trade: str
    passage: str
    blanks: dict[str, str]
    age_note: str
    certainty: str
    margin: str
    edition: dict[str, Any]
    source: str
    provenance: str
    cautions: list[str]
    trace: list[str]
    needs: list[dict[str, str]]
    firm_only: bool
    hazard: bool
    topic: str
    why: str = ""
    # The keys of all that is joined in it; its own alone where nothing is.
    parts: list[str] = field(default_factory=list)
    # The firm's own level and its reason, where there is one.
    ruling: str = ""
    # What was decided already: {record, choice, reason, consequence, timing} or empty.
    decision: dict[str, Any] = field(default_factory=dict)

    @property
    def covers(self) -> list[str]:
        """Give the keys that an answer to it is given to."""
        return list(self.parts or (self.key,))

    def as_dict(self) -> dict[str, Any]:
        """Give the proposal as plain JSON values."""
        return asdict(self)
