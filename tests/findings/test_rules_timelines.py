"""A county's or city's line outranks the state's, and speaks to its own family only."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from findings.rules import engine, era, loader, timelines
from findings.rules.era import Dates, Span
from findings.rules.visit import proposals
from findings.rules.yamlfile import RuleFileError
from tests.findings.rule_visits import RECEPTACLE, RULES, stops
from tests.findings.test_rules_both_evaluators import (
    in_the_browsers_way,
    rule_here,
    same,
)

# Every place, day and edition here is invented; what is checked is which line wins.
TEXT = """\
schema: 1
place: ZZ
name: Invented
known_until: "2024-12-31"
lines:
  - {edition: 1971, effective: "1972-01-01", source: invented, provenance: memory}
  - {edition: 1993, effective: "1995-01-01", source: invented, provenance: memory}
  - {edition: 2012, effective: "2013-01-01", code: irc, source: invented, provenance: memory}
local:
  - {place: Millbrook, year: 1978, from: "1979-01-01", source: invented, provenance: memory}
  - {place: Alder County, year: 1987, from: "1988-01-01", source: invented, provenance: memory}
  - {place: Millbrook, topic: arc-fault rooms, year: 1971, from: "1979-01-01", source: invented, provenance: memory}
  - {place: Millbrook, code: irc, year: 2003, from: "2004-01-01", source: invented, provenance: memory}
amendments:
  arc-fault rooms: the state's own text
