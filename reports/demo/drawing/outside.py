"""Illustrations of the house from outside."""

# Coordinates are plain numbers here.
# ruff: noqa: PLR2004

from reports.demo.drawing.palette import (
    BRICK,
    CLOUD,
    CONCRETE,
    DARK_WOOD,
    DOOR,
    EARTH,
    GLASS,
    GRASS,
    HEDGE,
    INK,
    RUST,
    SIDING,
    SKY,
    SOFT_INK,
    STEEL,
    TRIM,
    WATER,
    WHITE,
    WOOD,
    Colour,
    shade,
)
from reports.demo.drawing.sheet import FLOOR_Y, WIDTH, Sheet, drawing

ROOF: Colour = (121, 117, 118)


def landscape(s: Sheet, horizon: float = 820) -> None:
    for x, y, r in ((240, 190, 70), (330, 210, 54), (1230, 140, 62), (1310, 160, 46)):
        s.disc(x, y, r * 1.5, CLOUD, line=None, ry=r * 0.55)
    s.rect(-5, horizon, WIDTH + 10, FLOOR_Y - horizon, GRASS, line=None)
    for x in range(-40, 1700, 150):
        tall = s.chance.randint(60, 130)
        s.disc(x, horizon, 110, shade(HEDGE, 1.25), line=None, ry=tall)
    s.rect(-5, horizon, WIDTH + 10, FLOOR_Y - horizon, GRASS, line=None)


def siding(
    s: Sheet, x: float, y: float, w: float, h: float, fill: Colour = SIDING
) -> None:
    s.rect(x, y, w, h, fill)
    step = 24
    for level in range(int(y) + step, int(y + h), step):
        s.path([(x + 4, level), (x + w - 4, level)], shade(fill, 0.9), 2)


def bricks(s: Sheet, x: float, y: float, w: float, h: float) -> None:
    s.rect(x, y, w, h, BRICK)
    for row, level in enumerate(range(int(y), int(y + h), 22)):
        s.path([(x, level), (x + w, level)], shade(BRICK, 1.3), 2)
        for at in range(int(x) + (row % 2) * 30, int(x + w), 60):
            s.path([(at, level), (at, min(level + 22, y + h))], shade(BRICK, 1.3), 2)


def window(s: Sheet, x: float, y: float, w: float, h: float) -> None:
    s.rect(x - 12, y - 12, w + 24, h + 24, TRIM)
    s.rect(x, y, w, h, GLASS)
    s.wash(
        [(x, y + h), (x + w * 0.6, y), (x + w, y), (x + w * 0.25, y + h)], WHITE, 0.3
    )
    s.path([(x, y + h / 2), (x + w, y + h / 2)], TRIM, 9)
    s.path([(x + w / 2, y), (x + w / 2, y + h)], TRIM, 6)
    s.rect(x, y, w, h, None, width=3)


def shingles(
    s: Sheet, corners: list[tuple[float, float]], fill: Colour = ROOF, rows: int = 12
) -> None:
    """Draw a slope given as top left, top right, bottom right, bottom left."""
    s.poly(corners, fill, line=None)
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    for row in range(1, rows):
        t = row / rows
        left = (ax + (dx - ax) * t, ay + (dy - ay) * t)
        right = (bx + (cx - bx) * t, by + (cy - by) * t)
        s.path([left, right], shade(fill, 0.86), 3)
        for tab in range(26):
            u = (tab + (row % 2) * 0.5) / 26
            x = left[0] + (right[0] - left[0]) * u
            y = left[1] + (right[1] - left[1]) * u
            s.path([(x, y), (x, y + (dy - ay) / rows * 0.9)], shade(fill, 0.9), 2)
    s.poly(corners, None)


@drawing("House, front, seen from the road", SKY)
def house_front(s: Sheet) -> None:
    landscape(s)
    bricks(s, 250, 760, 880, 110)
    siding(s, 250, 420, 880, 350)
    shingles(s, [(330, 220), (1050, 220), (1180, 430), (200, 430)])
    s.poly([(560, 430), (700, 270), (840, 430)], SIDING)
    s.poly(
        [(540, 436), (700, 252), (860, 436), (838, 436), (700, 280), (562, 436)], TRIM
    )
    siding(s, 1130, 500, 330, 370)
    shingles(s, [(1130, 380), (1400, 380), (1500, 505), (1120, 505)], rows=8)
    s.rect(1170, 590, 250, 280, TRIM)
    for row in range(4):
        for column in range(4):
            s.rect(
                1180 + column * 60, 602 + row * 66, 50, 54, shade(TRIM, 0.95), width=2
            )
    for x in (310, 440, 930):
        window(s, x, 510, 90, 150)
    s.rect(640, 540, 120, 250, TRIM)
    s.rect(654, 554, 92, 232, DOOR)
    s.disc(732, 676, 7, WOOD, width=2)
    for step in range(3):
        s.rect(600 - step * 14, 790 + step * 27, 200 + step * 28, 27, CONCRETE)
    s.poly([(640, 871), (760, 871), (900, FLOOR_Y), (500, FLOOR_Y)], CONCRETE, width=3)
    s.poly(
        [(1170, 871), (1420, 871), (1590, FLOOR_Y), (1180, FLOOR_Y)], CONCRETE, width=3
    )
    for x in (290, 380, 470, 880, 980, 1080):
        s.disc(x, 862, 50, HEDGE, ry=36)


