"""Illustrations of the roof and of what comes to the house from the street."""

import math

from reports.demo.drawing.outside import ROOF, bricks, landscape, shingles, siding
from reports.demo.drawing.palette import (
    BLACK,
    CLOUD,
    COPPER,
    DARK_STEEL,
    EARTH,
    GLASS,
    GRASS,
    INK,
    PANEL_GRAY,
    RUST,
    SIDING,
    SKY,
    SOFT_INK,
    STEEL,
    TRIM,
    WIRE_GREEN,
    WOOD,
    shade,
)
from reports.demo.drawing.sheet import WIDTH, Sheet, drawing


@drawing("Roof, rear slope, from the ladder at the edge", SKY)
def roof_slope(s: Sheet) -> None:
    s.disc(340, 150, 130, CLOUD, line=None, ry=40)
    shingles(s, [(260, 230), (1360, 230), (1700, 1130), (-100, 1130)], rows=18)
    s.path([(246, 226), (1374, 226)], shade(ROOF, 0.8), 16)
    for x, y in ((520, 400), (1130, 470)):
        s.rect(x, y, 40, 90, STEEL, round_by=8)
        s.disc(x + 20, y + 92, 50, shade(ROOF, 0.7), ry=16)
    s.rect(790, 360, 150, 60, DARK_STEEL, round_by=10)


@drawing("Rubber collar at a vent pipe, split", SKY)
def roof_collar(s: Sheet) -> None:
    shingles(s, [(-100, -100), (1700, -100), (1700, 1140), (-100, 1140)], rows=11)
    s.poly([(430, 520), (1170, 520), (1270, 900), (330, 900)], STEEL)
    s.disc(800, 690, 230, BLACK, ry=96)
    s.rect(680, 60, 240, 620, TRIM, round_by=20)
    s.disc(800, 80, 120, shade(TRIM, 0.75), ry=34)
    s.disc(800, 660, 150, BLACK, line=None, ry=56)
    s.rect(680, 540, 240, 110, TRIM, line=None)
    s.path([(680, 520), (680, 664)], INK)
    s.path([(920, 520), (920, 664)], INK)
    for dx, dy in ((-170, 60), (-60, 84), (90, 78)):
        s.curve([(800 + dx * 0.6, 680 + dy * 0.3), (800 + dx, 690 + dy)], TRIM, 7)


@drawing("Roof, a shingle has come away", SKY)
def roof_missing(s: Sheet) -> None:
    shingles(s, [(-100, -100), (1700, -100), (1700, 1140), (-100, 1140)], rows=10)
    s.poly([(620, 396), (940, 396), (944, 628), (616, 628)], shade(ROOF, 0.55))
    s.poly([(640, 410), (760, 404), (752, 560), (650, 600)], WOOD, width=3)
    for x in (660, 770, 900):
        s.disc(x, 430, 9, RUST, width=2)
    s.poly([(1010, 700), (1260, 780), (1220, 930), (980, 850)], shade(ROOF, 1.1))
    s.wash([(1000, 860), (1220, 940), (1240, 960), (990, 880)], INK, 0.4)


@drawing("Roof and chimney meet: flashing sealed with tar", SKY)
def roof_flashing(s: Sheet) -> None:
    shingles(s, [(-100, 300), (1700, 300), (1700, 1140), (-100, 1140)], rows=9)
    bricks(s, 480, -20, 600, 860)
    for number in range(7):
        y = 330 + number * 80
        s.poly([(1080, y), (1160, y + 30), (1160, y + 100), (1080, y + 76)], STEEL)
    s.poly([(470, 800), (1090, 800), (1180, 900), (400, 900)], STEEL)
    s.curve([(420, 860), (600, 880), (800, 850), (980, 890), (1150, 860)], BLACK, 44)
    s.curve([(1096, 420), (1120, 560), (1090, 660), (1130, 800)], BLACK, 34)
    s.curve([(560, 700), (566, 760), (556, 800)], shade(RUST, 1.2), 12)


