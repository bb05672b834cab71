"""RE-06: whatever three people do, in whatever order: no bad state, bytes stay."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from findings.models import Finding, SignOff
from findings.selectors.contents import content_digest
from findings.services import review, words
from findings.wording.words import Words
from firm import jobs, storage
from firm.errors import Refusal
from inspections.models import Visit
from reports.models import Release, ReleaseEntry
from reports.services import releases
from reports.services.evidence import walk as evidence
from tests.support.cast import Cast
from tests.support.reviewed import by_hand
from tests.support.walked import FULL, NOW, Walk, walk

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
EXAMPLES, STEPS = 12, 30


class Life(RuleBasedStateMachine):
    """A visit that is walked; inspector, reviewer and owner act on it as they like."""

    walked: Walk

    def __init__(self) -> None:
        super().__init__()
        self.cast = self.walked.cast
        self.bytes: dict[str, str] = {}
        self.moment = transaction.atomic()
        self.moment.__enter__()

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.moment.__exit__(None, None, None)

    def act(self, do: Any, *args: Any, **kwargs: Any) -> None:
        """Do it, or be refused; a refusal leaves everything as it was."""
        try:
            with transaction.atomic():
                do(*args, **kwargs)
        except Refusal:
            pass
        self.walked.visit = Visit.objects.select_related(
            "property", "inspector", "firm"
        ).get(pk=self.walked.visit.pk)

    def people(self) -> dict[str, Any]:
        return {
            "inspector": self.cast.ines.actor,
            "reviewer": self.cast.reviewer.actor,
            "owner": self.cast.owner.actor,
        }

    who = st.sampled_from(["inspector", "reviewer", "owner"])

    def one(self) -> Finding | None:
        if not self.walked.findings():
            return None
        return Finding.objects.select_related("visit", "words").get(
            pk=by_hand(self.walked).pk
        )

    @rule(who=who)
    def hand_in(self, who: str) -> None:
        actor = self.people()[who]
        self.act(review.hand_in, actor=actor, visit=self.walked.visit, now=NOW)

    @rule(who=who, said=st.sampled_from(["It rubs on top.", "It rubs aside."]))
    def reword(self, who: str, said: str) -> None:
        if one := self.one():
            told = Words(said, FULL.matters, FULL.action, FULL.when)
            new = words.Rewording(told, one.version)
            self.act(words.rewrite, actor=self.people()[who], finding=one, new=new)

    @rule(who=who)
    def check_all(self, who: str) -> None:
        actor = self.people()[who]
        for row in self.walked.findings():
            if review.objections_to_words(row):
                new = words.Rewording(FULL, row.version)
                self.act(words.rewrite, actor=actor, finding=row, new=new)
                row.refresh_from_db()
            version = row.version
            self.act(review.check_words, actor=actor, finding=row, version=version)
        self.act(review.finish_review, actor=actor, visit=self.walked.visit, now=NOW)

    @rule(who=who)
    def send_back(self, who: str) -> None:
        if one := self.one():
            actor = self.people()[who]
            self.act(review.send_back, actor=actor, finding=one, note="Look again.")

    @rule(who=who)
    def hand_back(self, who: str) -> None:
        if one := self.one():
            self.act(review.hand_back, actor=self.people()[who], finding=one)

    @rule(who=who, moved=st.booleans())
    def sign(self, who: str, moved: bool) -> None:
        actor, visit = self.people()[who], self.walked.visit
        digest = "0" * 64 if moved else content_digest(actor, visit)
        self.act(review.sign, actor=actor, visit=visit, shown_digest=digest, now=NOW)

    @rule(who=who, why=st.sampled_from(["", "A word was wrong."]))
    def release(self, who: str, why: str) -> None:
        correction = releases.Correction(why, "FIRM") if why else None
        self.act(
            releases.release,
            actor=self.people()[who],
            visit=self.walked.visit,
            now=NOW,
            correction=correction,
        )

    @precondition(lambda _self: Release.objects.filter(state="RELEASING").exists())
    @rule(times=st.integers(1, 3))
    def work(self, times: int) -> None:
        """The work is delivered, perhaps more than once."""
        row = Release.objects.get(state="RELEASING")
        for _ in range(times):
            jobs.run_next(firm_id=str(row.firm_id), queue="reports")
            releases.make_artefacts(
                actor=self.cast.reviewer.actor, job_id=row.pk, release_id=str(row.pk)
            )

    @rule(who=who)
    def try_again(self, who: str) -> None:
        if row := Release.objects.order_by("-issue").first():
            self.act(releases.try_again, actor=self.people()[who], row=row)

    @invariant()
    def what_was_released_stays(self) -> None:
        for row in Release.objects.all():
            told = {f"{row.pk}": hashlib.sha256(bytes(row.snapshot)).hexdigest()}
            if row.state == Release.State.RELEASED:
                for file in row.artefacts.all():
                    content = storage.get(file.storage_key)
                    key = f"{row.pk} {file.kind}"
                    told[key] = hashlib.sha256(content).hexdigest()
            for key, digest in told.items():
                assert self.bytes.setdefault(key, digest) == digest

    @invariant()
    def no_state_is_forbidden(self) -> None:
        visit = Visit.objects.get(pk=self.walked.visit.pk)
        rows = list(Release.objects.order_by("issue"))
        assert [row.issue for row in rows] == list(range(1, len(rows) + 1))
        assert sum(row.state == Release.State.RELEASING for row in rows) <= 1
        assert ReleaseEntry.objects.count() == len(rows)
        standing = SignOff.objects.filter(kind="SIGNED", undone_at__isnull=True)
        assert standing.count() <= 1
        if visit.status == Visit.Status.SIGNED:
            assert standing.exists()
        for row in rows:
            # Nobody's words went out without the inspector's signature, nor a second
            # issue without its reason.
            assert row.signature.kind == "SIGNED"
            assert row.signature.membership_id == visit.inspector_id
            assert (row.issue == 1) == (not row.reason)
            assert (row.state == "RELEASED") == (row.artefacts.count() == 3)

    @invariant()
    def the_evidence_holds(self) -> None:
        assert list(evidence.faults(self.cast.owner.actor)) == []


@pytest.mark.timeout(600)
def test_re_06_no_order_of_acts_leads_to_a_forbidden_state(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    """RE-06: hand-in to correction, three actors, repeats and refusals."""
    monkeypatch.setattr(jobs, "ring", lambda _firm, _queue: None)
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    walked.record(
        hand={
            "kind": "hand_finding",
            "stop": "s-bed",
            "line": "The door of the closet rubs on its frame.",
            "system": "interiors",
            "consequence": "upkeep",
            "timing": "first_year",
            "trade": "carpenter",
        }
    )
    walked.decide("not_here", reason="already_covered")
    Life.walked = walked
    run_state_machine_as_test(
        Life,
        settings=settings(
            max_examples=EXAMPLES,
            stateful_step_count=STEPS,
            deadline=None,
            database=None,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )
