"""The drawing of a panel: its spaces as they lie, in ink and words only."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from reports.rendering.schema import Panel, Space

WIDTH, MARGIN, MIDDLE, ROW, HEAD = 528, 64, 20, 22, 46
BESIDE = 2
CELL = (WIDTH - 2 * MARGIN - MIDDLE) // 2
LABEL_LETTERS, WIRE_LETTERS = 29, 34

_EMPTY = {
    "open": "Open: nothing fitted",
    "blank_filler": "Filler",
    "not_read": "Not read",
}
_NOT_DRAWN = {"on": "", "": ""}


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table that says the same as the drawing."""

    number: str
    device: str
    wire: str
    label: str
    remark: str
    findings: tuple[str, ...]


def size_of(panel: Panel) -> int:
    reach = [space.number + _step(panel) * (space.poles - 1) for space in panel.spaces]
    return max([panel.size, *reach], default=panel.size)


def rows(panel: Panel, numbers: dict[str, int]) -> tuple[Row, ...]:
    """Return the table; numbers gives each finding's printed number by its id."""
    return tuple(_row(panel, space, numbers) for space in _ordered(panel))


def summary(panel: Panel) -> str:
    """Say in a sentence what the drawing shows, for those who cannot see it."""
    fitted = sum(
        space.kind in {"breaker", "fuse", "pull_out"} for space in panel.spaces
    )
    opened = sum(space.kind == "open" for space in panel.spaces)
    columns = "two columns" if panel.columns == 2 else "one column"  # noqa: PLR2004
    gaps = f", {opened} open without a filler" if opened else ""
    return (
        f"Drawing of {panel.name}: {size_of(panel)} spaces in {columns}, "
        f"{fitted} breakers or fuses{gaps}. The table after it says the same in words."
    )


def draw(panel: Panel, numbers: dict[str, int]) -> SafeString:
    """Return an SVG picture; it holds attributes only, no style and no script."""
    lines = -(-size_of(panel) // panel.columns)
    height = HEAD + lines * ROW + 16
    drawn = [_frame(panel, height)]
    taken: set[int] = set()
    for space in _ordered(panel):
        taken |= set(_covered(panel, space))
        drawn.append(_space(panel, space, numbers))
    rest = set(range(1, size_of(panel) + 1)) - taken
    drawn.extend(_blank(panel, number) for number in sorted(rest))
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" class="panel-drawing" role="img"'
        ' viewBox="0 0 {w} {h}" width="{w}" height="{h}" fill="none"'
        ' stroke="currentColor" font-family="\'Source Sans 3\', sans-serif"'
        ' font-size="8.5"><title>{title}</title>{body}</svg>',
        w=str(WIDTH),
        h=str(height),
        title=summary(panel),
        body=_joined(drawn),
    )


def _ordered(panel: Panel) -> list[Space]:
    return sorted(panel.spaces, key=lambda space: space.number)


def _step(panel: Panel) -> int:
    # In two columns the next pole of a breaker lies below: 9 and 11, not 9 and 10.
    return panel.columns


def _covered(panel: Panel, space: Space) -> Iterator[int]:
    return (space.number + _step(panel) * pole for pole in range(space.poles))


def _corner(panel: Panel, number: int) -> tuple[int, int]:
    line, column = divmod(number - 1, panel.columns)
    if panel.columns == 1:
        return MARGIN + (CELL + MIDDLE) // 2, HEAD + line * ROW
    return MARGIN + column * (CELL + MIDDLE), HEAD + line * ROW


def _frame(panel: Panel, height: int) -> SafeString:
    middle = WIDTH // 2
    bars = format_html(
        '<rect x="{x}" y="4" width="{w}" height="{h}" stroke-width="1"/>'
        '<rect x="{bx}" y="10" width="150" height="26" stroke-width="0.8"/>'
        '<path d="M{l} 36V{b}M{r} 36V{b}" stroke-width="0.8"/>',
        x=str(MARGIN - 8),
        w=str(WIDTH - 2 * MARGIN + 16),
        h=str(height - 8),
        bx=str(middle - 75),
        l=str(middle - 3),
        r=str(middle + 3),
        b=str(height - 12),
    )
    return _joined(
        [bars, _text(middle, 27, panel.main or "No main here", "middle", 9.5)]
    )