@drawing("Overhead service drop and mast", SKY)
def service_drop(s: Sheet) -> None:
    landscape(s, 980)
    siding(s, -20, 520, 900, 620)
    shingles(s, [(-100, 250), (760, 250), (960, 530), (-100, 530)], rows=8)
    s.rect(640, 120, 34, 820, STEEL)
    s.poly([(620, 130), (700, 60), (760, 110), (690, 150)], STEEL)
    s.disc(657, 420, 46, BLACK, ry=20)
    for lift, wide in ((0, 9), (16, 9), (34, 6)):
        s.curve([(1620, 60 + lift), (1200, 190 + lift), (800, 200 + lift)], BLACK, wide)
    for shift in (0, 18, 36):
        s.curve([(800, 200 + shift / 2), (760, 280 + shift), (738, 130)], BLACK, 8)
    s.rect(606, 760, 102, 170, PANEL_GRAY, round_by=8)
    s.disc(657, 820, 38, GLASS)
    s.rect(1420, -20, 46, 1010, WOOD)


@drawing("Meter and its base at the left side", SIDING)
def meter_base(s: Sheet) -> None:
    siding(s, -20, -20, WIDTH + 40, 1160)
    s.rect(740, -20, 110, 330, STEEL)
    s.rect(560, 290, 470, 640, PANEL_GRAY, round_by=18)
    s.rect(600, 330, 390, 560, shade(PANEL_GRAY, 1.3), round_by=12, width=3)
    s.disc(795, 540, 176, DARK_STEEL)
    s.disc(795, 540, 150, GLASS)
    s.rect(710, 470, 170, 66, TRIM, width=3)
    s.text(795, 503, "0 4 1 7 2", 42, anchor="mm")
    for x in (740, 795, 850):
        s.disc(x, 590, 22, TRIM, width=3)
        angle = s.chance.random() * 6
        s.path(
            [(x, 590), (x + 16 * math.cos(angle), 590 + 16 * math.sin(angle))], INK, 3
        )
    s.disc(795, 800, 18, COPPER)
    s.path([(795, 818), (795, 850)], COPPER, 8)
    s.rect(740, 930, 110, 240, STEEL)
    s.cable([(620, 930), (610, 1010), (600, 1130)], WIRE_GREEN, 12)


@drawing("Grounding conductor at the electrode", GRASS)
def electrode(s: Sheet) -> None:
    bricks(s, -20, -20, WIDTH + 40, 560)
    s.rect(-20, 540, WIDTH + 40, 640, EARTH)
    s.speckle(0, 560, 1600, 520, 380, shade(EARTH, 0.82), 7)
    s.rect(770, 470, 60, 420, COPPER, round_by=14)
    s.disc(800, 474, 30, shade(COPPER, 1.25), ry=14)
    s.rect(730, 590, 140, 84, shade(COPPER, 0.8), round_by=12)
    s.disc(700, 632, 34, STEEL)
    s.path([(684, 616), (716, 648)], INK, 6)
    s.cable([(520, -20), (530, 240), (560, 470), (740, 640)], COPPER, 16)
    s.cable([(740, 640), (830, 690), (980, 700), (1130, 690)], COPPER, 16)
    s.disc(800, 890, 70, shade(EARTH, 0.7), line=None, ry=20)


@drawing("Cooling unit outside and its disconnect", SIDING)
def condenser(s: Sheet) -> None:
    siding(s, -20, -20, WIDTH + 40, 820)
    s.rect(-20, 800, WIDTH + 40, 360, GRASS)
    s.rect(330, 900, 700, 70, shade(PANEL_GRAY, 0.85))
    s.rect(360, 350, 640, 560, PANEL_GRAY, round_by=18)
    for level in range(400, 880, 22):
        s.path([(384, level), (976, level)], shade(PANEL_GRAY, 0.72), 7)
    s.disc(680, 356, 270, DARK_STEEL, ry=44)
    for blade in range(5):
        x = 470 + blade * 105
        s.path([(680, 356), (x, 340 + (blade % 2) * 34)], STEEL, 8)
    s.rect(1200, 300, 150, 230, PANEL_GRAY, round_by=10)
    s.rect(1226, 340, 98, 120, shade(PANEL_GRAY, 1.2), width=3)
    s.text(1275, 492, "PULL OUT", 22, anchor="mm", colour=SOFT_INK)
    s.cable([(1270, 530), (1250, 690), (1120, 780), (1000, 760)], DARK_STEEL, 22)
    s.cable([(1500, 300), (1490, 640), (1200, 850), (1000, 840)], BLACK, 40)
