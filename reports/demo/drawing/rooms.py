"""Illustrations of the rooms."""

# Coordinates are plain numbers here.
# ruff: noqa: PLR2004

from reports.demo.drawing.devices import receptacle, tiles
from reports.demo.drawing.palette import (
    ACCENT,
    BLACK,
    CABINET,
    COUNTER,
    DARK_STEEL,
    DARK_WOOD,
    DOOR,
    FLOOR,
    GLASS,
    GRASS,
    HEDGE,
    INK,
    PANEL_GRAY,
    RUST,
    SKY,
    SOFT_INK,
    STEEL,
    TILE,
    TRIM,
    WALL,
    WALL_COOL,
    WATER,
    WHITE,
    WOOD,
    Colour,
    shade,
)
from reports.demo.drawing.sheet import FLOOR_Y, WIDTH, Sheet, drawing


def room(s: Sheet, wall: Colour, floor: Colour = FLOOR, corner: float = 260) -> None:
    """Draw a room straight on: back wall, two side walls, floor."""
    s.rect(-20, -20, WIDTH + 40, 1200, shade(wall, 0.94), line=None)
    s.rect(corner, -20, WIDTH - 2 * corner, 860, wall)
    s.poly(
        [
            (corner, 840),
            (WIDTH - corner, 840),
            (WIDTH + 60, FLOOR_Y + 30),
            (-60, FLOOR_Y + 30),
        ],
        floor,
    )
    for number in range(1, 12):
        x = corner + number * (WIDTH - 2 * corner) / 12
        s.path([(x, 842), (800 + (x - 800) * 1.62, FLOOR_Y + 30)], shade(floor, 0.9), 3)
    s.rect(corner, 806, WIDTH - 2 * corner, 36, TRIM)
    s.poly(
        [(corner, 806), (corner, 842), (-60, FLOOR_Y + 30), (-60, FLOOR_Y - 40)], TRIM
    )
    s.poly(
        [
            (WIDTH - corner, 806),
            (WIDTH - corner, 842),
            (WIDTH + 60, FLOOR_Y + 30),
            (WIDTH + 60, FLOOR_Y - 40),
        ],
        TRIM,
    )


def pane(s: Sheet, x: float, y: float, w: float, h: float) -> None:
    s.rect(x - 22, y - 22, w + 44, h + 44, TRIM)
    s.rect(x, y, w, h, SKY)
    s.rect(x, y + h * 0.66, w, h * 0.34, GRASS, line=None)
    s.disc(x + w * 0.3, y + h * 0.66, w * 0.2, HEDGE, line=None, ry=h * 0.1)
    s.path([(x, y + h / 2), (x + w, y + h / 2)], TRIM, 14)
    s.rect(x, y, w, h, None)
    s.rect(x - 40, y + h + 22, w + 80, 26, TRIM)


def door(
    s: Sheet, x: float, y: float, w: float, h: float, colour: Colour = TRIM
) -> None:
    s.rect(x - 18, y - 18, w + 36, h + 18, TRIM)
    s.rect(x, y, w, h, shade(colour, 0.96))
    for row, tall in ((0.07, 0.36), (0.5, 0.42)):
        for column in (0.12, 0.55):
            s.rect(
                x + w * column,
                y + h * row,
                w * 0.33,
                h * tall,
                shade(colour, 0.9),
                width=3,
            )
    s.disc(x + w * 0.9, y + h * 0.52, 12, STEEL)


def mini(s: Sheet, x: float, y: float) -> None:
    s.rect(x - 17, y - 27, 34, 54, TRIM, round_by=4, width=3)
    for side in (-11, 11):
        s.disc(x, y + side, 8, shade(TRIM, 0.9), width=2)


def cabinets(s: Sheet, x: float, y: float, w: float, h: float, count: int) -> None:
    s.rect(x, y, w, h, CABINET)
    each = w / count
    for number in range(count):
        s.rect(
            x + number * each + 12,
            y + 14,
            each - 24,
            h - 28,
            shade(CABINET, 1.3),
            width=3,
        )
        s.disc(
            x + number * each + (26 if number % 2 else each - 26),
            y + h * 0.5,
            7,
            STEEL,
            width=2,
        )


