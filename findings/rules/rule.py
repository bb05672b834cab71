"""What a rule is, once read: rows, editions, questions, and the words allowed."""

from dataclasses import dataclass
from typing import Any

from findings.rules.binds import Binds
from findings.rules.evaluate import Node
from findings.rules.inputs import InputSpec

OUTCOMES = frozenset(
    [
        "ok",
        "defect_now",
        "defect_at_construction",
        "met_then_safer_now",
        "depends_on_adoption",
        "needs_specialist",
        "needs_specialist_urgent",
        "undetermined",
        "maintenance",
        "monitor",
        "informational",
        # Classes of their own in a few published rules.
        "mitigate",
        "consider",
        "retest",
        "needs_openings",
    ]
)
CONSEQUENCES = frozenset(
    ["could_hurt", "harming_building", "did_not_work", "old_for_kind", "upkeep"]
)
TIMINGS = frozenset(
    ["today", "before_close", "before_move_in", "first_year", "when_replaced", "watch"]
)
TRADES = frozenset(
    [
        "electrician",
        "plumber",
        "heating_cooling",
        "roofer",
        "carpenter",
        "mason",
        "engineer",
        "general",
        "handy_owner",
        "appliance",
        "chimney",
        "pest",
        "drainage",
        "insulation",
    ]
)
PROVENANCE = frozenset({"found", "mixed", "memory"})
DATE_ROLES = frozenset({"built", "permit", "installed", "altered", "replaced"})
OTHER_ROLES = frozenset({"adopted_edition"})


@dataclass(frozen=True)
class Expression:
    """A condition or value: its arrays, and the closure made from them."""

    tree: Any
    node: Node


@dataclass(frozen=True)
class Row:
    """When this holds, that is the outcome, for this reason."""

    when: Expression
    outcome: str
    reason: str
    by_history: bool = False
    first: Expression | None = None
    effective: Expression | None = None
    doubt: Expression | None = None
    outcome_when: dict[str, str] | None = None
    consequence: str = ""
    timing: str = ""
    trade: str = ""
    passage: str = ""
    margin: str = ""

    @property
    def dated(self) -> bool:
        """Whether the calendar decides the outcome."""
        return self.by_history or self.first is not None


@dataclass(frozen=True)
class Edition:
    """One line of a rule's history; `needs` is true where that edition is met."""

    year: int
    text: str
    needs: Expression | None
    effective: str = ""
    sure: bool = True
    until: int | None = None


@dataclass(frozen=True)
class Ask:
    """A value to confirm before the rule speaks."""

    when: Expression
    field: str
    say: str


@dataclass(frozen=True)
class Contradiction:
    """Two inputs that cannot both be so; the rule asks which of them holds."""

    when: Expression
    between: tuple[str, ...]
    say: str


@dataclass(frozen=True)
class Rule:
    """One rule, compiled."""

    id: str
    version: int
    system: str
    topic: str
    title: str
    inputs: dict[str, InputSpec]
    dates: dict[str, str]
    derive: dict[str, tuple[str, tuple[str, ...]]]
    let: dict[str, Expression]
    gives: tuple[str, ...]
    asks: tuple[Ask, ...]
    rows: tuple[Row, ...]
    history: tuple[Edition, ...]
    source: str
    provenance: str
    # What of it was read, and what of it is in doubt.
    seen_in: str
    unsure: str
    cautions: tuple[str, ...]
    never_conclude: tuple[str, ...]
    tables: Any
    settled: tuple[str, ...] = ()
    # Inputs that could excuse and, while unknown, are taken as not doing so.
    presumes: tuple[str, ...] = ()
    code: str = "nec"
    # Where the visit's records give the inputs; None where Python gathers them.
    binds: Binds | None = None
    contradictions: tuple[Contradiction, ...] = ()
