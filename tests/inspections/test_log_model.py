"""The protocol as a model: phones, a server, and every fault in the list.

KINGPOST_MODEL_EXAMPLES and KINGPOST_MODEL_SEEDS make the runs longer.
"""

import random

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from firm import env
from tests.support.sync_world import BATCH, BUGS, FIELDS, RECORDS, World, run, value_for

EXAMPLES = env.number("KINGPOST_MODEL_EXAMPLES", 100)
SEEDS = env.number("KINGPOST_MODEL_SEEDS", 20)

phones = st.integers(0, 2)
numbers = st.integers(0, 2**16)


class Visit(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        self.world = World()

    @rule(
        phone=phones,
        rec=st.sampled_from(RECORDS),
        name=st.sampled_from(FIELDS),
        number=numbers,
    )
    def write(self, phone: int, rec: str, name: str, number: int) -> None:
        self.world.write(phone, rec, name, value_for(name, random.Random(number)))

    @rule(
        phone=phones,
        stop=st.integers(1, BATCH + 1),
        fault=st.sampled_from(
            ["", "request-lost", "answer-lost", "doubled", "captive", "signed-out"]
        ),
    )
    def push(self, phone: int, stop: int, fault: str) -> None:
        self.world.push(phone, fault, stop)

    @rule(phone=phones, fault=st.sampled_from(["", "request-lost", "killed"]))
    def pull(self, phone: int, fault: str) -> None:
        self.world.pull(phone, fault)

    @rule(number=numbers)
    def replay(self, number: int) -> None:
        self.world.replay(random.Random(number))

    @rule(phone=phones)
    def back_up(self, phone: int) -> None:
        self.world.back_up(phone)

    @rule()
    def restore_server(self) -> None:
        self.world.restore_server()

    @rule(phone=phones)
    def restore_phone(self, phone: int) -> None:
        self.world.restore_phone(phone)

    @rule(phone=phones)
    def evict(self, phone: int) -> None:
        self.world.evict(phone)

    @invariant()
    def versions_have_no_hole_and_no_id_comes_twice(self) -> None:
        rows = self.world.server.rows
        assert [row["v"] for row in rows] == list(range(1, len(rows) + 1))
        assert len({row["id"] for row in rows}) == len(rows)

    def teardown(self) -> None:
        self.world.settle()
        assert self.world.faults() == []


Visit.TestCase.settings = settings(
    max_examples=EXAMPLES,
    stateful_step_count=60,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
TestVisit = Visit.TestCase


@pytest.mark.parametrize("seed", range(SEEDS))
def test_no_fault_loses_doubles_or_overwrites_anything(seed: int) -> None:
    world = run(seed, 1000)

    assert world.faults() == []
    assert len(world.server.rows) > 30


@pytest.mark.parametrize("bug", BUGS)
def test_each_planted_mistake_is_noticed(bug: str) -> None:
    assert any(run(seed, 400, bug).faults() for seed in range(5))