@drawing("Kitchen, counter along the outside wall")
def kitchen_counter(s: Sheet) -> None:
    tiles(s)
    s.rect(-20, -20, WIDTH + 40, 220, WALL, line=None)
    cabinets(s, -20, -20, 460, 300, 2)
    cabinets(s, 1100, -20, 540, 300, 2)
    pane(s, 560, 40, 400, 300)
    s.rect(-20, 640, WIDTH + 40, 46, COUNTER)
    cabinets(s, -20, 686, WIDTH + 40, 470, 6)
    s.rect(560, 630, 400, 20, STEEL)
    s.curve([(760, 640), (760, 470), (830, 440), (850, 500)], STEEL, 20)
    for x in (180, 420, 1080, 1400):
        receptacle(s, x, 500, 42)
    s.path([(960, 730), (1080, 730)], ACCENT, 4)


@drawing("Kitchen island, no receptacle on it", WALL)
def kitchen_island(s: Sheet) -> None:
    room(s, WALL)
    cabinets(s, 300, 60, 1000, 220, 6)
    s.rect(300, 480, 1000, 30, COUNTER)
    cabinets(s, 300, 510, 1000, 300, 6)
    for x in (560, 1040):
        s.path([(x, -20), (x, 190)], INK, 5)
        s.poly([(x - 60, 260), (x + 60, 260), (x + 30, 190), (x - 30, 190)], ACCENT)
    s.poly([(340, 620), (1260, 620), (1380, 720), (220, 720)], shade(COUNTER, 1.2))
    s.rect(220, 720, 1160, 34, COUNTER)
    s.rect(270, 754, 1060, 330, CABINET)
    for number in range(4):
        s.rect(296 + number * 258, 780, 234, 280, shade(CABINET, 1.25), width=3)


@drawing("Kitchen range, no bracket against tipping", WALL)
def range_cooker(s: Sheet) -> None:
    tiles(s)
    s.rect(-20, 960, WIDTH + 40, 240, FLOOR)
    cabinets(s, -20, 420, 480, 560, 2)
    cabinets(s, 1140, 420, 480, 560, 2)
    s.rect(-20, 390, 480, 34, COUNTER)
    s.rect(1140, 390, 480, 34, COUNTER)
    s.rect(470, 300, 660, 100, STEEL, round_by=8)
    for x in (560, 680, 920, 1040):
        s.disc(x, 350, 26, BLACK)
    s.rect(730, 326, 140, 50, BLACK, round_by=6)
    s.rect(470, 400, 660, 590, STEEL, round_by=8)
    s.rect(470, 400, 660, 26, BLACK)
    s.rect(530, 520, 540, 300, BLACK, round_by=12)
    s.wash([(560, 800), (760, 540), (860, 540), (660, 800)], WHITE, 0.16)
    s.rect(520, 450, 560, 26, shade(STEEL, 1.4), round_by=12)
    s.rect(490, 880, 620, 90, shade(STEEL, 0.92))


@drawing("Under the kitchen sink: drip at the trap")
def trap_drip(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, shade(CABINET, 0.82), line=None)
    s.rect(-20, 950, WIDTH + 40, 260, shade(WOOD, 1.1))
    s.rect(300, -20, 1000, 130, STEEL)
    s.disc(800, 120, 90, shade(STEEL, 0.85), ry=34)
    bend = [
        (800, 130),
        (800, 560),
        (830, 690),
        (930, 700),
        (970, 600),
        (980, 450),
        (1080, 410),
        (1620, 410),
    ]
    s.cable(bend, TRIM, 74)
    for x, y in ((800, 400), (975, 520)):
        s.rect(x - 58, y - 30, 116, 60, shade(TRIM, 0.88), round_by=10)
    for y, r in ((780, 15), (850, 18), (910, 12)):
        s.disc(888, y, r, WATER, width=3, ry=r * 1.35)
    s.disc(890, 1010, 190, WATER, ry=40, width=3)
    s.wash([(640, 960), (1180, 960), (1260, 1110), (560, 1110)], RUST, 0.25)
    for x in (500, 1180):
        s.cable([(x, 960), (x, 700), (x + 40, 400), (x + 20, 110)], STEEL, 22)


