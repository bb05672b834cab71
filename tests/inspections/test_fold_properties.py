"""What holds of every log: no order, no clock, nothing vanishes, no edit is hidden."""

import json
from typing import Any
from uuid import UUID

from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.log.fold import applied, fold, heads, value_key

Entries = list[dict[str, Any]]

values = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 3),
    st.sampled_from(["", "a", "b", "é"]),
    st.lists(st.sampled_from(["a", "b"]), max_size=2),
)


@st.composite
def logs(draw: st.DrawFn) -> Entries:
    """A log as several authors make it; each entry saw some of what came before."""
    entries: Entries = []
    for version in range(1, draw(st.integers(0, 14)) + 1):
        rec = draw(st.sampled_from(["r1", "r2"]))
        field = draw(st.sampled_from(["kind", "name", "opt.rust", "_gone"]))
        before = [
            e["id"]
            for e in entries
            if e["rec"] == rec and field in (e["field"], "_gone")
        ]
        made = {
            "v": version,
            "id": str(UUID(int=version)),
            "rec": rec,
            "field": field,
            "value": draw(st.booleans() if field == "_gone" else values),
            "seen": draw(st.lists(st.sampled_from(before), unique=True))
            if before
            else [],
            "status": draw(st.sampled_from(["ok", "ok", "ok", "quarantined"])),
            "at": draw(st.sampled_from(["1970-01-01", "2026-11-24", "2099-12-31"])),
        }
        entries.append(made)
    apart = [e["id"] for e in entries if e["status"] == "quarantined"]
    for id_ in draw(st.lists(st.sampled_from(apart), unique=True)) if apart else []:
        entries.append({"v": len(entries) + 1, "id": f"x{id_}", "release": id_})
    return entries


def as_bytes(entries: Entries) -> str:
    result = fold(entries)
    conflicts = [[*place, value] for place, value in result.conflicts.items()]
    return json.dumps([result.records, conflicts, result.kindless])


@given(logs(), st.randoms(use_true_random=False))
def test_the_order_and_repeats_of_entries_make_no_difference(
    entries: Entries, dice: Any
) -> None:
    mixed = entries + (dice.choices(entries, k=5) if entries else [])
    dice.shuffle(mixed)

    assert as_bytes(mixed) == as_bytes(entries)


@given(logs(), st.randoms(use_true_random=False))
def test_a_part_delivered_twice_over_two_ways_meets_in_the_same_place(
    entries: Entries, dice: Any
) -> None:
    one = [e for e in entries if dice.random() < 0.5]
    other = [e for e in entries if e not in one or dice.random() < 0.3]

    assert as_bytes(one + other) == as_bytes(other + one) == as_bytes(entries)


@given(logs())
def test_every_entry_is_a_head_or_was_covered_by_one_that_saw_it(
    entries: Entries,
) -> None:
    live = applied(entries)
    standing = {head["id"] for head in heads(entries)}

    for entry in live:
        seen_by = [
            other
            for other in live
            if entry["id"] in other["seen"]
            and (other["rec"], other["field"]) == (entry["rec"], entry["field"])
        ]
        assert (entry["id"] in standing) == (not seen_by)


@given(logs())
def test_every_value_that_stands_is_shown_or_listed(entries: Entries) -> None:
    result = fold(entries)
    for head in heads(entries):
        rec, field = head["rec"], head["field"]
        if rec not in result.records or field == "_gone" or head["value"] is None:
            continue
        shown = [result.records[rec].get(field)]
        listed = result.conflicts.get((rec, field), [])
        assert value_key(head["value"]) in {value_key(v) for v in shown + listed}


@given(logs())
def test_a_delete_never_hides_an_edit_it_did_not_see(entries: Entries) -> None:
    result = fold(entries)
    standing = heads(entries)
    for rec in {head["rec"] for head in standing}:
        mine = [head for head in standing if head["rec"] == rec]
        seen = {
            id_
            for head in mine
            if head["field"] == "_gone" and head["value"] is True
            for id_ in head["seen"]
        }
        unseen = [h for h in mine if h["field"] != "_gone" and h["id"] not in seen]
        if unseen:
            assert rec in result.records or rec in result.kindless


@given(logs(), st.integers(1, 2**60), st.sampled_from(["", "0001-01-01", "9999"]))
@settings(max_examples=60)
def test_no_clock_decides_anything(entries: Entries, salt: int, at: str) -> None:
    """Ids drawn anew, as devices with other clocks would make them."""
    names = {
        e["id"]: str(UUID(int=(n * salt) % 2**127)) for n, e in enumerate(entries, 1)
    }
    if len(set(names.values())) < len(names):
        return
    moved = [
        e
        | {"id": names[e["id"]], "at": at}
        | {"seen": [names[s] for s in e.get("seen", [])]}
        | ({"release": names[e["release"]]} if "release" in e else {})
        for e in entries
    ]

    assert as_bytes(moved) == as_bytes(entries)
