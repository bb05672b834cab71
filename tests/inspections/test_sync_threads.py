"""Several phones at once on a real database: versions, readers, and the heads."""

import json
import random
import threading
from collections.abc import Callable
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import connection

from firm.tenancy import bound
from inspections.log.fold import fold, heads
from inspections.models import Head, LogRow, Visit
from inspections.selectors.changes import changes
from inspections.selectors.folded import folded, standing
from inspections.services import log
from tests.support.cast import Cast
from tests.support.visits import make_visit, mutation, push, statuses

pytestmark = pytest.mark.django_db(transaction=True)


def together(*jobs: Callable[[], None]) -> None:
    """Run each in a thread with a connection of its own; show what goes wrong."""
    failures: list[BaseException] = []
    start = threading.Barrier(len(jobs))

    def run(job: Callable[[], None]) -> None:
        try:
            start.wait(timeout=20)
            job()
        except BaseException as error:  # noqa: BLE001  (raised again below)
            failures.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=[job]) for job in jobs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=90)
    if failures:
        raise failures[0]


def feed(cast: Cast, visit: Visit) -> list[dict[str, Any]]:
    with bound(cast.northside.pk):
        return changes(cast.ines.actor, visit, after=0, limit=10_000).changes


def assert_heads_are_those_of_the_log(cast: Cast, visit: Visit) -> None:
    entries = feed(cast, visit)
    with bound(cast.northside.pk):
        kept = set(Head.objects.values_list("mutation", "version", "rec", "field"))
        records, conflicts = folded(cast.ines.actor, visit)
    assert kept == {
        (UUID(e["id"]), e["v"], UUID(e["rec"]), e["field"]) for e in heads(entries)
    }
    whole = fold(entries)
    assert json.dumps(records) == json.dumps(whole.records)
    assert conflicts == whole.conflicts


def test_phones_at_once_leave_no_hole_and_a_reader_skips_nothing(
    committed: Cast, committed_visit: Visit
) -> None:
    visit, each, phones = committed_visit, 25, 5
    done = threading.Event()
    read: list[int] = []
    left = [phones]
    lock = threading.Lock()

    def phone() -> None:
        device = uuid4()
        try:
            for seq in range(1, each + 1):
                answer = push(
                    committed.ines, visit, device, mutation(seq, "kind", "note")
                )
                assert statuses(answer) == ["ok"]
        finally:
            with lock:
                left[0] -= 1
                if not left[0]:
                    done.set()

    def reader() -> None:
        last_round = False
        while True:
            after = read[-1] if read else 0
            with bound(committed.northside.pk):
                page = changes(committed.ines.actor, visit, after=after, limit=7)
            read.extend(change["v"] for change in page.changes)
            if last_round and not page.changes:
                return
            last_round = done.is_set()

    together(*[phone] * phones, reader)

    assert read == list(range(1, each * phones + 1))
    assert_heads_are_those_of_the_log(committed, visit)


def test_one_batch_sent_by_many_at_once_is_taken_once(
    committed: Cast, committed_visit: Visit
) -> None:
    device, rec = uuid4(), str(uuid4())
    batch = [mutation(1, "kind", "stop", rec=rec)]
    batch += [mutation(n, "name", f"n{n}", rec=rec) for n in range(2, 12)]
    answers: list[list[str]] = []

    def send() -> None:
        answers.append(statuses(push(committed.ines, committed_visit, device, *batch)))

    together(*[send] * 6)

    assert [entry["id"] for entry in feed(committed, committed_visit)] == [
        entry["id"] for entry in batch
    ]
    assert {status for answer in answers for status in answer} <= {"ok", "dup"}
    assert sum(answer.count("ok") for answer in answers) == len(batch)


def test_two_phones_on_one_field_keep_both_values(
    committed: Cast, committed_visit: Visit
) -> None:
    kind = mutation(1, "kind", "stop")
    name = mutation(2, "name", "Room", rec=kind["rec"])
    push(committed.ines, committed_visit, uuid4(), kind, name)

    def rename(to: str) -> Callable[[], None]:
        change = mutation(1, "name", to, rec=kind["rec"], seen=[name["id"]])
        return lambda: assert_ok(push(committed.ines, committed_visit, uuid4(), change))

    together(rename("Den"), rename("Study"))

    with bound(committed.northside.pk):
        _, conflicts = folded(committed.ines.actor, committed_visit)
    assert sorted(conflicts[kind["rec"], "name"]) == ["Den", "Study"]