@drawing("Hall bathroom", TILE)
def bathroom(s: Sheet) -> None:
    tiles(s)
    s.rect(-20, 900, WIDTH + 40, 300, shade(TILE, 0.85))
    cabinets(s, 120, 640, 620, 330, 2)
    s.rect(100, 600, 660, 46, WHITE)
    s.disc(430, 606, 150, WHITE, ry=26)
    s.curve([(430, 600), (430, 510), (490, 490), (500, 540)], STEEL, 18)
    s.rect(220, 120, 420, 330, GLASS, round_by=8)
    s.wash([(260, 430), (400, 140), (470, 140), (330, 430)], WHITE, 0.4)
    receptacle(s, 720, 430, 40)
    s.rect(980, 560, 250, 240, WHITE, round_by=14)
    s.poly([(960, 800), (1250, 800), (1200, 1010), (1010, 1010)], WHITE)
    s.disc(1105, 800, 160, WHITE, ry=40)
    s.rect(1400, 300, 60, 760, TRIM)
    s.rect(1460, 420, 200, 640, WHITE)


@drawing("Tub: no stopper, shower running", TILE)
def tub(s: Sheet) -> None:
    tiles(s)
    s.rect(140, 720, 1320, 380, WHITE, round_by=40)
    s.rect(200, 750, 1200, 90, shade(WATER, 1.5), round_by=30)
    s.path([(1240, 60), (1150, 110)], STEEL, 22)
    s.poly([(1100, 100), (1190, 100), (1220, 160), (1060, 160)], STEEL)
    for number in range(9):
        x = 1070 + number * 18
        s.path([(x, 176), (x - 40 + number * 9, 740)], shade(WATER, 1.2), 4)
    s.disc(1330, 470, 60, STEEL)
    s.rect(1280, 610, 130, 40, STEEL, round_by=14)


@drawing("Bedroom 2, from the door", WALL_COOL)
def bedroom(s: Sheet) -> None:
    room(s, WALL_COOL)
    pane(s, 620, 220, 300, 340)
    s.rect(960, 600, 420, 240, shade(ACCENT, 1.35), round_by=20)
    s.rect(960, 560, 420, 90, WHITE, round_by=20)
    s.rect(930, 480, 20, 380, DARK_WOOD)
    mini(s, 420, 740)
    mini(s, 560, 740)
    s.rect(640, 620, 240, 160, shade(STEEL, 1.2))
    for level in range(640, 770, 20):
        s.path([(650, level), (870, level)], SOFT_INK, 3)


@drawing("Living room", WALL)
def living_room(s: Sheet) -> None:
    room(s, WALL)
    pane(s, 330, 200, 260, 380)
    pane(s, 1010, 200, 260, 380)
    s.rect(600, 620, 400, 190, ACCENT, round_by=26)
    s.rect(570, 680, 70, 160, shade(ACCENT, 0.9), round_by=20)
    s.rect(960, 680, 70, 160, shade(ACCENT, 0.9), round_by=20)
    s.rect(690, 240, 220, 160, shade(WOOD, 1.3))
    s.rect(712, 262, 176, 116, SKY)
    mini(s, 340, 750)
    mini(s, 1090, 750)


@drawing("Living room wall: distance between receptacles taped", WALL)
def wall_taped(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL, line=None)
    s.rect(-20, 880, WIDTH + 40, 70, TRIM)
    s.rect(-20, 950, WIDTH + 40, 240, FLOOR)
    for x in (200, 1400):
        receptacle(s, x, 640, 56)
    s.rect(200, 800, 1200, 34, (238, 206, 96))
    for number in range(61):
        tall = 24 if number % 4 == 0 else 12
        s.path([(200 + number * 20, 802), (200 + number * 20, 802 + tall)], INK, 2)
    s.rect(1380, 780, 100, 90, BLACK, round_by=18)
    s.text(800, 752, "14 ft 6 in", 54, anchor="mm")


