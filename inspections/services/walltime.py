"""Local wall time to a moment: gaps and folds of the clock are asked, not guessed."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from firm.errors import BadInput


def moment_of(local: datetime, zone: str, *, field: str) -> datetime:
    """Return the UTC moment of a naive local time.

    Raises BadInput when the clock skips that time, or shows it twice.
    """
    try:
        here = ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise BadInput(f"There is no time zone named {zone}.", field=field) from None
    early, late = (local.replace(tzinfo=here, fold=fold) for fold in (0, 1))
    utc = early.astimezone(UTC)
    if utc.astimezone(here).replace(tzinfo=None) != local:
        raise BadInput(
            f"The clocks skip {local:%H:%M} on that day. Choose another time.",
            field=field,
        )
    if early.utcoffset() != late.utcoffset():
        raise BadInput(
            f"The clocks show {local:%H:%M} twice on that day. Choose another time.",
            field=field,
        )
    return utc
