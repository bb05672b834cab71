"""Illustrations of garage, attic and crawl space, and of what works in them."""

# Coordinates are plain numbers here.
# ruff: noqa: PLR2004

from reports.demo.drawing.outside import bricks
from reports.demo.drawing.palette import (
    AMBER,
    BLACK,
    COPPER,
    DARK_STEEL,
    DARK_WOOD,
    EARTH,
    FOAM,
    INK,
    PANEL_GRAY,
    RUST,
    SOFT_INK,
    STEEL,
    TRIM,
    WALL,
    WALL_COOL,
    WATER,
    WHITE,
    WIRE_RED,
    WOOD,
    shade,
)
from reports.demo.drawing.sheet import FLOOR_Y, WIDTH, Sheet, drawing

DIM = shade(BLACK, 0.9)


def rafters(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, shade(WOOD, 0.62), line=None)
    for number in range(7):
        x = 60 + number * 250
        s.path([(800, 90 + number % 2 * 6), (x * 1.3 - 240, 900)], INK, 46)
        s.path(
            [(800, 90 + number % 2 * 6), (x * 1.3 - 240, 900)], shade(WOOD, 0.86), 38
        )
    s.rect(-20, 60, WIDTH + 40, 60, shade(WOOD, 0.75))


def joists(s: Sheet, fill: float) -> None:
    """Draw the attic floor; fill is the share of a joist's depth insulation takes."""
    s.rect(-20, 640, WIDTH + 40, 520, shade(WOOD, 0.55), line=None)
    for number in range(9):
        x = number * 220 - 90
        bay = [
            (800 + (x - 800) * 0.45, 650),
            (800 + (x + 190 - 800) * 0.45, 650),
            (x + 190, FLOOR_Y + 20),
            (x, FLOOR_Y + 20),
        ]
        if fill > 0:
            s.poly(bay, FOAM, width=3)
    s.speckle(0, 660, 1600, 440, int(420 * fill), shade(FOAM, 1.5), 8)
    if fill < 1:
        for number in range(9):
            x = number * 220 - 90
            s.poly(
                [
                    (800 + (x - 14 - 800) * 0.45, 640),
                    (800 + (x + 14 - 800) * 0.45, 640),
                    (x + 34, FLOOR_Y + 20),
                    (x - 34, FLOOR_Y + 20),
                ],
                WOOD,
            )


@drawing("Attic over the house, from the boards at the hatch")
def attic(s: Sheet) -> None:
    rafters(s)
    joists(s, 0.6)
    s.glow(800, 330, 260, AMBER)
    s.disc(800, 330, 40, AMBER)


@drawing("Attic: insulation thin, depth taped at 5 inches")
def attic_thin(s: Sheet) -> None:
    rafters(s)
    joists(s, 0.35)
    s.rect(760, 560, 80, 420, (238, 206, 96))
    for number in range(14):
        s.path([(760, 960 - number * 28), (790, 960 - number * 28)], INK, 3)
        if number % 2:
            s.text(830, 960 - number * 28, str(number), 26, anchor="rm")


@drawing("Attic: the way to the part over the garage is closed off")
def attic_closed(s: Sheet) -> None:
    rafters(s)
    s.rect(360, 300, 880, 560, shade(WALL, 0.9))
    for x in (650, 950):
        s.path([(x, 300), (x, 860)], SOFT_INK, 4)
    joists(s, 0.8)
    s.cable([(-20, 500), (260, 620), (420, 640), (640, 760)], DARK_STEEL, 90)


@drawing("Bath fan duct lying loose in the attic")
def attic_duct(s: Sheet) -> None:
    rafters(s)
    joists(s, 0.9)
    s.rect(250, 800, 260, 200, STEEL)
    s.cable([(400, 800), (520, 620), (800, 640), (1100, 840), (1290, 800)], TRIM, 110)
    s.disc(1330, 792, 70, BLACK, ry=76)
    s.wash([(1240, 560), (1560, 520), (1580, 780), (1380, 800)], INK, 0.25)


