"""The library as a firm holds it: what is in use, what waits, how often it was used."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import Count, Exists, OuterRef, Q

from findings.models import Finding, PassageApproval, PassageVersion, Revision
from findings.selectors.shelf import in_force, read_passage
from findings.wording.passages import Passage, library
from firm.actor import Actor

IN_USE, WAITS, STARTER, READ, RETIRED = (
    "in_use",
    "waits",
    "starter",
    "read",
    "retired",
)
STANDINGS = {
    IN_USE: "the firm's own, in use",
    WAITS: "waits for approval",
    STARTER: "starter, not read by the firm yet",
    READ: "starter, approved by the firm",
    RETIRED: "out of use",
}


@dataclass(frozen=True, slots=True)
class Used:
    """What became of a passage's words in all visits of the firm."""

    used: int = 0
    reworded: int = 0
    visits: int = 0

    @property
    def said(self) -> str:
        if not self.used:
            return ""
        changed = f", words changed {self.reworded}" if self.reworded else ""
        return f"used {self.used}{changed}"


NEVER = Used()


@dataclass(frozen=True, slots=True)
class Held:
    """Everything the library's pages are made of: three queries, however large."""

    versions: Mapping[str, Sequence[PassageVersion]]
    approvals: Mapping[tuple[str, int, int], PassageApproval]
    current: Mapping[str, PassageVersion]
    usage: Mapping[str, Used]

    def every(self) -> set[str]:
        """Return every key that the starter or the firm has."""
        return {*library(), *self.versions}

    def newest(self, key: str) -> PassageVersion | None:
        """Return the last version of a key, approved or not."""
        rows = self.versions.get(key)
        return rows[-1] if rows else None

    def passage(self, key: str) -> Passage:
        """Return what is in use; what waits or was taken out where nothing is."""
        now = self.current.get(key)
        if now is None and key in library():
            return library()[key]
        return read_passage((now or self.versions[key][-1]).content)

    def standings(self, key: str) -> tuple[str, ...]:
        """Say how a passage stands; one that is in use may also wait anew."""
        found = [self._now(key)]
        newest = self.versions.get(key, ())
        if newest and (key, newest[-1].number, 0) not in self.approvals:
            found.append(WAITS)
        return tuple(one for one in found if one)

    def _now(self, key: str) -> str:
        now = self.current.get(key)
        if now is not None:
            retired = now.kind == PassageVersion.Kind.RETIRED
            return RETIRED if retired else IN_USE
        if key not in library():
            return ""
        read = (key, 0, library()[key].version) in self.approvals
        return READ if read else STARTER


def held(actor: Actor, key: str = "") -> Held:
    """Return the firm's library, or what concerns one key of it."""
    only = {"key": key} if key else {}
    rows = PassageVersion.objects.filter(firm=actor.firm, **only)
    versions: dict[str, list[PassageVersion]] = defaultdict(list)
    for row in rows.select_related("author").order_by("key", "number"):
        versions[row.key].append(row)
    marks = PassageApproval.objects.filter(firm=actor.firm, **only)
    approvals = {
        (one.key, one.number, one.starter): one
        for one in marks.select_related("approved_by")
    }
    approved = {(name, number) for name, number, _ in approvals if number}
    every = (row for found in versions.values() for row in found)
    return Held(versions, approvals, in_force(every, approved), usage(actor, key))


def usage(actor: Actor, key: str = "") -> Mapping[str, Used]:
    """Count by passage: findings drafted from it, and those whose words changed."""
    rows = Finding.objects.filter(firm=actor.firm).exclude(passage="")
    if key:
        rows = rows.filter(passage=key)
    reworded = Revision.objects.filter(finding=OuterRef("pk"), number__gt=1)
    counted = (
        rows.exclude(state=Finding.State.WITHDRAWN)
        .annotate(reworded=Exists(reworded))
        .values("passage")
        .annotate(
            used=Count("pk"),
            changed=Count("pk", filter=Q(reworded=True)),
            visits=Count("visit", distinct=True),
        )
    )
    return {
        row["passage"]: Used(row["used"], row["changed"], row["visits"])
        for row in counted
    }


def day_said(actor: Actor, at: datetime) -> str:
    """Say a day as it was where the firm is: 4 March 2027."""
    there = at.astimezone(ZoneInfo(actor.firm.time_zone))
    return f"{there.day} {there:%B %Y}"
