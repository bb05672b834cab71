"""Illustrations of receptacles, testers, boxes and alarms."""

from reports.demo.drawing.palette import (
    AMBER,
    BLACK,
    BRICK,
    COPPER,
    DARK_STEEL,
    INK,
    LAMP_OFF,
    PANEL_GRAY,
    SOFT_INK,
    STEEL,
    TILE,
    TRIM,
    WALL,
    WALL_COOL,
    WHITE,
    WIRE_RED,
    WIRE_WHITE,
    WOOD,
    Colour,
    shade,
)
from reports.demo.drawing.sheet import WIDTH, Sheet, drawing


def slots(s: Sheet, x: float, y: float, size: float) -> None:
    s.disc(x, y, size, shade(TRIM, 0.97), ry=size * 0.82)
    s.rect(x - size * 0.44, y - size * 0.42, size * 0.13, size * 0.5, INK, width=1)
    s.rect(x + size * 0.32, y - size * 0.34, size * 0.11, size * 0.4, INK, width=1)
    s.disc(x, y + size * 0.42, size * 0.15, INK)


def receptacle(s: Sheet, x: float, y: float, size: float) -> None:
    """Draw a duplex receptacle; size is the plate's half width."""
    s.wash(
        [
            (x - size + 14, y + size * 1.6),
            (x + size + 14, y + size * 1.6),
            (x + size + 14, y - size * 1.5),
            (x - size + 14, y - size * 1.5),
        ],
        INK,
        0.14,
    )
    s.rect(x - size, y - size * 1.6, size * 2, size * 3.2, TRIM, round_by=size * 0.12)
    for side in (-1, 1):
        slots(s, x, y + side * size * 0.74, size * 0.58)
    s.disc(x, y, size * 0.09, STEEL, width=2)


def tester(s: Sheet, x: float, y: float, lit: tuple[bool, bool, bool]) -> None:
    """A plug-in tester with three lamps, in the order of its own label."""
    s.wash(
        [
            (x - 150, y + 250),
            (x + 190, y + 250),
            (x + 190, y - 130),
            (x - 150, y - 130),
        ],
        INK,
        0.2,
    )
    s.rect(x - 170, y - 150, 340, 380, WIRE_RED, round_by=36, width=6)
    s.rect(x - 140, y - 120, 280, 140, shade(WIRE_RED, 0.8), round_by=20)
    for number, on in enumerate(lit):
        at = x - 90 + number * 90
        if on:
            s.glow(at, y - 50, 90, AMBER)
        s.disc(at, y - 50, 32, AMBER if on else LAMP_OFF)
    s.rect(x - 120, y + 50, 240, 150, TRIM, round_by=10, width=3)
    for line in range(4):
        s.path(
            [
                (x - 96, y + 82 + line * 30),
                (x + 60 + (line % 2) * 30, y + 82 + line * 30),
            ],
            SOFT_INK,
            4,
        )


def tested(s: Sheet, wall: Colour, lit: tuple[bool, bool, bool]) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, wall, line=None)
    s.rect(-20, 1000, WIDTH + 40, 120, TRIM)
    receptacle(s, 800, 500, 230)
    tester(s, 800, 680, lit)


@drawing("Living room receptacle: two lamps of three, as it should be")
def tester_correct(s: Sheet) -> None:
    tested(s, WALL, (False, True, True))


@drawing("Bedroom 2 receptacle: the lamps show hot and neutral exchanged")
def tester_reversed(s: Sheet) -> None:
    tested(s, WALL_COOL, (True, True, False))


@drawing("Garage receptacle: one lamp only, no ground found")
def tester_open_ground(s: Sheet) -> None:
    tested(s, PANEL_GRAY, (False, True, False))


@drawing("Bathroom receptacle: no lamp lit")
def tester_dead(s: Sheet) -> None:
    tested(s, TILE, (False, False, False))


@drawing("Kitchen: ground-fault receptacle, its own button pressed")
def gfci_pressed(s: Sheet) -> None:
    tiles(s)
    s.rect(560, 130, 480, 880, TRIM, round_by=30)
    s.rect(630, 220, 340, 700, shade(TRIM, 0.97), round_by=16)
    slots(s, 800, 340, 120)
    slots(s, 800, 800, 120)
    for y, word, colour in ((500, "TEST", BLACK), (580, "RESET", WIRE_RED)):
        s.rect(700, y, 200, 62, colour, round_by=8)
        s.text(800, y + 31, word, 34, colour=WHITE, anchor="mm")
    s.disc(905, 680, 14, (120, 200, 120))
    s.poly(
        [
            (1180, 420),
            (900, 500),
            (880, 530),
            (910, 560),
            (1200, 620),
            (1620, 760),
            (1620, 480),
        ],
        (224, 188, 160),
    )
    s.curve([(884, 530), (930, 520), (960, 530)], (190, 150, 124), 5)


