"""The rules book from the outside: read, tick, switch, level, a rule of one's own."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from findings.models import DutyCheck, Finding, RuleRuling
from findings.rules import loader, own, written
from findings.selectors.rulings import kinds
from findings.services import words
from findings.wording.words import Words
from firm.models import AuditEntry, Licence
from tests.findings.rulings import OWN_TEXT, ruling
from tests.support.cast import Cast, Person
from tests.support.walked import FULL, Walk, walk

pytestmark = pytest.mark.django_db

SMALL = "elec.ocpd.small_conductor"
MEMORY = "elec.water_heater.circuit"
NOW = str(loader.ruleset().rules[MEMORY].version)


@pytest.fixture
def walked(cast: Cast) -> Walk:
    return walk(cast)


def at(name: str, *args: str) -> str:
    return reverse(name, args=["northside", *args])


def read(person: Person, name: str, *args: str, **asked: str) -> str:
    response = person.client().get(at(name, *args), asked)
    assert response.status_code == 200, response.status_code
    return " ".join(response.content.decode().split())


def send(person: Person, page: str, /, *args: str, **typed: Any) -> Any:
    return person.client().post(at(page, *args), typed)


def offered(person: Person, walked: Walk) -> dict[str, Any]:
    found = person.client().get(reverse("api-visit-proposals", args=[walked.visit.pk]))
    return {one["rule"]: one for one in found.json()}


def test_the_book_lists_every_rule_by_system_and_finds_one_by_letters(
    cast: Cast,
) -> None:
    whole = read(cast.ines, "rule-list")
    few = read(cast.ines, "rule-list", find="Small WIRE")
    none = read(cast.ines, "rule-list", find="xyzzy")

    assert '<h2 id="electrical">Electrical</h2>' in whole
    assert '<h2 id="roof">Roof</h2>' in whole
    assert "Breaker or fuse on a small wire" in few
    assert "1 rule holds “Small WIRE”" in few
    assert "Chimney" not in few
    assert "No rule holds “xyzzy”" in none


def test_a_rules_page_says_its_rows_sources_editions_and_runs_examples(
    cast: Cast,
) -> None:
    page = read(cast.omar, "rule-read", SMALL)

    assert "If breaker or fuse is at most limit: nothing to say." in page
    assert "Could hurt someone. Have an electrician put it right" in page
    assert "Examples, run just now" in page
    assert "wrong, whatever the date" in page
    assert "240.4(D)" in page
    assert "Through the years" in page
    assert "It has proposed nothing that was answered yet." in page
    assert "Does not agree" not in page
    assert "Switch it off" not in page


def test_a_rule_switched_off_leaves_the_visits_proposals(
    cast: Cast, walked: Walk
) -> None:
    assert SMALL in offered(cast.ines, walked)
    sent = send(
        cast.owner, "rule-switch", SMALL, to="off", reason="ours is another", shown="0"
    )

    assert sent.status_code == 302
    assert SMALL not in offered(cast.ines, walked)
    page = read(cast.owner, "rule-read", SMALL)
    assert "<strong>switched off</strong>" in page
    assert "ours is another" in page
    assert "1. Olive Owner, " in page
    assert "switched off" in read(cast.ines, "rule-list", find="small wire")

    send(cast.owner, "rule-switch", SMALL, to="on", reason="again", shown="1")
    assert SMALL in offered(cast.ines, walked)
    events = AuditEntry.objects.filter(subject=f"rule:{SMALL}").order_by("seq")
    assert [(e.event, e.who, e.detail["reason"]) for e in events] == [
        ("rule.switched_off", "Olive Owner", "ours is another"),
        ("rule.switched_on", "Olive Owner", "again"),
    ]


def test_a_changed_level_shows_in_the_proposal_with_its_reason(
    cast: Cast, walked: Walk
) -> None:
    sent = send(
        cast.owner, "rule-level", SMALL, consequence="upkeep", timing="watch",
        trade="", reason="we saw ten of these", shown="0",
    )  # fmt: skip
    one = offered(cast.ines, walked)[SMALL]

    assert sent.status_code == 302
    assert (one["consequence"], one["timing"]) == ("upkeep", "watch")
    assert one["hazard"]
    assert one["rule_version"] == "1+firm1"
    assert one["ruling"] == "The firm set this level: we saw ten of these"
    page = read(cast.owner, "rule-read", SMALL)
    assert "The firm: Upkeep. Keep an eye on it" in page
    walked_to = walked.cast.ines.client().get(
        reverse("stop-read", args=["northside", walked.visit.pk, walked.id("s-svc")])
    )
    assert "The firm set this level: we saw ten of these" in walked_to.content.decode()


def test_the_device_runs_the_firms_rules(cast: Cast) -> None:
    before = cast.ines.client().get(reverse("api-rules"))
    with cast.inside():
        ruling(cast.owner, SMALL, "OFF")
        ruling(cast.owner, "stairs.geometry", "LEVEL", consequence="upkeep")
        ruling(cast.owner, "own.large_breaker", "OWN", definition=OWN_TEXT)
    after = cast.ines.client().get(
        reverse("api-rules"), headers={"if-none-match": before.headers["ETag"]}
    )
    rules = after.json()["rules"]

    assert after.status_code == 200
    assert SMALL in before.json()["rules"]
    assert SMALL not in rules
    assert rules["own.large_breaker"]["binds"]["record"] == "space"
    levels = {row["consequence"] for row in rules["stairs.geometry"]["rows"]}
    assert levels == {"", "upkeep"}
    again = cast.ines.client().get(
        reverse("api-rules"), headers={"if-none-match": after.headers["ETag"]}
    )
    assert again.status_code == 304
    other = cast.stranger.client().get(reverse("api-rules"))
    assert SMALL in other.json()["rules"]


@pytest.mark.parametrize(
    ("name", "typed", "error"),
    [
        ("rule-switch", {"to": "off", "reason": " ", "shown": "0"}, "Say why"),
        (
            "rule-level",
            {"consequence": "upkeep", "reason": "", "shown": "0"},
            "Say why",
        ),
        ("rule-level", {"reason": "why not", "shown": "0"}, "what is to differ"),
        (
            "rule-level",
            {"consequence": "dire", "reason": "why not", "shown": "0"},
            "one of those listed",
        ),
    ],
)
def test_a_reason_is_needed_and_what_was_typed_stays(
    cast: Cast, name: str, typed: dict[str, str], error: str
) -> None:
    response = send(cast.owner, name, SMALL, **typed)
    page = response.content.decode()

    assert response.status_code == 400
    assert error in page
    for value in filter(str.strip, (typed["reason"],)):
        assert f'value="{value}"' in page
    if typed.get("consequence") == "upkeep":
        assert '<option value="upkeep" selected>' in page
    assert not RuleRuling.objects.exists()


def test_two_owners_at_once_the_second_is_told_and_keeps_what_was_typed(
    cast: Cast,
) -> None:
    send(cast.owner, "rule-switch", SMALL, to="off", reason="first", shown="0")
    second = send(
        cast.owner, "rule-level", SMALL,
        consequence="upkeep", reason="second thought", shown="0",
    )  # fmt: skip

    assert second.status_code == 409
    assert "Somebody else decided about this rule meanwhile" in second.content.decode()
    assert "second thought" in second.content.decode()
    assert RuleRuling.objects.count() == 1
    assert '<input type="hidden" name="shown" value="1"' in second.content.decode()


def test_an_own_rule_proposes_from_the_next_look_on(cast: Cast, walked: Walk) -> None:
    sent = send(
        cast.owner, "rule-own",
        name="large_breaker", definition=OWN_TEXT, reason="we always ask", shown="0",
    )  # fmt: skip

    assert sent.status_code == 302, sent.content.decode()
    assert "own.large_breaker" in offered(cast.ines, walked)
    page = read(cast.ines, "rule-read", "own.large_breaker")
    assert "written by the firm" in page
    assert "If breaker is at least 20: wrong, whatever the date." in page
    assert "we always ask" in page

    anew = send(
        cast.owner, "rule-write", "own.large_breaker",
        definition=OWN_TEXT.replace("amps >= 20", "amps >= 99"),
        reason="too many", shown="1",
    )  # fmt: skip
    assert anew.status_code == 302
    assert "own.large_breaker" not in offered(cast.ines, walked)
    events = AuditEntry.objects.filter(event="rule.written")
    assert [e.detail["number"] for e in events.order_by("seq")] == [1, 2]


def test_a_mistake_in_an_own_rule_names_line_and_key_and_nothing_typed_is_lost(
    cast: Cast,
) -> None:
    wrong = OWN_TEXT.replace("timing: first_year", "timing: one_day")
    response = send(
        cast.owner, "rule-own",
        name="large_breaker", definition=wrong, reason="we always ask", shown="0",
    )  # fmt: skip
    page = response.content.decode()

    assert response.status_code == 400
    assert "Line 14, timing: &#x27;one_day&#x27; cannot stand here" in page
    assert "timing: one_day" in page
    assert 'value="large_breaker"' in page
    assert 'value="we always ask"' in page
    assert not RuleRuling.objects.exists()


@pytest.mark.parametrize("name", ["Large", "9lives", "a", "x" * 41, "a.b", "own/x"])
def test_an_own_rules_name_is_plain(cast: Cast, name: str) -> None:
    response = send(
        cast.owner, "rule-own", name=name, definition=OWN_TEXT, reason="r", shown="0"
    )

    assert response.status_code == 400
    assert not RuleRuling.objects.exists()


def test_a_name_is_given_once(cast: Cast) -> None:
    typed = {"name": "twice", "definition": OWN_TEXT, "reason": "r", "shown": "0"}
    assert send(cast.owner, "rule-own", **typed).status_code == 302
    again = send(cast.owner, "rule-own", **typed)

    assert again.status_code == 400
    assert "There is a rule of this name already." in again.content.decode()


def test_a_broken_own_rule_is_listed_with_where_and_can_be_written_anew(
    cast: Cast, walked: Walk
) -> None:
    ruling(cast.owner, "own.old", "OWN", definition=OWN_TEXT.replace("amps >", "a >"))
    listed = read(cast.ines, "rule-list")
    page = read(cast.owner, "rule-read", "own.old")

    assert "Cannot be read any more" in listed
    assert "line 10, rows: own.old reads" in listed.replace("&#x27;", "'")
    assert "It does not count until it is written anew." in page
    assert SMALL in offered(cast.ines, walked)
    sent = send(
        cast.owner, "rule-write", "own.old",
        definition=OWN_TEXT, reason="mended", shown="1",
    )  # fmt: skip
    assert sent.status_code == 302
    assert "own.old" in offered(cast.ines, walked)


@pytest.mark.parametrize("who", ["reviewer", "ines", "trainee", "scheduler"])
def test_only_the_owner_decides(cast: Cast, who: str) -> None:
    person: Person = getattr(cast, who)
    sent = [
        send(person, "rule-switch", SMALL, to="off", reason="r", shown="0"),
        send(person, "rule-level", SMALL, timing="today", reason="r", shown="0"),
        send(person, "rule-own", name="x1", definition=OWN_TEXT, reason="r", shown="0"),
    ]

    assert [one.status_code for one in sent] == [403, 403, 403]
    assert not RuleRuling.objects.exists()


def test_another_firm_finds_nothing(cast: Cast) -> None:
    sent = send(cast.owner, "rule-own", name="ours", definition=OWN_TEXT,
                reason="r", shown="0")  # fmt: skip
    assert sent.status_code == 302
    elsewhere = cast.stranger.client()
    answers = [
        elsewhere.get(at("rule-list")),
        elsewhere.get(at("rule-read", SMALL)),
        elsewhere.post(at("rule-switch", SMALL), {"to": "off", "reason": "r"}),
        elsewhere.get(reverse("rule-read", args=["elsewhere", "own.ours"])),
        elsewhere.get(reverse("rule-read", args=["elsewhere", "no.such.rule"])),
    ]

    assert [one.status_code for one in answers] == [404] * 5


def test_the_licensed_reader_ticks_a_rule_once_it_is_read(cast: Cast) -> None:
    page = read(cast.reviewer, "rule-read", MEMORY)
    assert "From memory: what rests on it stays in the firm until it is ticked." in page

    unread = send(cast.reviewer, "rule-tick", MEMORY, version=NOW)
    ticked = send(cast.reviewer, "rule-tick", MEMORY, version=NOW, was_read="on")

    assert unread.status_code == 400
    assert "Tick this once you have read it." in unread.content.decode()
    assert ticked.status_code == 302
    row = DutyCheck.objects.get(what=MEMORY)
    assert row.checked_by == cast.reviewer.member
    assert "Ticked by Rae Reviewer, " in read(cast.ines, "rule-read", MEMORY)
    assert AuditEntry.objects.filter(event="rule.ticked").count() == 1


def test_nobody_ticks_without_a_role_a_license_of_today_or_the_version_shown(
    cast: Cast,
) -> None:
    typed = {"version": NOW, "was_read": "on"}
    assert send(cast.owner, "rule-tick", MEMORY, **typed).status_code == 403
    assert send(cast.ines, "rule-tick", MEMORY, **typed).status_code == 403
    old = send(cast.reviewer, "rule-tick", MEMORY, version="0", was_read="on")
    assert old.status_code == 409
    Licence.objects.filter(membership=cast.reviewer.member).update(
        expires_on="2020-06-01"
    )
    assert send(cast.reviewer, "rule-tick", MEMORY, **typed).status_code == 403
    assert not DutyCheck.objects.exists()


def test_a_rule_written_anew_waits_for_its_tick_again(cast: Cast) -> None:
    send(cast.owner, "rule-own", name="ours", definition=OWN_TEXT, reason="r",
         shown="0")  # fmt: skip
    send(cast.reviewer, "rule-tick", "own.ours", version="1", was_read="on")
    assert DutyCheck.objects.filter(what="own.ours").exists()

    send(cast.owner, "rule-write", "own.ours", definition=OWN_TEXT + "\n",
         reason="r", shown="1")  # fmt: skip

    assert not DutyCheck.objects.filter(what="own.ours").exists()
    assert AuditEntry.objects.filter(event="rule.unticked").count() == 1


def test_a_tick_of_an_earlier_version_says_so(cast: Cast) -> None:
    DutyCheck.objects.create(
        firm=cast.northside,
        what=SMALL,
        checked_by=cast.reviewer.member,
        checked_on="2026-03-04",
        note="read as version 0",
    )

    page = read(cast.reviewer, "rule-read", SMALL)
    assert "Ticked by Rae Reviewer, 4 March 2026. Its words have changed since" in page


def test_the_book_counts_what_became_of_proposals_and_names_nobody(
    cast: Cast, walked: Walk
) -> None:
    walked.record(**{"d-aside": {
        "kind": "decision", "rule": "stairs.geometry", "subject": "x",
        "choice": "not_here", "reason": "exception_applies",
    }})  # fmt: skip
    walked.decide("change", consequence="upkeep", timing="watch", reason_text="small")
    walked.hand_in()
    row = Finding.objects.get(rule=SMALL)
    new = words.Rewording(Words(*[f"{t} So." for _, t in FULL.parts()]), row.version)
    words.rewrite(actor=cast.reviewer.actor, finding=row, new=new)

    page = read(cast.reviewer, "rule-read", SMALL)
    listed = read(cast.reviewer, "rule-list", find="small wire")
    aside = read(cast.reviewer, "rule-read", "stairs.geometry")

    assert "In visits: used 1, level changed 1, words changed 1." in listed
    for label in ("Used", "Level changed", "Words changed"):
        assert f"<dt>{label}</dt> <dd> 1 </dd>" in page.replace("  ", " ")
    assert "An exception applies" in aside
    assert "<dt>Set aside</dt> <dd> 1 </dd>" in aside
    assert "Ines" not in page
    assert "Ines" not in listed


def test_the_pages_ask_as_often_whatever_the_firm_decided(
    cast: Cast, walked: Walk
) -> None:
    client = cast.owner.client()

    def queries() -> list[int]:
        found = []
        for address in (at("rule-list"), at("rule-read", SMALL)):
            with CaptureQueriesContext(connection) as asked:
                assert client.get(address).status_code == 200
            found.append(len(asked))
        return found

    before = queries()
    for number in range(5):
        ruling(cast.owner, SMALL, "LEVEL", timing="today")
        ruling(cast.owner, f"own.n{number}", "OWN", definition=OWN_TEXT)
    walked.decide("use")
    walked.hand_in()

    assert queries() == before


def test_every_rule_that_says_what_it_reads_can_begin_one_of_the_firms_own() -> None:
    rules = loader.ruleset()
    begun = {name: written.like(name) for name, one in rules.rules.items() if one.binds}

    assert begun
    for name, text in begun.items():
        one = own.read(text, "own.like", 1, rules.tables, kinds())
        theirs = rules.rules[name]
        assert (one.rows, one.inputs, one.binds) != ((), {}, None)
        assert [row.reason for row in one.rows] == [row.reason for row in theirs.rows]
        assert [row.outcome for row in one.rows] == [r.outcome for r in theirs.rows]
        hidden = r"outcome: (maintenance|monitor|informational|needs_spec)"
        assert not re.search(hidden, text)
        assert one.source == theirs.source


def test_a_new_rule_begins_with_the_text_of_another(cast: Cast) -> None:
    page = read(cast.owner, "rule-read", "stairs.geometry")
    assert f'href="{at("rule-own")}?like=stairs.geometry"' in page

    form = read(cast.owner, "rule-own", like="stairs.geometry")
    assert "Begun with the text of “Steps of a stair: height, depth, headroom”" in form
    assert "riser_max: max(risers)" in form
    assert "version:" not in form
    assert "amps: {kind: number" in read(cast.owner, "rule-own", like="no.such")


def test_a_finding_and_a_held_back_release_lead_to_the_rules_page(
    cast: Cast, walked: Walk
) -> None:
    walked.decide("use")
    walked.hand_in()
    row = Finding.objects.get(rule=SMALL)
    told = {"title": "A water heater's circuit", "firm_only": True}
    walked.finding("by-memory", rule=MEMORY, proposal=told)
    finding = cast.reviewer.client().get(at("finding-read", str(row.pk)))
    release = cast.reviewer.client().get(at("release-read", str(walked.visit.pk)))
    office = cast.scheduler.client().get(at("release-read", str(walked.visit.pk)))

    assert f'href="{at("rule-read", SMALL)}"' in finding.content.decode()
    assert f'href="{at("rule-read", MEMORY)}"' in release.content.decode()
    assert f'href="{at("rule-read", MEMORY)}"' not in office.content.decode()
    send(cast.reviewer, "rule-tick", MEMORY, version=NOW, was_read="on")
    after = cast.reviewer.client().get(at("release-read", str(walked.visit.pk)))
    assert "rests on a rule from memory" in release.content.decode()
    assert "rests on a rule from memory" not in after.content.decode()


def test_the_book_is_searched_by_what_the_firm_did_with_a_rule(cast: Cast) -> None:
    send(cast.reviewer, "rule-tick", MEMORY, version=NOW, was_read="on")
    send(cast.owner, "rule-switch", SMALL, to="off", reason="r", shown="0")
    off = read(cast.ines, "rule-list", find="switched off")
    waits = read(cast.ines, "rule-list", find="memory unticked")

    assert "1 rule holds “switched off”" in off
    assert at("rule-read", SMALL) in off
    assert at("rule-read", "exhaust.bath") in waits
    assert at("rule-read", MEMORY) not in waits