@drawing("House, left side", SKY)
def house_left(s: Sheet) -> None:
    landscape(s)
    bricks(s, 320, 780, 960, 90)
    siding(s, 320, 470, 960, 315)
    s.poly([(290, 474), (800, 170), (1310, 474)], SIDING)
    for level in range(230, 470, 24):
        half = (level - 170) * 510 / 304
        s.path([(800 - half, level), (800 + half, level)], shade(SIDING, 0.9), 2)
    s.poly(
        [(262, 486), (800, 150), (1338, 486), (1310, 492), (800, 182), (290, 492)], TRIM
    )
    s.rect(756, 300, 88, 110, shade(TRIM, 0.92))
    for level in range(312, 405, 14):
        s.path([(762, level), (838, level)], SOFT_INK, 3)
    for x in (440, 640, 1000):
        window(s, x, 550, 100, 150)
    for x in (400, 700, 1010):
        s.rect(x, 812, 90, 40, shade(BRICK, 0.55), width=3)
        for bar in range(5):
            s.path([(x + 10 + bar * 18, 814), (x + 10 + bar * 18, 850)], STEEL, 3)
    s.rect(1180, 560, 62, 90, STEEL)
    s.disc(1211, 596, 24, GLASS)
    s.rect(1200, 420, 20, 142, STEEL, width=3)


@drawing("House, rear, with deck", SKY)
def house_rear(s: Sheet) -> None:
    landscape(s)
    bricks(s, 260, 780, 1080, 90)
    siding(s, 260, 430, 1080, 355)
    shingles(s, [(360, 230), (1240, 230), (1390, 440), (210, 440)])
    window(s, 340, 520, 110, 150)
    window(s, 1110, 520, 110, 110)
    s.rect(600, 500, 330, 286, TRIM)
    for x in (614, 770):
        s.rect(x, 514, 146, 268, GLASS)
    s.wash([(620, 770), (700, 520), (740, 520), (660, 770)], WHITE, 0.35)
    deck(s, 500, 780, 560)
    s.rect(1216, 770, 120, 100, STEEL, round_by=8)
    for level in range(786, 866, 12):
        s.path([(1222, level), (1330, level)], shade(STEEL, 0.75), 3)


def deck(s: Sheet, x: float, y: float, w: float) -> None:
    for at in (x + 30, x + w / 2, x + w - 30):
        s.rect(at - 12, y + 20, 24, 150, WOOD)
    s.rect(x, y, w, 26, WOOD)
    for at in range(int(x), int(x + w) + 1, 70):
        s.rect(at - 6, y - 104, 12, 104, WOOD, width=3)
    for at in range(int(x) + 16, int(x + w), 18):
        s.path([(at, y - 96), (at, y)], DARK_WOOD, 5)
    s.rect(x - 14, y - 116, w + 28, 16, WOOD)


@drawing("House, right side, garage end", SKY)
def house_right(s: Sheet) -> None:
    landscape(s)
    s.rect(330, 820, 920, 50, CONCRETE)
    siding(s, 330, 500, 920, 325)
    s.poly([(300, 504), (790, 230), (1280, 504)], SIDING)
    for level in range(290, 500, 24):
        half = (level - 230) * 490 / 274
        s.path([(790 - half, level), (790 + half, level)], shade(SIDING, 0.9), 2)
    s.poly(
        [(272, 516), (790, 210), (1308, 516), (1280, 522), (790, 242), (300, 522)], TRIM
    )
    s.rect(480, 560, 130, 310, TRIM)
    s.rect(494, 574, 102, 292, DOOR)
    window(s, 960, 600, 120, 110)
    s.rect(700, 690, 42, 60, TRIM, round_by=6)
    s.disc(721, 712, 9, INK)
    s.disc(721, 732, 9, INK)