def _space(panel: Panel, space: Space, numbers: dict[str, int]) -> SafeString:
    x, y = _corner(panel, space.number)
    height = ROW * space.poles - 2
    covered = list(_covered(panel, space))
    dash = {"open": "4 2", "not_read": "1 2"}.get(space.kind, "none")
    box = format_html(
        '<rect x="{}" y="{}" width="{}" height="{}" stroke-width="0.5"'
        ' stroke-dasharray="{}"/>',
        str(x),
        str(y),
        str(CELL),
        str(height),
        dash,
    )
    return _joined([box, *_words(x, y, space, covered), *_notes(panel, space, numbers)])


def _words(x: int, y: int, space: Space, covered: list[int]) -> Iterator[SafeString]:
    for pole, number in enumerate(covered):
        yield _text(x + 5, y + 13 + ROW * pole, str(number), "start", 8)
    if space.kind in _EMPTY:
        yield _text(x + 26, y + 13, _EMPTY[space.kind], "start", 8.5, slanted=True)
        return
    if space.amps is not None:
        yield _text(x + 26, y + 13, f"{space.amps} A", "start", 10)
    yield _text(x + 58, y + 9, _cut(space.label, LABEL_LETTERS), "start", 8.5)
    yield _text(x + 58, y + 17, _cut(_wire(space), WIRE_LETTERS), "start", 7.5)


def _notes(panel: Panel, space: Space, numbers: dict[str, int]) -> Iterator[SafeString]:
    found = [numbers[one] for one in space.findings if one in numbers]
    if not found:
        return
    _, y = _corner(panel, space.number)
    # Two numbers with their word fit beside the drawing; the table below has them all.
    shown = ", ".join(str(number) for number in found[:BESIDE])
    words = f"see {shown}" + ("…" if len(found) > BESIDE else "")
    left = panel.columns == 1 or space.number % 2
    edge = MARGIN - 12 if left else WIDTH - MARGIN + 12
    yield _text(edge, y + 13, words, "end" if left else "start", 8.5, heavy=True)


def _blank(panel: Panel, number: int) -> SafeString:
    x, y = _corner(panel, number)
    return _joined(
        [
            _text(x + 5, y + 13, str(number), "start", 8),
            _text(x + 26, y + 13, "Not recorded", "start", 8.5, slanted=True),
        ]
    )


def _wire(space: Space) -> str:
    wire = " ".join(part for part in (space.size, space.material) if part)
    state = "" if space.state in _NOT_DRAWN else space.state
    parts = (wire, space.how if space.how != "read" else "", space.protection, state)
    return ", ".join(part for part in parts if part)


def _row(panel: Panel, space: Space, numbers: dict[str, int]) -> Row:
    covered = " and ".join(str(number) for number in _covered(panel, space))
    device = _EMPTY.get(space.kind, "")
    if not device:
        noun = {"fuse": "fuse", "pull_out": "pull-out"}.get(space.kind, "breaker")
        rating = f"{space.amps} A {noun}" if space.amps is not None else noun
        device = rating.capitalize() if space.amps is None else rating
    state = "" if space.state in _NOT_DRAWN else space.state
    remark = ", ".join(part for part in (space.protection, state) if part)
    wire = " ".join(part for part in (space.size, space.material) if part)
    found = tuple(str(numbers[one]) for one in space.findings if one in numbers)
    how = f"{wire}, {space.how}" if wire and space.how not in {"", "read"} else wire
    return Row(covered, device, how, space.label, remark, found)


def _text(
    x: int,
    y: int,
    words: str,
    anchor: str,
    size: float,
    *,
    slanted: bool = False,
    heavy: bool = False,
) -> SafeString:
    return format_html(
        '<text x="{}" y="{}" font-size="{}" text-anchor="{}" stroke="none"'
        ' fill="currentColor" font-style="{}" font-weight="{}">{}</text>',
        str(x),
        str(y),
        str(size),
        anchor,
        "italic" if slanted else "normal",
        "600" if heavy else "400",
        words,
    )


def _cut(words: str, letters: int) -> str:
    return words if len(words) <= letters else f"{words[: letters - 1].rstrip()}…"


def _joined(pieces: Iterable[SafeString]) -> SafeString:
    return format_html_join("", "{}", ((piece,) for piece in pieces))
