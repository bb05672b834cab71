"""A small visit walked for real: records through the log, words and signature after."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from findings.models import Finding, Revision
from findings.selectors.contents import content_digest
from findings.selectors.evaluation import evaluate
from findings.services import renditions, review, words
from findings.wording.words import Words
from firm import storage
from inspections.models import AgreementSignature, Contact, Party, PhotoFile, Visit
from inspections.services import agreements, log
from reports.services.snapshot.build import IssueIn, build
from tests.support import nc_visit
from tests.support.cast import Cast, Person
from tests.support.pictures import photo, quarters
from tests.support.visits import make_visit

NOW = datetime(2026, 11, 24, 20, 0, tzinfo=UTC)
TAKEN = datetime(2026, 11, 24, 15, 5, tzinfo=UTC)
FIRST_ISSUE = IssueIn(
    issue=1, issued_at=NOW, replaces=None, chain_seq=7, chain_prev="ab" * 32
)
FULL = Words(
    seen="The breaker of this circuit is marked 20 A and its copper wire is size 14.",
    matters="The wire can get hot inside the wall before the breaker opens.",
    action="Have an electrician fit a breaker that suits the wire.",
    when="Before you move in.",
)


@dataclass
class Walk:
    """The visit, and the ids that its records' short names stand for."""

    cast: Cast
    visit: Visit
    ids: dict[str, str] = field(default_factory=dict)

    def id(self, name: str) -> str:
        return self.ids.setdefault(name, str(uuid4()))

    def record(self, by: Person | None = None, /, **records: Any) -> None:
        """Write records under short names; a value naming one becomes its id."""
        changes = [
            log.Change(
                self.id(name), key, value if key == "kind" else self._value(value)
            )
            for name, fields in records.items()
            for key, value in fields.items()
        ]
        actor = (by or self.cast.ines).actor
        log.record(actor=actor, visit=self.visit, changes=changes, now=TAKEN)

    def own(self, **fields: Any) -> None:
        """Write into the visit's own record."""
        self.ids["visit"] = str(self.visit.pk)
        self.record(visit=fields)

    def gone(self, name: str) -> None:
        self.record(**{name: {"_gone": True}})

    def picture(self, name: str, *, stored: bool = True, **fields: Any) -> PhotoFile:
        """Record a photo with real bytes and make its copies."""
        content = photo(quarters(320, 240))
        digest = storage.sha256(content)
        said = {"kind": "photo", "sha256": digest, "taken_at": TAKEN.isoformat()}
        self.record(**{name: said | fields})
        file = PhotoFile.objects.create(
            pk=UUID(self.id(name)),
            firm=self.cast.northside,
            visit=self.visit,
            by=self.cast.ines.member,
            sha256=digest,
            size=len(content),
            offset=len(content) if stored else 10,
            state=PhotoFile.State.STORED if stored else PhotoFile.State.RECEIVING,
            expires_at=NOW + timedelta(days=30),
        )
        if stored:
            storage.put(file.storage_key, content)
            renditions.make(actor=self.cast.ines.actor, photo_id=file.pk)
        return file

    def decide(self, choice: str = "use", **more: Any) -> None:
        """Answer every proposal that still waits in the same way."""
        for number, proposal in enumerate(self.seen().undecided):
            self.record(
                **{
                    f"decision-{proposal.key}-{number}": {
                        "kind": "decision",
                        "rule": proposal.rule,
                        "subject": proposal.subject,
                        "choice": choice,
                        **({"covers": proposal.covers} if choice == "not_here" else {}),
                        **more,
                    }
                }
            )

    def seen(self) -> Any:
        return evaluate(self.cast.ines.actor, self.visit)

    def clients(self, *names: str, signed: bool = True) -> None:
        """Name clients; they sign the agreement through their own links."""
        for name in names:
            person = Contact.objects.create(firm=self.cast.northside, name=name)
            Party.objects.create(
                firm=self.cast.northside,
                visit=self.visit,
                contact=person,
                part=Party.As.CLIENT,
            )
        agreements.send_out(
            actor=self.cast.scheduler.actor,
            visit=self.visit,
            text="What we agreed.",
            address="https://firm.example",
            now=NOW - timedelta(days=2),
        )
        if signed:
            for row in AgreementSignature.objects.filter(
                agreement__visit=self.visit
            ).select_related("party__contact"):
                agreements.sign(
                    actor=self.cast.scheduler.actor,
                    signature=row,
                    how="link",
                    name=row.party.contact.name,
                    now=NOW - timedelta(days=1),
                )

    def hand_in(self) -> None:
        review.hand_in(actor=self.cast.ines.actor, visit=self.visit, now=NOW)
        self.visit.refresh_from_db()

    def findings(self) -> list[Finding]:
        rows = Finding.objects.select_related("words", "visit")
        return list(rows.filter(visit=self.visit).order_by("source_key"))

    def finding(self, name: str, **fields: Any) -> Finding:
        """Make a finding as adoption leaves it, with whole words."""
        row = Finding.objects.create(
            **{
                "firm": self.cast.northside,
                "visit": self.visit,
                "source_key": name,
                "system": "electrical",
                "item": "receptacle",
                "consequence": "could_hurt",
                "timing": "before_move_in",
                "trade": "electrician",
                "state": "IN_REVIEW",
                "author": self.cast.ines.member,
            }
            | fields
        )
        row.words = Revision.objects.create(
            firm=self.cast.northside,
            finding=row,
            number=1,
            author=self.cast.ines.member,
            seen=FULL.seen,
            matters=FULL.matters,
            action=FULL.action,
            when=FULL.when,
        )
        row.save()
        return row

    def told(self, issue: IssueIn | None = None) -> dict[str, Any]:
        """Return the snapshot of the visit as it stands, as plain data."""
        raw = build(
            actor=self.cast.reviewer.actor,
            visit=self.visit,
            issue=issue or FIRST_ISSUE,
        )
        plain: dict[str, Any] = json.loads(raw)
        return plain

    def check_words(self) -> None:
        """Give each finding whole words where some are missing, and pass them."""
        reader = self.cast.reviewer.actor
        for row in self.findings():
            if row.state != Finding.State.IN_REVIEW:
                continue
            if review.objections_to_words(row):
                new = words.Rewording(FULL, row.version)
                words.rewrite(actor=reader, finding=row, new=new)
                row.refresh_from_db()
            review.check_words(actor=reader, finding=row, version=row.version)
        review.finish_review(actor=reader, visit=self.visit, now=NOW)
        self.visit.refresh_from_db()

    def sign(self) -> None:
        actor = self.cast.ines.actor
        digest = content_digest(actor, self.visit)
        review.sign(actor=actor, visit=self.visit, shown_digest=digest, now=NOW)
        self.visit.refresh_from_db()

    def finish(self) -> None:
        self.hand_in()
        self.check_words()
        self.sign()

    def finish_by_hand(self) -> None:
        """Answer what the rules offered with "not here", then hand in and sign."""
        self.decide("not_here", reason="already_covered")
        self.finish()

    def _value(self, value: Any) -> Any:
        if isinstance(value, str):
            return self.ids.get(value, value)
        if isinstance(value, list):
            return [self._value(one) for one in value]
        return value


def walk(cast: Cast, **extra: Any) -> Walk:
    """A visit of the electrical system only, with every line of its ledger closed."""
    visit = make_visit(cast.ines, **{"scope": ["electrical"], **extra})
    walked = Walk(cast, visit)
    house = nc_visit.electrical()
    for name in house:
        walked.id(name)
    walked.record(**house)
    walked.record(**{"sp-13": space(13)})
    return walked


def space(number: int, **fields: Any) -> dict[str, Any]:
    """A space of the main panel: a breaker too large for its wire, if not told."""
    return {
        "kind": "space",
        "enclosure": "e-main",
        "number": number,
        "space_kind": "breaker",
        "amps": 20,
        "poles": 1,
        "size": "14",
        "material": "copper",
        "how": "read",
        "load": "general",
        "state": "on",
        "label": "Bedrooms",
        **fields,
    }
