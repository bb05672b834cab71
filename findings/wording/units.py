"""Units as this firm writes them: a space before, feet and inches in letters."""

import re
from collections.abc import Iterator

from findings.wording.context import Context, Remark
from findings.wording.words import Words

TIGHT = re.compile(
    r"(?<![\w/.-])\d+(?:\.\d+)?(?:A|V|W|AWG|ft|in|psi|amps?|volts?)(?!\w)"
)
SMALL = re.compile(r"(?<![\w/.-])\d+ ?[avw](?!\w)")
MARKS = re.compile(r"(?<![\w-])\d+(?:[ -]\d/\d)? ?(?:'|′|\"|″)(?![\w])")
DEGREES = re.compile(r"(?<!\w)\d+ ?(?:°|degrees?)(?! ?(?:[FC](?!\w)|Fahrenheit))")
METRIC = re.compile(
    r"(?<![\w-])\d+(?:[.,]\d+)? ?(?:mm|cm|m|km|kg|g|kPa|bar|°C|liters?|litres?|"
    r"met(?:er|re)s?|centimet(?:er|re)s?|millimet(?:er|re)s?)(?!\w)"
)
RULES = (
    ("unit.space", TIGHT, "Put a space between the number and its unit."),
    ("unit.capital", SMALL, "Write A, V and W with a capital and a space."),
    ("unit.marks", MARKS, "Write ft and in; the marks are easily misread."),
    ("unit.degrees", DEGREES, "Say which degrees, as in 120 °F."),
)
METRIC_RULE = ("unit.metric", METRIC, "This report gives feet, inches, pounds and °F.")


def unit_remarks(words: Words, around: Context) -> Iterator[Remark]:
    """Point out units that are written another way."""
    rules = RULES if around.metric else (*RULES, METRIC_RULE)
    for part, text in words.parts():
        for check, pattern, message in rules:
            for match in pattern.finditer(text):
                yield Remark(part, *match.span(), "unit", message, check)