"""  # noqa: E501


@pytest.fixture
def line(tmp_path: Path) -> timelines.Timeline:
    (tmp_path / "zz.yaml").write_text(TEXT)
    return timelines.load(tmp_path / "zz.yaml")


def built(year: int) -> Dates:
    return Dates(built=Span.of(year))


PLACES = "ground-fault places"


@pytest.mark.parametrize(
    ("year", "places", "first", "status"),
    [
        # Bathrooms were first asked for in 1975; the state still had 1971 in 1985.
        (1985, (), 1975, era.NOT_REQUIRED),
        (1985, ("Millbrook",), 1975, era.REQUIRED),
        (1985, ("millbrook ",), 1975, era.REQUIRED),
        # Before the city's own line the state's holds.
        (1976, ("Millbrook",), 1975, era.NOT_REQUIRED),
        # A city called like the county is not the county.
        (1990, ("Alder",), 1987, era.NOT_REQUIRED),
        (1990, ("Alder County",), 1987, era.REQUIRED),
        # The city's line stays in force although the state went on: it outranks.
        (2000, ("Millbrook",), 1987, era.NOT_REQUIRED),
        (2000, (), 1987, era.REQUIRED),
    ],
)
def test_a_local_line_stands_before_the_states(
    line: timelines.Timeline,
    year: int,
    places: tuple[str, ...],
    first: int,
    status: str,
) -> None:
    dates = line.dates(built(year), PLACES, "nec", places)

    assert era.resolve(dates, first).status == status


def test_the_local_line_is_named_where_it_decided(line: timelines.Timeline) -> None:
    dates = line.dates(built(1985), PLACES, "nec", ["Millbrook"])

    assert "in force in Millbrook since 1979-01-01: 1978" in (
        era.resolve(dates, 1975).decided_by
    )


def test_a_line_about_a_topic_speaks_of_nothing_else(line: timelines.Timeline) -> None:
    here = ["Millbrook"]
    arcs = line.dates(built(2005), "arc-fault rooms", "nec", here)
    rest = line.dates(built(2005), PLACES, "nec", here)
    elsewhere = line.dates(built(2005), "arc-fault rooms", "nec", ["Other"])

    assert era.resolve(arcs, 1975).status == era.NOT_REQUIRED
    assert era.resolve(rest, 1975).status == era.REQUIRED
    # Without the city's line the state's amendment has to be read.
    assert era.resolve(elsewhere, 1975).status == era.CANNOT_TELL


def test_a_line_speaks_to_its_own_family_only(line: timelines.Timeline) -> None:
    electrical = line.dates(built(2015), PLACES)
    house = line.dates(built(2015), "guards", "irc")
    gas = line.dates(built(2015), "gas vent", "umc")
    city = line.dates(built(2015), "guards", "irc", ["Millbrook"])

    assert [one.edition for one in electrical.adoption] == [1971, 1993]
    assert [one.edition for one in house.adoption] == [2012]
    assert gas == built(2015)
    assert era.resolve(house, 2012).status == era.REQUIRED
    assert era.resolve(city, 2012).status == era.NOT_REQUIRED


def test_a_states_electrical_lines_decide_no_other_family() -> None:
    state = loader.timeline("NC")
    assert state is not None

    assert state.dates(built(2022), "stairs", "irc") == built(2022)


@pytest.mark.parametrize(
    ("city", "county", "names"),
    [
        ("Raleigh", None, ("Raleigh",)),
        ("", "Wake", ("Wake county", "Wake parish", "Wake borough")),
        ("Raleigh", "Wake County", ("Raleigh", "Wake County")),
        (None, None, ()),
    ],
)
def test_a_county_is_known_with_or_without_the_word(
    city: Any, county: Any, names: tuple[str, ...]
) -> None:
    assert timelines.places_of(city, county) == names


def proposed(line: timelines.Timeline, county: str | None, city: str = "") -> Any:
    records = stops()
    records["visit"] |= {"county": county} if county else {}
    records["r"] = {**RECEPTACLE, "gfci_kind": "none", "receptacle_kind": "counter",
                    "stop": "kitchen", "sink_distance_in": "24"}  # fmt: skip
    house = {"state": "ZZ", "built_from": 1990, "built_to": 1990, "city": city}
    (found,) = proposals(records, {}, house, RULES, line)
    return found


def test_the_visits_city_and_county_are_what_is_looked_up(
    line: timelines.Timeline,
) -> None:
    # Kitchen counters near the sink were first asked for in 1987.
    assert proposed(line, None).outcome == "met_then_safer_now"
    assert proposed(line, "Alder").outcome == "defect_at_construction"
    assert proposed(line, None, "Alder").outcome == "met_then_safer_now"


def test_both_evaluators_read_local_lines_alike(
    line: timelines.Timeline, tmp_path: Path
) -> None:
    tasks, wanted = [], []
    inputs = {"location": "bathroom", "protected": False}
    for year in range(1970, 2010, 3):
        for places in ((), ("Millbrook",), ("Alder County",)):
            dates = line.dates(built(year), PLACES, "nec", places)
            task = {"rule": "elec.gfci.location", "inputs": inputs}
            tasks.append(task | {"dates": asdict(dates)})
            wanted.append(rule_here(task, dates))

    same(wanted, in_the_browsers_way(tmp_path, tasks, rules=True), tasks)
    assert len({one.split('"outcome"')[1][:30] for one in wanted}) == 2


def test_the_edition_in_force_is_the_local_one(line: timelines.Timeline) -> None:
    rule = RULES.rules["elec.gfci.location"]
    dates = line.dates(built(1990), PLACES, "nec", ["Alder County"])
    found = engine.run(rule, {"location": "basement_unfinished", "protected": False},
                       dates)  # fmt: skip

    # One protected receptacle in the basement was enough by the edition of 1987.
    assert found.outcome == "undetermined"
    assert "one protected receptacle" in found.why


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("place: Millbrook, year: 1978", "place: '', year: 1978", "place"),
        ("year: 1978, from", "year: soon, from", "year"),
        ('from: "1979-01-01", source: invented', 'from: "1979", source: x', "from"),
        ("year: 1978, from", "edition: 1978, from", "edition"),
        ("source: invented, provenance: memory}\n  - {place: Alder",
         "source: '', provenance: memory}\n  - {place: Alder", "source"),
        ('effective: "1972-01-01"', "effective: soon", "effective"),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_read_is_named(
    tmp_path: Path, old: str, new: str, key: str
) -> None:
    path = tmp_path / "zz.yaml"
    path.write_text(TEXT.replace(old, new, 1))

    with pytest.raises(RuleFileError) as refused:
        timelines.load(path)

    assert (refused.value.key, refused.value.line > 0) == (key, True)
