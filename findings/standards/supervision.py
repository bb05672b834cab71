"""How many visits a trainee has made under direct supervision, of how many asked."""

from dataclasses import dataclass

from findings.standards.schema_asks import Asks


@dataclass(frozen=True, slots=True)
class Supervised:
    """Visits made under direct supervision; `asked` None: the state gives no number."""

    done: int
    asked: int | None

    @property
    def left(self) -> int | None:
        """Return how many are still to be made, None where no number is asked."""
        return None if self.asked is None else max(self.asked - self.done, 0)


def supervised(asks: Asks, done: int) -> Supervised:
    """Set what was done beside what the state asks."""
    return Supervised(done, asks.supervision.inspections if asks.supervision else None)


def may_go_alone(asks: Asks, done: int) -> bool:
    """Say whether the state's number of supervised visits has been reached."""
    return supervised(asks, done).left in (None, 0)
