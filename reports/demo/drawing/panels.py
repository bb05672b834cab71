"""Illustrations of panels: covers, breakers, bars, lugs."""

# Coordinates are plain numbers here.
# ruff: noqa: PLR2004

from reports.demo.drawing.palette import (
    ALUMINIUM,
    BLACK,
    COPPER,
    DARK_STEEL,
    INK,
    PANEL_GRAY,
    RUST,
    SOFT_INK,
    STEEL,
    TRIM,
    WALL,
    WALL_COOL,
    WHITE,
    WIRE_GREEN,
    WIRE_RED,
    WIRE_WHITE,
    WOOD,
    Colour,
    shade,
)
from reports.demo.drawing.sheet import WIDTH, Sheet, drawing

DARK = shade(PANEL_GRAY, 0.45)
HOT = (BLACK, WIRE_RED)


def breaker(
    s: Sheet, x: float, y: float, w: float, h: float, amps: str, *, right: bool
) -> None:
    """One breaker; its handle points to the middle of the panel."""
    s.rect(x, y, w, h, BLACK, line=shade(BLACK, 0.6), width=3, round_by=4)
    handle = x + (w * 0.12 if right else w * 0.56)
    s.rect(
        handle,
        y + h * 0.24,
        w * 0.32,
        h * 0.52,
        shade(BLACK, 1.28),
        width=2,
        round_by=3,
    )
    at = x + (w * 0.72 if right else w * 0.28)
    s.text(at, y + h / 2, amps, h * 0.46, colour=TRIM, anchor="mm")


def rows(s: Sheet, top: float, count: int, tall: float, amps: list[str]) -> None:
    for row in range(count):
        y = top + row * tall
        for right in (False, True):
            number = row * 2 + right
            value = amps[number % len(amps)]
            if value:
                breaker(
                    s, 802 if right else 618, y + 2, 180, tall - 4, value, right=right
                )


def bar(s: Sheet, x: float, y: float, w: float, h: float, screws: int) -> None:
    s.rect(x, y, w, h, ALUMINIUM)
    for number in range(screws):
        at = y + (number + 0.5) * h / screws
        s.disc(x + w / 2, at, min(w * 0.34, h / screws * 0.4), STEEL, width=2)
        s.path([(x + w * 0.3, at), (x + w * 0.7, at)], INK, 2)


def enclosure(s: Sheet, wall: Colour) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, wall, line=None)
    s.rect(400, 30, 800, 1050, PANEL_GRAY, round_by=6, width=5)
    s.rect(430, 60, 740, 990, DARK)


@drawing("Main panel, door closed", WALL)
def panel_closed(s: Sheet) -> None:
    s.rect(520, 110, 560, 900, PANEL_GRAY, round_by=10, width=5)
    s.rect(556, 150, 488, 820, shade(PANEL_GRAY, 1.25), round_by=8)
    s.rect(1000, 540, 22, 70, DARK_STEEL, round_by=6)
    s.rect(600, 190, 160, 60, TRIM, width=3)
    s.text(680, 220, "MAIN", 30, anchor="mm")
    s.wash(
        [
            (1080, 130),
            (1110, 150),
            (1110, 1020),
            (560, 1040),
            (540, 1010),
            (1080, 1010),
        ],
        INK,
        0.2,
    )


@drawing("Main panel, cover on, door open", WALL)
def panel_open(s: Sheet) -> None:
    s.rect(520, 60, 560, 1000, PANEL_GRAY, round_by=10, width=5)
    s.poly([(520, 70), (220, 30), (220, 1090), (520, 1050)], shade(PANEL_GRAY, 1.15))
    for row in range(21):
        y = 150 + row * 40
        s.path([(250, y), (480, y + 2)], SOFT_INK, 2)
        s.text(262, y - 26, str(row * 2 + 1), 18, colour=SOFT_INK)
    s.rect(604, 170, 392, 850, shade(PANEL_GRAY, 0.8))
    rows(s, 300, 17, 41, ["20", "20", "15", "20", "15", "15", "30", "40"])
    breaker(s, 710, 190, 180, 90, "200", right=False)


@drawing("Main panel, cover off", WALL)
def panel_inside(s: Sheet) -> None:
    enclosure(s, WALL)
    for shift, colour in ((-60, BLACK), (60, BLACK), (0, WIRE_WHITE)):
        s.cable([(800 + shift, -20), (800 + shift, 70), (800 + shift, 150)], colour, 34)
    breaker(s, 690, 120, 220, 120, "200", right=False)
    s.rect(776, 240, 48, 760, ALUMINIUM)
    amps = [
        "20",
        "20",
        "15",
        "20",
        "15",
        "15",
        "30",
        "30",
        "20",
        "15",
        "40",
        "40",
        "20",
        "",
    ]
    rows(s, 270, 21, 34, amps)
    bar(s, 470, 300, 34, 640, 24)
    bar(s, 1096, 300, 34, 640, 24)
    for row in range(21):
        y = 287 + row * 34
        colour = HOT[row % 2]
        s.cable([(620, y), (570, y + 6), (540, y - 60 - row * 3), (534, 60)], colour, 7)
        s.cable(
            [(980, y), (1030, y + 6), (1060, y - 60 - row * 3), (1066, 60)], BLACK, 7
        )
    for row in range(0, 24, 2):
        y = 314 + row * 26
        s.cable([(487, y), (452, y - 30), (450, 60)], WIRE_WHITE, 6)
        s.cable([(1113, y), (1150, y - 30), (1152, 60)], WIRE_GREEN, 6)


