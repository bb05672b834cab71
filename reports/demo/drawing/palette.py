"""The colours of the demo's illustrations: a small, calm set."""

Colour = tuple[int, int, int]

PAPER: Colour = (247, 243, 234)
INK: Colour = (54, 60, 66)
SOFT_INK: Colour = (110, 114, 116)
WHITE: Colour = (252, 251, 247)

SKY: Colour = (210, 224, 228)
CLOUD: Colour = (226, 235, 237)
GRASS: Colour = (163, 178, 142)
HEDGE: Colour = (122, 144, 112)
EARTH: Colour = (150, 124, 98)
CONCRETE: Colour = (201, 199, 191)

SIDING: Colour = (223, 212, 191)
TRIM: Colour = (246, 243, 236)
BRICK: Colour = (178, 119, 97)
ROOF: Colour = (121, 117, 118)
ROOF_DARK: Colour = (98, 95, 98)
DOOR: Colour = (86, 110, 122)
GLASS: Colour = (174, 200, 208)

WALL: Colour = (232, 226, 213)
WALL_COOL: Colour = (214, 221, 219)
FLOOR: Colour = (198, 171, 137)
TILE: Colour = (215, 217, 212)
WOOD: Colour = (197, 160, 117)
DARK_WOOD: Colour = (142, 106, 76)
CABINET: Colour = (227, 219, 202)
COUNTER: Colour = (128, 128, 124)

STEEL: Colour = (178, 184, 187)
DARK_STEEL: Colour = (118, 125, 130)
PANEL_GRAY: Colour = (196, 200, 200)
BLACK: Colour = (58, 59, 63)
COPPER: Colour = (187, 113, 66)
ALUMINIUM: Colour = (203, 208, 211)
RUST: Colour = (160, 92, 54)
FOAM: Colour = (222, 186, 190)

WIRE_RED: Colour = (174, 64, 56)
WIRE_WHITE: Colour = (240, 238, 231)
WIRE_GREEN: Colour = (96, 138, 92)
WIRE_YELLOW: Colour = (224, 188, 88)
WIRE_ORANGE: Colour = (214, 142, 74)

AMBER: Colour = (246, 184, 66)
LAMP_OFF: Colour = (138, 128, 116)
WATER: Colour = (122, 168, 188)
FLAME: Colour = (120, 150, 200)
ACCENT: Colour = (72, 112, 140)


def shade(colour: Colour, amount: float) -> Colour:
    """Darken (below 1) or lighten (above 1) a colour."""
    if amount <= 1:
        return tuple(round(part * amount) for part in colour)  # type: ignore[return-value]
    lift = amount - 1
    return tuple(round(part + (255 - part) * lift) for part in colour)  # type: ignore[return-value]
