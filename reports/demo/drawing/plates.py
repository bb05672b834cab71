"""Illustrations of data plates and instruments; every maker is invented."""

from reports.demo.drawing.palette import (
    ACCENT,
    BLACK,
    GRASS,
    INK,
    PANEL_GRAY,
    SKY,
    SOFT_INK,
    STEEL,
    TRIM,
    WALL,
    WIRE_RED,
    Colour,
    shade,
)
from reports.demo.drawing.sheet import WIDTH, Sheet, drawing

Lines = tuple[tuple[str, str], ...]


def plate(
    s: Sheet, maker: str, what: str, lines: Lines, ground: Colour = STEEL
) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, shade(PANEL_GRAY, 0.9), line=None)
    s.wash([(244, 130), (1384, 130), (1384, 1016), (244, 1016)], INK, 0.25)
    s.rect(220, 100, 1140, 890, shade(ground, 1.35), round_by=22, width=5)
    for x, y in ((262, 142), (1318, 142), (262, 948), (1318, 948)):
        s.disc(x, y, 16, STEEL)
        s.path([(x - 9, y - 9), (x + 9, y + 9)], INK, 3)
    s.text(790, 190, maker, 84, anchor="mm", colour=shade(ACCENT, 0.8))
    s.text(790, 270, what, 38, anchor="mm", colour=SOFT_INK)
    s.path([(310, 320), (1270, 320)], INK, 4)
    for number, (label, value) in enumerate(lines):
        y = 366 + number * 92
        s.text(320, y, label, 40, colour=SOFT_INK)
        s.text(1260, y, value, 48, anchor="ra")
        s.path([(310, y + 68), (1270, y + 68)], SOFT_INK, 2)


@drawing("Plate of the water heater")
def plate_water_heater(s: Sheet) -> None:
    plate(
        s,
        "HOLLIN & WREN",
        "storage water heater",
        (
            ("MODEL", "HW-50E"),
            ("SERIAL", "0611 44821"),
            ("CAPACITY", "50 gal"),
            ("ELEMENTS", "4500 W   240 V"),
            ("MADE", "JUN 2011"),
            ("PRESSURE", "150 psi"),
        ),
    )


@drawing("Plate of the furnace")
def plate_furnace(s: Sheet) -> None:
    plate(
        s,
        "BRACKENDALE",
        "gas furnace, indoor",
        (
            ("MODEL", "BD80-075"),
            ("SERIAL", "B1609-20733"),
            ("INPUT", "75 kBtu/h"),
            ("GAS", "natural   7 in w.c."),
            ("MADE", "SEP 2016"),
            ("SUPPLY", "115 V   15 A"),
        ),
    )


@drawing("Plate of the cooling unit")
def plate_condenser(s: Sheet) -> None:
    plate(
        s,
        "BRACKENDALE",
        "outdoor cooling unit",
        (
            ("MODEL", "BC13-030"),
            ("SERIAL", "C0504-11840"),
            ("MIN CIRCUIT", "19.6 A"),
            ("MAX BREAKER", "30 A"),
            ("MADE", "APR 2005"),
            ("REFRIGERANT", "6 lb 4 oz"),
        ),
    )


@drawing("Label inside the main panel")
def plate_panel(s: Sheet) -> None:
    plate(
        s,
        "TILLERY",
        "load center",
        (
            ("CATALOGUE", "TL-4220"),
            ("BUS", "200 A max"),
            ("SPACES", "42"),
            ("SYSTEM", "120/240 V  1 phase"),
            ("GROUND BAR", "2 of 14-12 Cu a screw"),
            ("NEUTRAL BAR", "1 conductor a screw"),
        ),
        (228, 222, 204),
    )


@drawing("Plate of the dishwasher")
def plate_dishwasher(s: Sheet) -> None:
    plate(
        s,
        "COPPERLEA",
        "dishwasher, built in",
        (
            ("MODEL", "CL-24"),
            ("SERIAL", "1803-77120"),
            ("SUPPLY", "120 V   9.6 A"),
            ("MADE", "MAR 2018"),
            ("WATER", "20 to 120 psi"),
        ),
        (226, 226, 222),
    )


@drawing("Thermometer at a register, cooling running", WALL)
def thermometer(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, WALL, line=None)
    s.rect(160, 120, 760, 420, TRIM)
    for number in range(13):
        s.path([(196 + number * 57, 150), (196 + number * 57, 510)], SOFT_INK, 16)
    s.rect(900, 420, 430, 560, BLACK, round_by=50)
    s.rect(950, 480, 330, 180, GRASS, round_by=14)
    s.text(1115, 570, "56 F", 110, anchor="mm")
    for x in (990, 1115, 1240):
        s.disc(x, 770, 36, shade(BLACK, 1.3))
    s.cable([(920, 700), (760, 640), (640, 480)], STEEL, 16)


@drawing("Clamp meter at the main conductors", PANEL_GRAY)
def clamp_meter(s: Sheet) -> None:
    s.rect(-20, -20, WIDTH + 40, 1200, shade(PANEL_GRAY, 0.45), line=None)
    s.cable([(760, -20), (770, 200), (780, 500), (760, 1150)], BLACK, 80)
    s.arc(780, 330, 190, 0, 360, INK, 74)
    s.arc(780, 330, 185, 0, 360, WIRE_RED, 60)
    s.rect(600, 480, 380, 600, (236, 196, 84), round_by=40, width=6)
    s.rect(660, 560, 260, 150, GRASS, round_by=10)
    s.text(790, 636, "18.4 A", 76, anchor="mm")
    s.disc(790, 850, 90, BLACK)
    s.path([(790, 850), (840, 790)], TRIM, 12)


@drawing("Weather at arrival: clear, dry ground", SKY)
def weather(s: Sheet) -> None:
    s.glow(1180, 260, 260, (250, 214, 120))
    s.disc(1180, 260, 110, (250, 214, 120))
    s.disc(420, 240, 210, (232, 240, 241), line=None, ry=60)
    s.disc(300, 640, 520, shade(GRASS, 0.92), line=None, ry=120)
    s.disc(1150, 660, 640, shade(GRASS, 0.85), line=None, ry=130)
    s.rect(-20, 700, WIDTH + 40, 500, GRASS, line=None)
    s.poly([(700, 700), (820, 700), (1180, 1130), (420, 1130)], (201, 199, 191))
    s.rect(160, 560, 110, 330, TRIM, round_by=50)
    s.rect(204, 610, 22, 220, shade(TRIM, 0.9), width=3, round_by=10)
    s.rect(207, 700, 16, 130, WIRE_RED, line=None)
    s.disc(215, 840, 26, WIRE_RED)
    s.text(300, 720, "71 F", 60)
