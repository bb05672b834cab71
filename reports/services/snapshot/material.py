"""Everything a report is made from, fetched once in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

from findings.models import Finding, NoticeText, SignOff
from findings.selectors.evaluation import Evaluation, Records, checked_lines, evaluate
from findings.standards import matching
from findings.standards.ledger import Ledger, Row
from firm.actor import Actor
from firm.models import Instrument, Licence, Membership
from inspections.models import LogRow, Party, Visit
from reports.models import RecheckItem
from reports.selectors.notices import notices
from reports.selectors.pictures import Picture, pictures

HOUSE = "house"


@dataclass(frozen=True)
class Material:
    """Rows and what they mean; nothing here asks the database again."""

    actor: Actor
    visit: Visit
    seen: Evaluation
    findings: tuple[Finding, ...]
    pictures: tuple[Picture, ...]
    sign_offs: Mapping[str, SignOff]
    licences: tuple[Licence, ...]
    clients: tuple[str, ...]
    instruments: Mapping[str, Instrument]
    notices: Mapping[str, NoticeText]
    checked: frozenset[str]
    recorders: tuple[Membership, ...]
    rechecks: tuple[RecheckItem, ...]

    @property
    def records(self) -> Records:
        return self.seen.records

    @cached_property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.visit.property.time_zone)

    @property
    def visited_on(self) -> date:
        return self.visit.starts_at.astimezone(self.zone).date()

    @property
    def own(self) -> Mapping[str, Any]:
        """The visit's own record: arrival, weather, who attended."""
        return self.records.get(str(self.visit.pk), {})

    @cached_property
    def route(self) -> Mapping[str, Mapping[str, Any]]:
        """The stops by id, in the order they were walked."""
        return dict(matching.stops_by_route(self.records))

    @cached_property
    def place_names(self) -> Mapping[str, str]:
        return {
            **{
                key: str(r.get("name") or "Unnamed place")
                for key, r in self.route.items()
            },
            HOUSE: "The house as a whole",
        }

    @property
    def names(self) -> frozenset[str]:
        return frozenset(self.place_names.values())

    def place_of(self, record: Mapping[str, Any]) -> str:
        """Return the id of the place a record belongs to."""
        stop = str(record.get("stop") or "")
        return stop if stop in self.route else HOUSE

    def place_name(self, record: Mapping[str, Any]) -> str:
        return self.place_names[self.place_of(record)]

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """The ledger's lines that may be printed: read, or checked by the firm."""
        pack = self.seen.pack
        return tuple(
            row
            for row in self.seen.ledger.rows
            if pack.duty(row.duty).source == "found" or row.duty in self.checked
        )

    def ledger(
        self, rows: Iterable[Row], names: Mapping[str, str] | None = None
    ) -> Ledger:
        """Return a ledger of some of the lines, for its own sentences."""
        return Ledger(self.seen.pack, tuple(rows), names or self.seen.ledger.names)


def gather(actor: Actor, visit: Visit) -> Material:
    """Fetch it all."""
    visit = Visit.objects.select_related("property", "inspector").get(
        firm=actor.firm, pk=visit.pk
    )
    seen = evaluate(actor, visit)
    return Material(
        actor=actor,
        visit=visit,
        seen=seen,
        findings=_findings(actor, visit),
        pictures=pictures(actor, visit, seen.records),
        sign_offs=_sign_offs(actor, visit),
        licences=tuple(
            Licence.objects.filter(firm=actor.firm, state=visit.property.state)
        ),
        clients=_clients(actor, visit),
        instruments=_instruments(actor),
        notices=notices(actor, visit.pack),
        checked=checked_lines(actor),
        recorders=_recorders(actor, visit),
        rechecks=_rechecks(actor, visit),
    )


def _rechecks(actor: Actor, visit: Visit) -> tuple[RecheckItem, ...]:
    """Return what a re-check looks at again, as the earlier report numbers it."""
    rows = RecheckItem.objects.filter(firm=actor.firm, visit=visit)
    return tuple(rows.select_related("earlier__visit__property").order_by("number"))


def _findings(actor: Actor, visit: Visit) -> tuple[Finding, ...]:
    rows = (
        Finding.objects.filter(firm=actor.firm, visit=visit)
        .exclude(state=Finding.State.WITHDRAWN)
        .select_related("words", "author")
        .order_by("source_key")
    )
    return tuple(rows)


def _sign_offs(actor: Actor, visit: Visit) -> dict[str, SignOff]:
    rows = SignOff.objects.filter(
        firm=actor.firm, visit=visit, undone_at__isnull=True
    ).select_related("membership")
    return {row.kind: row for row in rows}


def _clients(actor: Actor, visit: Visit) -> tuple[str, ...]:
    rows = (
        Party.objects.filter(firm=actor.firm, visit=visit, part=Party.As.CLIENT)
        .select_related("contact")
        .order_by("contact__name", "pk")
    )
    return tuple(dict.fromkeys(row.contact.name for row in rows))


def _instruments(actor: Actor) -> dict[str, Instrument]:
    """Return the register by key and by id: the log may name either."""
    rows = list(Instrument.objects.filter(firm=actor.firm))
    return {row.key: row for row in rows} | {str(row.pk): row for row in rows}


def _recorders(actor: Actor, visit: Visit) -> tuple[Membership, ...]:
    who = LogRow.objects.filter(firm=actor.firm, visit=visit).values("by_id")
    rows = Membership.objects.filter(firm=actor.firm, pk__in=who).order_by("name", "pk")
    return tuple(rows)