@drawing("Gutter at the rear, pulled from the fascia", SKY)
def gutter_loose(s: Sheet) -> None:
    shingles(s, [(-60, -80), (1700, -80), (1640, 420), (-20, 420)], rows=9)
    s.rect(-20, 420, 1660, 120, TRIM)
    siding(s, -20, 600, 1660, 700)
    s.rect(-20, 540, 1660, 64, shade(TRIM, 0.84))
    s.poly([(-20, 430), (1660, 505), (1660, 600), (-20, 512)], shade(TRIM, 0.98))
    s.path([(-20, 446), (1660, 521)], SOFT_INK, 3)
    for x in range(120, 1600, 260):
        y = 430 + x * 75 / 1680
        gap = 4 + x / 60
        s.path([(x, y + 8), (x + 6, y - gap - 20)], shade(STEEL, 0.8), 10)
    s.wash([(900, 440), (1640, 440), (1640, 500), (900, 468)], INK, 0.35)
    for x in (1040, 1190, 1420):
        s.curve(
            [(x, 590), (x + 8, 760), (x - 4, 950), (x + 6, 1100)],
            shade(SIDING, 0.78),
            16,
        )


@drawing("Downspout ending at the foundation", SKY)
def downspout_end(s: Sheet) -> None:
    siding(s, -20, -20, 1660, 560)
    bricks(s, -20, 540, 1660, 330)
    s.rect(-20, 870, 1660, 300, EARTH)
    s.speckle(0, 880, 1600, 220, 220, shade(EARTH, 0.8), 6)
    s.rect(720, -20, 110, 790, TRIM)
    for level in (40, 400):
        s.rect(706, level, 138, 26, shade(TRIM, 0.85))
    s.poly([(720, 760), (830, 760), (910, 850), (880, 890), (800, 850)], TRIM)
    s.disc(930, 930, 210, shade(EARTH, 0.72), line=None, ry=60)
    s.disc(930, 934, 150, WATER, ry=34, width=3)
    s.wash([(700, 700), (1010, 690), (1060, 870), (660, 870)], INK, 0.18)


@drawing("Deck guard: a baluster is missing, the opening measured", SKY)
def deck_guard(s: Sheet) -> None:
    landscape(s, 700)
    s.rect(-20, 930, 1660, 260, WOOD)
    for level in range(960, 1120, 44):
        s.path([(0, level), (1600, level)], DARK_WOOD, 4)
    s.rect(-20, 250, 1660, 60, WOOD)
    s.rect(-20, 850, 1660, 50, WOOD)
    for x in (70, 1490):
        s.rect(x, 190, 90, 760, shade(WOOD, 1.1))
    for x in range(220, 1480, 116):
        if x != 800:
            s.rect(x, 306, 46, 548, shade(WOOD, 1.15))
    s.path([(732, 560), (910, 560)], INK, 5)
    for x, turn in ((732, 22), (910, -22)):
        s.path([(x + turn, 544), (x, 560), (x + turn, 576)], INK, 5)
    s.rect(700, 590, 250, 76, (238, 206, 96), round_by=8)
    for number in range(12):
        tall = 34 if number % 4 == 0 else 20
        s.path([(712 + number * 20, 592), (712 + number * 20, 592 + tall)], INK, 3)
    s.text(825, 646, "7.5 in", 34, anchor="mm")


@drawing("Deck ledger at the house wall", SKY)
def deck_ledger(s: Sheet) -> None:
    siding(s, -20, -20, 1660, 520)
    s.rect(-20, 500, 1660, 40, (150, 160, 150))
    s.rect(-20, 540, 1660, 210, WOOD)
    for at in range(-20, 1640, 8):
        if s.chance.random() < 0.3:
            y = 552 + s.chance.random() * 180
            s.path([(at, y), (at + 60, y + 3)], DARK_WOOD, 2)
    for x in (180, 520, 860, 1200, 1500):
        for y in (590, 700):
            s.disc(x, y, 26, STEEL)
            s.poly(
                [
                    (x - 15, y),
                    (x - 7, y - 13),
                    (x + 8, y - 13),
                    (x + 15, y),
                    (x + 7, y + 13),
                    (x - 8, y + 13),
                ],
                shade(STEEL, 0.8),
                width=3,
            )
    bricks(s, -20, 750, 1660, 400)
    for x in (330, 690, 1040, 1370):
        s.poly(
            [(x - 40, 620), (x + 40, 620), (x + 60, 1130), (x - 60, 1130)],
            shade(WOOD, 0.9),
        )
        s.poly([(x - 56, 720), (x + 56, 720), (x + 64, 860), (x - 64, 860)], STEEL)


@drawing("Siding close to the ground", SKY)
def siding_ground(s: Sheet) -> None:
    siding(s, -20, -20, 1660, 800, shade(SIDING, 1.05))
    s.poly([(-20, 760), (1620, 700), (1620, 1140), (-20, 1140)], EARTH)
    s.speckle(0, 780, 1600, 320, 320, shade(EARTH, 0.8), 7)
    s.speckle(0, 740, 1600, 60, 60, HEDGE, 12)
    s.wash([(0, 640), (1600, 580), (1600, 706), (0, 764)], RUST, 0.16)
    s.rect(300, 560, 54, 250, (238, 206, 96))
    for number in range(12):
        s.path([(300, 580 + number * 18), (326, 580 + number * 18)], INK, 3)
