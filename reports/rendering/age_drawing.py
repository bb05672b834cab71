"""Ages beside the years usual for a kind, drawn as a line with a band and a mark."""

from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from reports.rendering.schema_beside import Age

WIDTH, HEIGHT, LEFT = 180, 34, 4
TICK = 10


@dataclass(frozen=True, slots=True)
class AgeRow:
    """One piece of equipment: in words, and drawn."""

    what: str
    place: str
    made: str
    years: str
    usual: str
    drawing: SafeString


def rows(ages: tuple[Age, ...]) -> tuple[AgeRow, ...]:
    """Return every row on one scale, so that they can be compared."""
    most = max((max(age.years, age.high) for age in ages), default=0)
    top = (most // TICK + 1) * TICK
    return tuple(
        AgeRow(
            what=age.what,
            place=age.place,
            made=str(age.made_year),
            years=f"{age.years} years" if age.years != 1 else "1 year",
            usual=_usual(age),
            drawing=draw(age, top),
        )
        for age in ages
    )


def draw(age: Age, top: int) -> SafeString:
    """Return the drawing; its words say the same for those who cannot see it."""
    mark = _at(age.years, top)
    low = _at(age.low, top) if age.low < age.high else _at(age.high, top) - 2
    return format_html(
        '<svg class="age-drawing" viewBox="0 0 {} {}" role="img" aria-label="{}">'
        '<path d="M{} 17H{}" stroke="currentColor" stroke-width="0.75"/>'
        '<rect x="{}" y="10" width="{}" height="14" fill="currentColor" '
        'fill-opacity="0.22"/>'
        '<path d="M{} 5V29" stroke="currentColor" stroke-width="2.5"/></svg>',
        *(WIDTH, HEIGHT, f"{age.what}: {age.years} years old; {_usual(age)}"),
        *(LEFT, WIDTH - LEFT),
        *(low, max(2, _at(age.high, top) - low)),
        mark,
    )


def _usual(age: Age) -> str:
    if age.low < age.high:
        return f"{age.low} to {age.high} years usual"
    return f"about {age.high} years usual"


def _at(years: int, top: int) -> int:
    return LEFT + round((WIDTH - 2 * LEFT) * years / top)