def under_floor(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, DIM, line=None)
    for number in range(7):
        x = number * 270 - 40
        s.poly(
            [
                (x, -20),
                (x + 90, -20),
                (800 + (x + 70 - 800) * 0.5, 330),
                (800 + (x - 800) * 0.5, 330),
            ],
            shade(WOOD, 0.8),
        )
    bricks(s, 350, 330, 900, 270)
    s.poly([(350, 600), (1250, 600), (1700, 1160), (-100, 1160)], EARTH)


@drawing("Crawl space, looking to the rear")
def crawl(s: Sheet) -> None:
    under_floor(s)
    s.poly(
        [(380, 620), (1220, 620), (1500, 1000), (1620, 1160), (-20, 1160), (100, 1000)],
        shade(BLACK, 1.16),
        width=3,
    )
    for x, y, w in ((520, 420, 90), (1010, 420, 90), (240, 500, 140), (1230, 500, 140)):
        bricks(s, x, y, w, 230 if w < 100 else 400)
    s.cable([(-20, 250), (600, 300), (1620, 240)], STEEL, 40)


@drawing("Crawl space: the front half is blocked by a duct")
def crawl_blocked(s: Sheet) -> None:
    under_floor(s)
    s.rect(-20, 480, WIDTH + 40, 260, STEEL, width=6)
    for x in range(120, 1600, 260):
        s.path([(x, 482), (x, 738)], DARK_STEEL, 8)
    s.wash([(0, 740), (1600, 740), (1600, 860), (0, 860)], INK, 0.45)
    s.poly([(560, 740), (660, 740), (650, 860), (570, 860)], (238, 206, 96))
    s.text(800, 800, "11 in", 50, colour=WHITE, anchor="lm")


@drawing("Crawl space: ground cover torn, soil wet")
def crawl_torn(s: Sheet) -> None:
    under_floor(s)
    s.poly(
        [(330, 600), (1270, 600), (1640, 1160), (-40, 1160)], shade(BLACK, 1.2), width=3
    )
    s.poly(
        [(560, 720), (900, 680), (1120, 800), (1040, 980), (700, 1000), (480, 880)],
        shade(EARTH, 0.75),
    )
    s.disc(800, 860, 170, WATER, ry=60, width=3)
    s.speckle(520, 720, 520, 240, 80, shade(EARTH, 0.6), 7)


@drawing("Crawl space: insulation hanging from the floor")
def crawl_insulation(s: Sheet) -> None:
    under_floor(s)
    for x, low in ((120, 420), (560, 620), (1010, 380), (1330, 560)):
        s.poly(
            [
                (x, 60),
                (x + 190, 60),
                (x + 180, low - 80),
                (x + 120, low),
                (x + 30, low - 30),
            ],
            FOAM,
        )
        s.speckle(x + 20, 80, 140, low - 190, 40, shade(FOAM, 1.5), 8)


@drawing("Garage, from the vehicle door", WALL_COOL)
def garage(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL_COOL, line=None)
    s.poly(
        [(-20, 900), (240, 760), (1360, 760), (1620, 900), (1620, 1200), (-20, 1200)],
        PANEL_GRAY,
    )
    s.path([(240, -20), (240, 760)], INK)
    s.path([(1360, -20), (1360, 760)], INK)
    s.rect(320, 260, 170, 300, PANEL_GRAY)
    s.rect(640, 250, 230, 510, TRIM)
    s.disc(846, 520, 10, STEEL)
    for level in (320, 440, 560):
        s.rect(980, level, 320, 18, WOOD)
        for x in (1000, 1090, 1190):
            s.rect(
                x,
                level - 66,
                70,
                66,
                shade(WIRE_RED, 1.3) if x == 1090 else shade(WOOD, 1.3),
            )
    s.rect(700, 60, 200, 80, DARK_STEEL, round_by=10)
    s.path([(800, 140), (800, -20)], STEEL, 10)
    s.disc(820, 960, 160, shade(PANEL_GRAY, 0.8), line=None, ry=40)