def tiles(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, TILE, line=None)
    for level in range(0, 1120, 140):
        s.path([(0, level), (1600, level)], WHITE, 8)
        for x in range((level // 140 % 2) * 140, 1620, 280):
            s.path([(x, level), (x, level + 140)], WHITE, 8)


@drawing("Receptacle outside, cover broken off")
def receptacle_outside(s: Sheet) -> None:
    for row in range(24):
        for column in range(12):
            x = column * 160 - (row % 2) * 80 - 40
            tone = shade(BRICK, 0.94 + s.chance.random() * 0.12)
            s.rect(x, row * 52, 152, 44, tone, line=None, round_by=3)
    receptacle(s, 800, 540, 220)
    s.rect(560, 130, 480, 66, PANEL_GRAY, round_by=12)
    s.poly([(590, 196), (740, 196), (700, 260), (610, 236)], shade(PANEL_GRAY, 0.85))


@drawing("Receptacle behind the sofa, plate cracked")
def receptacle_cracked(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL, line=None)
    receptacle(s, 800, 520, 240)
    s.path([(560, 300), (650, 400), (640, 480), (720, 540), (700, 640)], INK, 6)
    s.path([(640, 480), (580, 560)], INK, 5)
    s.poly([(558, 740), (660, 790), (640, 906), (558, 906)], shade(DARK_STEEL, 0.7))


@drawing("Attic: junction box without a cover")
def box_open(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, shade(WOOD, 0.8), line=None)
    for y in (60, 420, 830):
        s.path([(0, y), (1600, y + 40)], shade(WOOD, 0.66), 6)
    s.rect(500, 300, 600, 560, STEEL, round_by=20, width=6)
    s.rect(540, 340, 520, 480, shade(DARK_STEEL, 0.62), round_by=12)
    for start, colour, end in (
        ((-20, 480), BLACK, (760, 560)),
        ((1620, 420), BLACK, (800, 580)),
        ((-20, 560), WIRE_WHITE, (720, 680)),
        ((1620, 520), WIRE_WHITE, (760, 700)),
        ((800, 1150), COPPER, (880, 660)),
    ):
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2 + 40)
        s.cable([start, middle, end], colour, 26)
    for x, y, colour in (
        (780, 570, (200, 148, 70)),
        (740, 690, (200, 148, 70)),
        (884, 650, (110, 150, 104)),
    ):
        s.poly(
            [(x - 40, y - 34), (x + 60, y - 16), (x + 60, y + 22), (x - 40, y + 38)],
            colour,
        )


@drawing("Crawl space: splice hanging free, no box")
def splice_free(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 330, shade(WOOD, 0.7))
    s.rect(-20, 310, WIDTH + 40, 900, shade(BLACK, 1.1), line=None)
    s.cable([(-20, 360), (360, 430), (640, 620), (760, 650)], TRIM, 60)
    s.cable([(1620, 360), (1240, 420), (1000, 600), (880, 640)], TRIM, 60)
    s.cable([(740, 650), (800, 740), (840, 760)], BLACK, 20)
    s.cable([(900, 640), (860, 720), (830, 760)], BLACK, 20)
    for y in (640, 668, 696):
        s.rect(730, y, 180, 26, shade(BLACK, 0.7), line=shade(BLACK, 0.5), width=2)
    s.poly([(800, 760), (870, 760), (858, 850), (812, 850)], (224, 188, 88))


def alarm(s: Sheet, x: float, y: float, r: float) -> None:
    s.disc(x + 12, y + 16, r, shade(WALL, 0.85), line=None)
    s.disc(x, y, r, TRIM, width=5)
    s.disc(x, y, r * 0.72, shade(TRIM, 0.97), width=3)
    for number in range(9):
        s.path(
            [
                (x - r * 0.4, y - r * 0.42 + number * r * 0.1),
                (x + r * 0.4, y - r * 0.42 + number * r * 0.1),
            ],
            SOFT_INK,
            4,
        )
    s.disc(x + r * 0.5, y, r * 0.05, (120, 200, 120), width=2)
    s.disc(x, y + r * 0.6, r * 0.1, shade(TRIM, 0.85), width=3)


@drawing("Smoke alarm, hall", WALL)
def alarm_hall(s: Sheet) -> None:
    s.poly([(-20, -20), (1620, -20), (1360, 300), (240, 300)], shade(WALL, 1.5))
    alarm(s, 800, 590, 380)


@drawing("Smoke alarm, back: made in 2009", WALL)
def alarm_back(s: Sheet) -> None:
    s.disc(800, 560, 470, shade(TRIM, 0.94), width=6)
    s.rect(540, 330, 520, 360, TRIM, round_by=8)
    s.text(800, 390, "ALDERGATE", 54, anchor="mm")
    s.text(800, 460, "smoke alarm  S-12", 36, anchor="mm")
    s.text(800, 540, "MFD 2009 AUG 14", 46, anchor="mm")
    s.text(800, 610, "replace 10 years after", 30, anchor="mm", colour=SOFT_INK)
    s.rect(650, 760, 300, 130, DARK_STEEL, round_by=12)
    s.cable([(920, 800), (1010, 860), (1120, 1000)], WIRE_RED, 12)


@drawing("Bedroom 3 ceiling: base of an alarm, no alarm", WALL)
def alarm_missing(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, shade(WALL, 1.4), line=None)
    s.disc(800, 560, 300, shade(TRIM, 0.92), width=5)
    s.disc(800, 560, 170, shade(WALL, 0.9))
    for angle in ((640, 420), (960, 700)):
        s.disc(*angle, 20, STEEL)
    s.cable([(800, 540), (840, 640), (800, 720)], BLACK, 14)
    s.rect(760, 700, 90, 60, WIRE_WHITE)


@drawing("Switch at the stairs, plate missing", WALL)
def switch_open(s: Sheet) -> None:
    s.rect(620, 240, 360, 660, shade(BLACK, 1.1), round_by=12)
    s.rect(680, 330, 240, 480, DARK_STEEL)
    s.rect(740, 450, 120, 240, TRIM, round_by=8)
    s.rect(765, 480, 70, 110, shade(TRIM, 0.88), round_by=6)
    for y in (370, 770):
        s.disc(800, y, 22, STEEL)
    s.disc(650, 480, 26, COPPER)
    s.cable([(600, 330), (630, 400), (652, 480)], BLACK, 16)