@drawing("Stairs to the second floor, handrail loose", WALL)
def stairs(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL, line=None)
    for number in range(9):
        x, y = 120 + number * 150, 980 - number * 104
        s.rect(x, y, 1700, 104, TRIM)
        s.rect(x - 20, y - 22, 1720, 26, WOOD)
    s.path([(170, 700), (1420, -160)], INK, 40)
    s.path([(170, 700), (1420, -160)], DARK_WOOD, 30)
    for x, y, gap in ((300, 640, 0), (800, 300, 26)):
        s.path([(x, y), (x + 20, y + 90 + gap)], STEEL, 14)
        s.disc(x + 20, y + 96 + gap, 20, STEEL)
    s.arc(860, 440, 70, 200, 320, INK, 5)
    s.arc(860, 440, 96, 210, 310, INK, 4)


@drawing("Laundry", WALL_COOL)
def laundry(s: Sheet) -> None:
    room(s, WALL_COOL, TILE)
    for x in (360, 820):
        s.rect(x, 330, 420, 540, WHITE, round_by=16)
        s.rect(x + 20, 350, 380, 80, shade(PANEL_GRAY, 1.2))
        s.disc(x + 210, 640, 150, STEEL)
        s.disc(x + 210, 640, 116, GLASS if x < 500 else DARK_STEEL)
        for at in (60, 120, 340):
            s.disc(x + at, 390, 22, STEEL)
    s.rect(520, 130, 120, 110, shade(TRIM, 0.95))
    for x in (550, 610):
        s.disc(x, 180, 14, (180, 80, 70) if x == 550 else ACCENT)
    mini(s, 700, 190)
    receptacle(s, 1030, 190, 50)


@drawing("Dryer duct: crushed behind the machine", WALL_COOL)
def dryer_duct(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL_COOL, line=None)
    s.rect(-20, 900, WIDTH + 40, 300, TILE)
    s.rect(900, 180, 800, 760, WHITE, round_by=16)
    s.disc(250, 420, 130, DARK_STEEL)
    hose = [(250, 420), (420, 500), (560, 720), (720, 760), (920, 640)]
    s.cable(hose, STEEL, 120)
    for number in range(22):
        t = number / 21
        x, y = 250 + 670 * t, 420 + 340 * min(1, t * 1.6) - 120 * max(0, t - 0.7) / 0.3
        s.path([(x - 14, y - 52), (x + 14, y + 52)], DARK_STEEL, 5)
    s.wash([(520, 640), (760, 660), (740, 840), (540, 820)], INK, 0.3)


@drawing("Dining room window: fog between the panes", WALL)
def window_fogged(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL, line=None)
    pane(s, 380, 120, 840, 800)
    for x, y, r in ((560, 260, 170), (760, 300, 220), (640, 420, 150), (900, 240, 140)):
        for step in range(4):
            s.disc(
                x,
                y,
                r * (1 - step * 0.22),
                shade(SKY, 1.25 + step * 0.14),
                line=None,
                ry=r * (0.66 - step * 0.14),
            )
    s.path([(380, 520), (1220, 520)], TRIM, 14)


@drawing("Front door, from inside", WALL)
def front_door(s: Sheet) -> None:
    room(s, WALL)
    door(s, 640, 170, 320, 670, DOOR)
    s.rect(1010, 170, 90, 670, GLASS)
    s.rect(420, 470, 60, 90, TRIM, round_by=6)
    s.rect(440, 494, 20, 40, shade(TRIM, 0.85))
    s.wash([(640, 840), (960, 840), (1120, 1110), (520, 1110)], WHITE, 0.2)


@drawing("Door from the garage: no closer, gap below", PANEL_GRAY)
def garage_door_house(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL_COOL, line=None)
    for x in (300, 1180):
        s.path([(x, -20), (x, 940)], shade(WALL_COOL, 0.9), 5)
    s.rect(-20, 940, WIDTH + 40, 260, PANEL_GRAY)
    for step in range(2):
        s.rect(500 - step * 40, 940 + step * 70, 600 + step * 80, 70, shade(WOOD, 0.95))
    door(s, 600, 140, 400, 780, TRIM)
    s.rect(600, 908, 400, 30, INK, line=None)
