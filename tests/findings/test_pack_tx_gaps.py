"""Texas: a whole visit is complete; one entry less opens what it held; gaps close."""

import pytest

from tests.findings.test_pack_tx import TX, UNSAID, Records, found_on, stands, walked

# What is recorded in the demo and only a person can report under this state.
BY_PERSON = {"TX-LS-004": "A baluster of the deck is missing."}


def answered() -> Records:
    """The demo's records, and a person's answers to what they leave open."""
    given = {f"answer {name}": answer_to(name) for name in sorted(UNSAID)}
    return {**walked(), **given}


def answer_to(name: str) -> dict[str, str]:
    """What a person says to one line."""
    duty = TX.duty(name)
    said = "looked" if duty.condition else "described"
    said = {"operate": "operated"}.get(duty.duty, said)
    return {
        "kind": "duty",
        "duty": name,
        "answer": "reported" if name in BY_PERSON else said,
        "text": BY_PERSON.get(name, "As seen."),
    }


def opened(records: Records) -> set[str]:
    return {line.duty for line in stands(records, found_on(walked())).open()}


def without(*keys: str) -> Records:
    return {key: one for key, one in answered().items() if key not in keys}


def key_of(**fields: str) -> str:
    (found,) = [
        key
        for key, one in walked().items()
        if all(one.get(name) == value for name, value in fields.items())
    ]
    return found


def test_a_whole_visit_leaves_nothing_open():
    assert opened(answered()) == set()


@pytest.mark.parametrize("name", sorted(UNSAID))
def test_an_answer_taken_away_opens_its_duty_and_no_other(name):
    assert opened(without(f"answer {name}")) == {name}


@pytest.mark.parametrize(
    ("fields", "holds"),
    [
        # A reading, a depth and a run each hold up what rests on them.
        ({"what": "water_pressure_psi"}, {"TX-PL-003", "TX-PL-006"}),
        ({"what": "depth_in"}, {"TX-IV-001"}),
        ({"what": "supply_air_F"}, {"TX-CO-002", "TX-CO-003"}),
        ({"what": "return_air_F"}, set()),
    ],
)
def test_a_measure_taken_away_opens_what_it_held(fields, holds):
    assert opened(without(key_of(kind="measure", **fields))) == holds


def test_three_reasons_close_what_water_snow_and_a_lock_prevented():
    roof, dining = (
        key_of(kind="stop", stop_kind="roof"),
        key_of(kind="stop", name="Dining room"),
    )
    left = {
        key: one
        for key, one in answered().items()
        if one.get("stop") not in (roof, dining)
        and not str(one.get("duty")).startswith(("TX-PL", "TX-RO"))
        and one.get("what") != "water_pressure_psi"
    }
    for shut in (roof, dining):
        left[shut] = {
            name: value
            for name, value in left[shut].items()
            if name in ("kind", "name", "stop_kind", "room_use", "pos")
        }
    assert len(opened(left)) > 20

    gaps = {
        "water": {"reason": "utility_off", "reach": ["system:plumbing"]},
        "snow": {"reason": "snow", "reach": [roof]},
        "lock": {"reason": "locked", "reach": [dining]},
    }
    closed = {**left, **{k: {"kind": "limit", **one} for k, one in gaps.items()}}

    assert opened(closed) == set()
    rows = stands(closed, found_on(left)).rows
    assert all(r.text for r in rows if r.state == "not_inspected")