@drawing("Main panel, circuit directory", WALL_COOL)
def panel_directory(s: Sheet) -> None:
    s.rect(260, 60, 1080, 1000, TRIM, round_by=8)
    s.text(800, 120, "CIRCUIT DIRECTORY", 44, anchor="mm")
    words = [
        "range",
        "kitchen",
        "bath",
        "lights",
        "?",
        "dryer",
        "den",
        "",
        "water heater",
        "cooling",
        "bed 2",
        "garage",
        "",
        "plugs",
        "hall",
        "?",
    ]
    for row in range(14):
        y = 190 + row * 60
        s.path([(300, y + 46), (1300, y + 46)], SOFT_INK, 2)
        for column in (0, 1):
            number = row * 2 + column + 1
            x = 310 + column * 510
            s.text(x, y + 6, str(number), 30, colour=SOFT_INK)
            s.text(x + 80, y + 4, words[(row * 3 + column * 5) % len(words)], 34)
    s.path([(800, 180), (800, 1030)], INK, 3)


def close_breaker(s: Sheet, y: float, amps: str) -> None:
    s.rect(760, y, 640, 250, BLACK, line=shade(BLACK, 0.5), round_by=14, width=6)
    s.rect(1050, y + 60, 200, 130, shade(BLACK, 1.3), round_by=10)
    s.text(1330, y + 124, amps, 84, colour=TRIM, anchor="mm")
    s.rect(700, y + 60, 90, 130, STEEL)
    s.disc(745, y + 125, 44, shade(STEEL, 1.3))
    s.path([(716, y + 125), (774, y + 125)], INK, 8)


@drawing("Two conductors under one breaker screw")
def breaker_two_wires(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, DARK, line=None)
    for y, amps in ((70, "20"), (430, "15"), (790, "20")):
        close_breaker(s, y, amps)
        lead = [(-20, y + 60), (260, y + 90), (520, y + 130), (640, y + 125)]
        s.cable(lead, BLACK, 42)
        s.path([(640, y + 125), (714, y + 125)], COPPER, 22)
    s.cable([(-20, 700), (240, 640), (480, 600), (630, 586)], WIRE_RED, 42)
    s.path([(630, 586), (716, 566)], COPPER, 22)


@drawing("20 A breaker on a thinner wire: gauge read from the jacket")
def breaker_thin_wire(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, DARK, line=None)
    for y, amps in ((90, "20"), (450, "20"), (810, "15")):
        close_breaker(s, y, amps)
        thick = 24 if y == 450 else 46
        lead = [(-20, y + 90), (260, y + 110), (520, y + 130), (640, y + 125)]
        s.cable(lead, BLACK, thick)
        s.path([(640, y + 125), (714, y + 125)], COPPER, thick * 0.55)
    s.poly([(60, 640), (520, 640), (560, 690), (520, 740), (60, 740)], TRIM)
    s.text(290, 690, "14 AWG  Cu", 56, anchor="mm")
    s.path([(300, 636), (340, 580)], TRIM, 5)


@drawing("An opening in the cover without a filler plate", PANEL_GRAY)
def opening_unfilled(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, PANEL_GRAY, line=None)
    s.rect(330, -20, 940, 1200, shade(PANEL_GRAY, 0.8))
    for row in range(5):
        y = 40 + row * 215
        for right in (False, True):
            x = 810 if right else 350
            if (row, right) == (2, True):
                s.rect(x, y, 440, 190, shade(BLACK, 0.45), width=6)
                s.rect(x + 30, y + 70, 60, 50, ALUMINIUM)
                s.cable(
                    [(x + 440, y + 40), (x + 330, y + 90), (x + 240, y + 190)],
                    BLACK,
                    26,
                )
            else:
                breaker(s, x, y, 440, 190, "20" if row % 2 else "15", right=right)