@drawing("Garage door: sensor set too high", WALL_COOL)
def garage_sensor(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL_COOL, line=None)
    s.rect(-20, 960, WIDTH + 40, 240, PANEL_GRAY)
    s.rect(240, -20, 70, 1000, STEEL)
    for y in range(40, 940, 90):
        s.disc(275, y, 10, DARK_STEEL, width=2)
    s.rect(330, -20, 1290, 760, TRIM)
    for y in (200, 460):
        s.path([(330, y), (1620, y)], SOFT_INK, 5)
    s.rect(180, 560, 160, 90, BLACK, round_by=14)
    s.disc(320, 605, 26, WIRE_RED)
    s.path([(430, 605), (430, 958)], INK, 5)
    for y, turn in ((605, 20), (958, -20)):
        s.path([(414, y + turn), (430, y), (446, y + turn)], INK, 5)
    s.text(470, 810, "19 in", 60, anchor="lm")


@drawing("Water heater, garage", WALL_COOL)
def water_heater(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL_COOL, line=None)
    s.rect(-20, 980, WIDTH + 40, 220, PANEL_GRAY)
    for x, colour in ((660, COPPER), (940, COPPER)):
        s.path([(x, -20), (x, 240)], INK, 34)
        s.path([(x, -20), (x, 240)], colour, 26)
    s.rect(560, 220, 480, 800, TRIM, round_by=50, width=5)
    s.rect(620, 420, 160, 240, shade(WALL, 1.1))
    for level in range(450, 640, 26):
        s.path([(640, level), (760, level)], SOFT_INK, 3)
    for y in (740, 880):
        s.rect(640, y, 140, 90, shade(TRIM, 0.86), round_by=6)
    s.rect(1020, 300, 60, 40, (190, 150, 70))
    s.cable([(1080, 320), (1120, 330), (1126, 560), (1124, 700)], COPPER, 26)
    s.disc(800, 1016, 300, shade(PANEL_GRAY, 0.8), ry=30)


@drawing("Water heater: discharge pipe ends high above the floor", WALL_COOL)
def relief_pipe(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL_COOL, line=None)
    s.rect(-20, 1000, WIDTH + 40, 220, PANEL_GRAY)
    s.rect(-20, -20, 760, 1040, TRIM, width=6)
    s.rect(730, 140, 190, 110, (190, 150, 70), round_by=14)
    s.rect(780, 60, 80, 90, STEEL)
    s.path([(820, 250), (820, 560)], INK, 74)
    s.path([(820, 250), (820, 556)], COPPER, 64)
    s.path([(960, 560), (960, 1000)], INK, 5)
    for y, turn in ((560, 20), (1000, -20)):
        s.path([(942, y + turn), (960, y), (978, y + turn)], INK, 5)
    s.text(1000, 780, "28 in", 64, anchor="lm")


@drawing("Furnace, door off, burners lit", DIM)
def furnace(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, shade(WOOD, 0.55), line=None)
    s.rect(420, 80, 760, 980, STEEL, width=6)
    s.rect(470, 140, 660, 420, shade(DARK_STEEL, 0.7))
    for x in (560, 690, 820, 950):
        s.poly([(x - 36, 420), (x, 300), (x + 36, 420)], (118, 150, 206), width=3)
        s.poly([(x - 16, 420), (x, 360), (x + 16, 420)], shade(WATER, 1.5), line=None)
        s.rect(x - 46, 420, 92, 44, DARK_STEEL)
    s.rect(470, 610, 660, 400, shade(STEEL, 0.8))
    s.disc(800, 810, 160, DARK_STEEL)
    s.disc(800, 810, 110, BLACK)
    s.rect(760, -20, 110, 110, TRIM)


@drawing("Air filter, dark with dust", PANEL_GRAY)
def filter_dark(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, PANEL_GRAY, line=None)
    s.rect(300, 120, 1000, 860, WOOD, width=6)
    s.rect(350, 170, 900, 760, shade(DARK_STEEL, 0.85))
    for x in range(370, 1250, 34):
        s.path([(x, 172), (x, 928)], shade(DARK_STEEL, 0.65), 12)
    s.speckle(350, 170, 900, 760, 500, shade(RUST, 0.55), 6)
    s.text(800, 955, "16 x 20 x 1", 34, anchor="mm")
    s.rect(350, 170, 900, 760, None)
    s.path([(300, 540), (1300, 540)], shade(DARK_WOOD, 1.1), 10)
