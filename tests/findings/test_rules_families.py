"""The family of codes a state names reaches a visit; without it the answer depends."""

from __future__ import annotations

from typing import Any

import pytest

from findings.rules.visit import proposals
from findings.selectors.evaluation import evaluate
from findings.standards.loader import pack
from tests.findings.rule_visits import RULES, stops
from tests.support.cast import Cast
from tests.support.field import fill, started, url
from tests.support.visits import make_visit

EASTERN = {"plumbing_family": "IPC", "mechanical_family": "IMC"}
WESTERN = {"plumbing_family": "UPC", "mechanical_family": "UMC"}
HEATER = {"kind": "water_heater", "relief_pipe": "present",
          "relief_ends_at": "outdoors", "relief_material": "copper",
          "relief_full_size": "yes"}  # fmt: skip
ARM = {"kind": "drain_pipe", "drain_kind": "trap_arm", "diameter_in": "2",
       "to_vent_in": "96", "vent_seen": "yes", "how_known": "measured"}  # fmt: skip
DRAIN = {"kind": "drain_pipe", "drain_kind": "drain", "diameter_in": "3",
         "fall_in": "1.25", "run_ft": "10", "how_known": "measured"}  # fmt: skip
DRYER = {"kind": "dryer_run", "duct_material": "metal", "ends_at": "outdoors",
         "straight_ft": "15", "full_turns": 2, "how_known": "measured"}  # fmt: skip


def outcome(record: dict[str, Any], families: dict[str, str], built: int = 2005) -> str:
    house = {"state": "", "built_from": built, "built_to": built, **families}
    records = {**stops(), "o": {"stop": "garage", **record}}
    found = proposals(records, {}, house, RULES, None)
    return found[0].outcome if found else "nothing"


@pytest.mark.parametrize(
    ("record", "eastern", "western", "unknown"),
    [
        # IRC P2804.6.1: at most 6 in above the ground; UPC 608.5: 6 to 24 in.
        ({**HEATER, "relief_end_in": "20"}, "defect_now", "nothing",
         "depends_on_adoption"),
        # IPC 909.1: 96 in for 2 in pipe; UPC 1002.2: 60 in.
        (ARM, "nothing", "depends_on_adoption", "depends_on_adoption"),
        # IRC P3005.3: an eighth at 3 in; UPC 708: a quarter.
        (DRAIN, "nothing", "depends_on_adoption", "depends_on_adoption"),
        # IRC M1502: 25 - 2 x 5 = 15 ft; UMC 504.4: 14 ft with two turns.
        (DRYER, "nothing", "depends_on_adoption", "depends_on_adoption"),
    ],
    ids=["relief pipe", "trap arm", "drain", "dryer"],
)  # fmt: skip
def test_each_family_has_its_own_answer(
    record: dict[str, Any], eastern: str, western: str, unknown: str
) -> None:
    """Without a sourced list the western limit depends on its day, not the family."""
    assert outcome(record, EASTERN) == eastern
    assert outcome(record, WESTERN) == western
    assert outcome(record, {}) == unknown


def test_knowing_the_family_says_which_limit_was_passed() -> None:
    house = {"state": "", "built_from": 2005, "built_to": 2005, **WESTERN}
    records = {**stops(), "o": {"stop": "garage", **ARM}}

    (found,) = proposals(records, {}, house, RULES, None)

    assert "60 is the most" in found.why
    assert found.margin == "96 in"


@pytest.mark.parametrize(
    ("state", "plumbing", "mechanical"),
    [("NC", "IPC", "IMC"), ("WA", "UPC", "IMC"), ("TX", "", "")],
)
def test_each_state_names_its_families_or_leaves_them_to_its_towns(
    state: str, plumbing: str, mechanical: str
) -> None:
    """RCW 19.27.031; Texas Occupations Code 1301.255 names both."""
    said = pack(state).code_family

    assert said is not None
    assert (said.plumbing, said.mechanical) == (plumbing, mechanical)
    assert said.source == "found"


@pytest.mark.django_db
def test_a_visit_reads_the_family_from_its_states_standard(cast: Cast) -> None:
    visit = make_visit(cast.ines)
    client = cast.ines.client()
    address = url("item-write", visit, started(cast, visit, client)["Kitchen"],
                  "drain_pipe")  # fmt: skip
    said = pack(visit.pack).code_family
    typed = {name: DRAIN[name] for name in DRAIN if name != "kind"}

    fill(client, address, **typed)

    assert said is not None
    assert (said.plumbing, said.source) == ("IPC", "found")
    assert 'data-plumbing="IPC"' in client.get(address).content.decode()
    seen = evaluate(cast.ines.actor, visit)
    assert [record["fall_in"] for _, record in seen.of_kind("drain_pipe")] == ["1.25"]
    # An eighth per foot is enough by the family that this state builds by.
    assert seen.proposals == ()
    fill(client, address, **typed | {"fall_in": "0.5"})
    found = evaluate(cast.ines.actor, visit).proposals
    assert [one.rule for one in found] == ["drain.slope"]