@drawing("Bus bars, corrosion below the top breakers")
def bus_corroded(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, DARK, line=None)
    for x in (560, 860):
        s.rect(x, -20, 180, 1200, ALUMINIUM)
        for y in range(40, 1100, 180):
            s.rect(x + 40, y, 100, 110, shade(ALUMINIUM, 1.3))
    for x, y, r in (
        (600, 120, 60),
        (700, 300, 90),
        (900, 180, 70),
        (980, 420, 110),
        (640, 520, 50),
    ):
        s.disc(x, y, r, RUST, line=None, ry=r * 0.6)
        s.speckle(x - r, y - r, 2 * r, 2 * r, 40, shade(RUST, 0.8), 8)
        s.speckle(x - r, y - r, 2 * r, 2 * r, 20, shade(WIRE_GREEN, 1.4), 7)
    s.curve([(700, -20), (690, 200), (720, 420), (700, 640)], shade(RUST, 1.2), 18)
    breaker(s, 60, 760, 440, 200, "20", right=False)
    breaker(s, 1100, 760, 440, 200, "30", right=True)


def lug(s: Sheet, x: float) -> None:
    s.rect(x - 110, 480, 220, 260, shade(ALUMINIUM, 0.9), width=6)
    s.disc(x, 610, 70, STEEL)
    s.poly(
        [
            (x - 34, 590),
            (x, 570),
            (x + 34, 590),
            (x + 34, 630),
            (x, 650),
            (x - 34, 630),
        ],
        DARK_STEEL,
    )


@drawing("Aluminum feeder at its lugs: no compound to be seen")
def lugs_aluminium(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, DARK, line=None)
    for x, colour in ((420, BLACK), (800, BLACK), (1180, WIRE_WHITE)):
        lug(s, x)
        s.path([(x, -20), (x, 330)], INK, 96)
        s.path([(x, -20), (x, 330)], colour, 88)
        s.path([(x, 330), (x, 490)], INK, 72)
        for strand in range(-3, 4):
            s.path([(x + strand * 9, 336), (x + strand * 9, 486)], ALUMINIUM, 7)
        s.rect(x - 40, 740, 80, 460, ALUMINIUM)


@drawing("Panel in the garage, cover off", WALL_COOL)
def subpanel_inside(s: Sheet) -> None:
    enclosure(s, WALL_COOL)
    for shift, colour in ((-70, BLACK), (0, BLACK), (70, WIRE_WHITE), (130, ALUMINIUM)):
        s.cable(
            [(800 + shift, -20), (800 + shift, 100), (800 + shift * 0.7, 230)],
            colour,
            30,
        )
    s.rect(660, 220, 300, 70, ALUMINIUM)
    s.rect(776, 290, 48, 620, ALUMINIUM)
    amps = ["20", "20", "15", "20", "30", "", "30", "20", "15", "20"]
    rows(s, 320, 6, 90, amps)
    bar(s, 480, 360, 50, 560, 12)
    bar(s, 1070, 360, 50, 560, 12)
    for row in range(6):
        y = 366 + row * 90
        s.cable([(620, y), (575, y - 10), (560, y - 120), (556, 60)], HOT[row % 2], 11)
        s.cable([(980, y), (1030, y - 10), (1044, y - 120), (1048, 60)], BLACK, 11)
        s.cable([(505, y + 14), (460, y - 30), (456, 60)], WIRE_WHITE, 10)
        s.cable(
            [(505, y + 56), (470, y + 90), (440, y - 200), (440, 60)], WIRE_GREEN, 8
        )


@drawing("Garage panel: strap between the neutral bar and the box")
def bars_joined(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, DARK, line=None)
    s.rect(-20, 960, WIDTH + 40, 240, PANEL_GRAY)
    s.rect(300, 420, 1000, 170, ALUMINIUM, width=6)
    for number in range(8):
        x = 370 + number * 122
        s.disc(x, 505, 46, STEEL)
        s.path([(x - 28, 505), (x + 28, 505)], INK, 7)
        colour = WIRE_WHITE if number % 2 else WIRE_GREEN
        s.cable([(x, 430), (x - 10, 240), (x + 20, -20)], colour, 34)
    s.poly([(1180, 590), (1280, 590), (1280, 1010), (1180, 1010)], COPPER, width=6)
    s.disc(1230, 1000, 36, WIRE_GREEN)
    s.path([(1208, 1000), (1252, 1000)], INK, 7)
    s.disc(1230, 550, 36, STEEL)


@drawing("Working space at the garage panel, filled with boxes", WALL_COOL)
def panel_blocked(s: Sheet) -> None:
    s.rect(-20, 900, WIDTH + 40, 300, shade(PANEL_GRAY, 0.9))
    s.rect(620, 140, 360, 560, PANEL_GRAY, round_by=8)
    s.rect(650, 170, 300, 500, shade(PANEL_GRAY, 1.2))
    for x, y, w, h in (
        (380, 760, 360, 300),
        (720, 700, 400, 380),
        (1080, 820, 330, 260),
        (460, 540, 260, 220),
    ):
        s.rect(x, y, w, h, WOOD)
        s.rect(x + w / 2 - 26, y, 52, h, shade(WOOD, 1.3), line=None)
        s.rect(x, y, w, h, None)
    s.poly([(1180, 820), (1300, 820), (1280, 560), (1220, 560)], shade(WIRE_RED, 1.2))
    s.disc(1250, 520, 70, WHITE)
