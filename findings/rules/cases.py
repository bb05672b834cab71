"""Worked cases: run a case file through the public engine and compare.

A case file names inputs as the published facts do; this module is the mapping from
those names to the engine's. A lag of three years is assumed unless a case gives an
adoption list, a lag or an edition: that assumption lives here and nowhere else.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from findings.rules import engine, exact, yamlfile
from findings.rules.engine import QUIET, Outcome
from findings.rules.era import Dates, Line, Span
from findings.rules.inputs import BadInput, InputSpec, normal
from findings.rules.loader import Ruleset

CASE_LAG = 3
COMMON_DATES = {
    "built_year": "built",
    "permit_date": "permit",
    "alteration_year": "altered",
    "installed_year": "installed",
    "replaced_year": "replaced",
}
HOUSE_DATES = (
    *COMMON_DATES,
    "adoption",
    "adopted_edition",
    "adopted_nec",
    "adopted_irc",
    "lag_years",
    "rule_effective",
    "state_amendment",
    "insulation_year",
)
# In the published facts a feeder of three wires has no other ground path at all:
# there a metal raceway counts as the fourth wire.
# Ages are read as of the year in which the facts were put together.
IMPLIED: dict[str, dict[str, Any]] = {
    "elec.feeder.wire_count": {"egc_kind": "none"},
    "elec.smoke.location": {"inspection_year": 2025},
    # Published distances to a window are below or beside it; of a gas vent near a wall
    # only its height above the roof is stated, and nothing near stands taller.
    "vent.sidewall": {"above_window": -12},
    "vent.b_roof": {"above_near": 2},
    # A duct without turns is stated by its length alone; the eastern family is meant
    # where a case names none.
    "dryer.duct": {"elbows_90": 0, "code": "IRC"},
    "drain.slope": {"code_family": "IRC_IPC"},
    # The published split is that of a unit that has run, in air neither dry nor humid.
    "hvac.cooling_split": {"humidity": 50, "run_min": 15, "outdoor": 80},
}
# The family of codes has one name in one rule and another in the next.
FAMILY = {"code": "code_family", "code_family": "code"}
RELATIVE = "0.01"


@dataclass
class Result:
    """One case: what came of it and why it passed or failed."""

    id: str
    rule: str
    passed: bool = False
    expected: str = ""
    got: str = ""
    why: str = ""
    not_given: list[str] = field(default_factory=list)


def run_file(path: Path, ruleset: Ruleset) -> list[Result]:
    """Every case of a file. Raises RuleFileError when it is not a case file."""
    content = yamlfile.read(path, plain=True)
    cases = content.get("cases") if isinstance(content, Mapping) else None
    if not isinstance(cases, list):
        raise yamlfile.RuleFileError(path, 1, "cases", "is not a list of cases")
    return [run_case(case, ruleset) for case in cases]


def run_case(case: Mapping[str, Any], ruleset: Ruleset) -> Result:
    """One case through the engine; never raises for what a case holds."""
    name, rule_id = str(case.get("id", "?")), str(case.get("rule", "?"))
    expected = case.get("expected") or {}
    wanted = str(expected.get("outcome"))
    if rule_id == "mixed.house":
        return _mixed(name, case, ruleset)
    if rule_id not in ruleset.rules:
        why = f"the engine does not know the rule {rule_id} yet"
        return Result(name, rule_id, expected=wanted, got="nothing", why=why)
    try:
        outcome = evaluate(rule_id, case.get("inputs") or {}, ruleset)
    except BadInput as error:
        passed = wanted in ("error", "refused", "bad_input")
        return Result(name, rule_id, passed, wanted, "error", str(error))
    return _compare(name, outcome, expected)


def evaluate(rule_id: str, given: Mapping[str, Any], ruleset: Ruleset) -> Outcome:
    """One rule over inputs named as in the published facts. Raises BadInput."""
    rule = ruleset.rules[rule_id]
    inputs = {**IMPLIED.get(rule_id, {}), **given}
    for name, other in FAMILY.items():
        if name in given and name not in rule.inputs and other in rule.inputs:
            inputs[other] = given[name]
    return engine.run(rule, inputs, case_dates(inputs, rule.dates, rule.code))


def case_dates(
    given: Mapping[str, Any], roles: Mapping[str, str], code: str = "nec"
) -> Dates:
    """Give the dates that a case's inputs give, with the case files' assumed lag."""
    spans: dict[str, Span] = {}
    adopted = _year(given, f"adopted_{code}") or _year(given, "adopted_edition")
    for name, role in {**COMMON_DATES, **roles}.items():
        if given.get(name) in (None, "", "unknown"):
            continue
        if role == "adopted_edition":
            adopted = _year(given, name)
        else:
            kind = "date" if name == "permit_date" else "year"
            spans[role] = Span.of(normal(InputSpec(name, kind), given[name]))
    adoption = tuple(_lines(given.get("adoption")))
    lag = _lag(given, adoption)
    effective = given.get("rule_effective")
    return Dates(
        built=spans.get("built"),
        permit=spans.get("permit"),
        installed=spans.get("installed"),
        altered=spans.get("altered"),
        replaced=spans.get("replaced"),
        adoption=adoption,
        adopted_edition=adopted,
        lag=lag,
        rule_effective=str(effective) if effective else "",
        amendment=given.get("state_amendment"),
    )


def _year(given: Mapping[str, Any], name: str) -> int | None:
    if given.get(name) in (None, "", "unknown"):
        return None
    year = normal(InputSpec(name, "year"), given[name])
    return int(year)


def _lag(given: Mapping[str, Any], adoption: tuple[Line, ...]) -> int | None:
    if given.get("lag_years") not in (None, ""):
        lag = normal(
            InputSpec("lag_years", "count", low=0, high=60), given["lag_years"]
        )
        return int(lag)
    return None if adoption else CASE_LAG


def _lines(raw: Any) -> Iterable[Line]:
    if isinstance(raw, Mapping):
        raw = [{"edition": key, "effective": value} for key, value in raw.items()]
    for item in raw or []:
        edition, day = (
            (item.get("edition"), item.get("effective", item.get("date")))
            if isinstance(item, Mapping)
            else item
        )
        year = normal(InputSpec("adoption", "year"), edition)
        yield Line(int(year), Span.of(normal(InputSpec("adoption", "date"), day)).first)


def _compare(name: str, outcome: Outcome, expected: Mapping[str, Any]) -> Result:
    wanted = str(expected.get("outcome"))
    problems, not_given = [], []
    # A case may state a value where an outcome stands, such as "within".
    if wanted != outcome.outcome and wanted not in map(str, outcome.values.values()):
        problems.append(f"outcome {wanted}, got {outcome.outcome}")
    for key, value in (expected.get("values") or {}).items():
        if key not in outcome.values:
            not_given.append(key)
        elif not agrees(value, outcome.values[key]):
            problems.append(f"{key} {value}, got {outcome.values[key]}")
    got = f"{outcome.outcome} {outcome.values}"
    why = "; ".join([*problems, outcome.why]) if problems else outcome.why
    return Result(
        name, outcome.rule, not problems, _wanted(expected), got, why, not_given
    )


def _wanted(expected: Mapping[str, Any]) -> str:
    values = expected.get("values") or {}
    return f"{expected.get('outcome')} {dict(values)}".removesuffix(" {}")


def agrees(wanted: Any, got: Any) -> bool:
    """Equal, or within one percent for numbers; a pair is a range."""
    if isinstance(wanted, list) and not isinstance(got, list):
        ends = [exact.parse(exact.from_any(end)) for end in (wanted[0], wanted[-1])]
        value = exact.parse(exact.from_any(got))
        if value is not None and ends[0] is not None and ends[1] is not None:
            return ends[0] <= value <= ends[1]
    one, two = exact.from_any(wanted), exact.from_any(got)
    number, other = exact.parse(one), exact.parse(two)
    if number is not None and other is not None:
        share = exact.parse(RELATIVE) or 0
        return abs(number - other) <= abs(number) * share
    return str(wanted) == str(got)


def _mixed(name: str, case: Mapping[str, Any], ruleset: Ruleset) -> Result:
    """Give a house with several observations: a set of rule:outcome is compared."""
    expected = case.get("expected") or {}
    wanted = set(_pairs_expected(expected))
    try:
        found, unknown = house(case.get("inputs") or {}, ruleset)
    except BadInput as error:
        return Result(
            name, "mixed.house", expected=str(wanted), got="error", why=str(error)
        )
    got = set(found)
    if not any(pair.endswith(":ok") for pair in wanted):
        got = {pair for pair in got if not pair.endswith(":ok")}
    missing, extra = sorted(wanted - got), sorted(got - wanted)
    parts = [f"missing {missing}"] if missing else []
    parts += [f"not expected {extra}"] if extra else []
    parts += [f"unknown rules {unknown}"] if unknown else []
    passed = not missing and not extra and not unknown and bool(wanted)
    return Result(
        name, "mixed.house", passed, str(sorted(wanted)), str(sorted(got)),
        "; ".join(parts) or "the set agrees",
    )  # fmt: skip


PAIR = re.compile(r"(\w+(?:\.\w+)+):\s*(\w+)")


def _pairs_expected(value: Any) -> Iterable[str]:
    """Find every rule:outcome in an expectation, however it is nested."""
    if isinstance(value, str):
        for rule, outcome in PAIR.findall(value):
            yield f"{rule}:{outcome}"
    elif isinstance(value, Mapping):
        if {"rule", "outcome"} <= set(value):
            yield f"{value['rule']}:{value['outcome']}"
        # A mapping of rule to outcome is one more way to write a pair.
        inner = [f"{k}:{v}" if "." in k else v for k, v in value.items() if k != "why"]
        yield from _pairs_expected(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _pairs_expected(inner)


def house(given: Mapping[str, Any], ruleset: Ruleset) -> tuple[list[str], list[str]]:
    """Each observation's rule:outcome, hazards first, and the rules not known.

    Dates of the house apply unless the observation gives its own. A hazard on an
    item silences what the calendar says of the same item in the same room.
    """
    dates = {key: given[key] for key in HOUSE_DATES if key in given}
    rows: list[tuple[tuple[str, str], str, str]] = []
    unknown = []
    for number, seen in enumerate(given.get("obs") or []):
        rule_id, own = str(seen.get("rule")), dict(seen.get("inputs") or {})
        if rule_id not in ruleset.rules:
            unknown.append(rule_id)
            continue
        roles = ruleset.rules[rule_id].dates
        outcome = evaluate(rule_id, {**_house_dates(dates, own, roles), **own}, ruleset)
        item = str(seen.get("item") or own.get("item") or f"#{number}")
        room = str(seen.get("room") or "")
        rows.append(((item, room), rule_id, outcome.outcome))
    hazards = {where for where, _, outcome in rows if outcome == "defect_now"}
    kept = [
        (outcome in QUIET, outcome != "defect_now", f"{rule}:{outcome}")
        for where, rule, outcome in rows
        if outcome == "defect_now" or where not in hazards
    ]
    return [pair for _, _, pair in sorted(kept)], unknown


def _house_dates(
    dates: Mapping[str, Any], own: Mapping[str, Any], roles: Mapping[str, str]
) -> dict[str, Any]:
    """Give the house's dates, less those the observation's own dates replace."""
    if any(own.get(name) is not None for name in (*COMMON_DATES, *roles)):
        return {k: v for k, v in dates.items() if k not in COMMON_DATES}
    return dict(dates)