def assert_ok(answer: log.PushAnswer) -> None:
    assert statuses(answer) == ["ok"]


def test_pages_and_phones_share_the_counter(
    committed: Cast, committed_visit: Visit
) -> None:
    def phone() -> None:
        device = uuid4()
        for seq in range(1, 16):
            note = mutation(seq, "kind", "note")
            assert_ok(push(committed.ines, committed_visit, device, note))

    def page() -> None:
        for _ in range(15):
            log.record(
                actor=committed.ines.actor,
                visit=Visit(pk=committed_visit.pk),
                changes=[log.Change(log.new_id(), "kind", "stop")],
            )

    together(phone, phone, page, page)

    versions = [entry["v"] for entry in feed(committed, committed_visit)]
    assert versions == list(range(1, 61))


def written(dice: random.Random, recs: list[str]) -> list[dict[str, Any]]:
    """What one phone wrote: forty entries, good and bad, over a few records."""
    own: list[dict[str, Any]] = []
    for seq in range(1, 41):
        rec = dice.choice(recs)
        field, value = dice.choice(
            [
                ("kind", "stop"),
                ("name", f"n{seq}"),
                ("floor", "first"),
                ("_gone", True),
                ("_gone", False),
                ("amps", 900),
                ("name", "\x00"),
            ]
        )
        known = [m["id"] for m in own if m["rec"] == rec]
        seen = dice.sample(known, dice.randint(0, len(known)))
        own.append(mutation(seq, field, value, rec=rec, seen=seen))
    return own


def test_batches_cut_repeated_and_mixed_end_like_one_clean_push(
    committed: Cast, committed_visit: Visit
) -> None:
    seed = random.randrange(2**32)
    dice = random.Random(seed)
    recs = [str(uuid4()) for _ in range(3)]
    phones = {uuid4(): written(dice, recs), uuid4(): written(dice, recs)}
    at = dict.fromkeys(phones, 0)
    while any(at[device] < len(own) for device, own in phones.items()):
        device = dice.choice(list(phones))
        start = max(0, at[device] - dice.randint(0, 6))
        batch = phones[device][start : at[device] + dice.randint(1, 8)]
        answer = push(committed.ines, committed_visit, device, *batch)
        assert set(statuses(answer)) <= {"ok", "dup", "quarantined"}, f"seed {seed}"
        at[device] = max(at[device], start + len(batch))

    entries = feed(committed, committed_visit)

    assert sorted(e["id"] for e in entries) == sorted(
        m["id"] for own in phones.values() for m in own
    )
    assert_heads_are_those_of_the_log(committed, committed_visit)
    with bound(committed.northside.pk):
        assert LogRow.objects.filter(status="quarantined").exists()
        for row in LogRow.objects.filter(status="quarantined", raw__isnull=True):
            if row.field != "kind":
                log.release_quarantined(
                    actor=committed.owner.actor,
                    visit=committed_visit,
                    mutation_id=row.mutation,
                )
    assert_heads_are_those_of_the_log(committed, committed_visit)


def test_what_is_on_the_screen_are_the_heads(
    committed: Cast, committed_visit: Visit
) -> None:
    with bound(committed.northside.pk):
        other = make_visit(
            committed.ines, "R-2", committed_visit.starts_at.replace(hour=22)
        )
    kind = mutation(1, "kind", "stop")
    push(committed.ines, committed_visit, uuid4(), kind)
    push(committed.ines, other, uuid4(), mutation(1, "kind", "note"))

    with bound(committed.northside.pk):
        shown = standing(committed.ines.actor, committed_visit)

    assert shown.on_screen == {(kind["rec"], "kind"): (UUID(kind["id"]),)}
    assert shown.seen(kind["rec"], "name") == ()
