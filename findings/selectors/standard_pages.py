"""Rows of the pages on which a firm checks a state's standard and switches it on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, F
from django.urls import reverse

from findings import kept
from findings.models import DutyCheck, NoticeText
from findings.selectors import standards
from findings.selectors.standards import Missing
from findings.standards import loader
from findings.standards.schema import PARTS, Pack
from findings.standards.schema_asks import Asks
from findings.standards.supervision import supervised
from firm.actor import Actor
from firm.models import Membership, Role, StandardInForce
from inspections.models import LogRow

PROVENANCE = {
    "found": "text read",
    "memory": "from memory",
}


@dataclass(frozen=True, slots=True)
class StateRow:
    """One state in the list: on, being checked, or only begun."""

    name: str
    state: str
    url: str = ""
    note: str = ""
    code: str = ""


@dataclass(frozen=True, slots=True)
class StandardListPage:
    whole: tuple[StateRow, ...]
    begun: tuple[StateRow, ...]


@dataclass(frozen=True, slots=True)
class LineRow:
    """One line of a standard: what it says, where it stands, who checked it."""

    name: str
    text: str
    section: str
    provenance: str
    checked: str = ""


@dataclass(frozen=True, slots=True)
class GroupRow:
    title: str
    lines: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True)
class NoticeRow:
    slot: str
    about: str
    fill_from: str
    text: str = ""
    entered: str = ""


@dataclass(frozen=True, slots=True)
class TraineeRow:
    """How many visits a trainee has made under direct supervision."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class StandardPage:
    """One state's standard with everything that stands against switching it on."""

    name: str
    code: str
    version: int
    authority: str
    edition: str
    coverage: str
    on: str
    changed: str
    missing: tuple[Missing, ...]
    groups: tuple[GroupRow, ...]
    notices: tuple[NoticeRow, ...]
    to_check: tuple[tuple[str, str], ...]
    people: tuple[tuple[str, str], ...]
    trainees: tuple[TraineeRow, ...]
    urls: dict[str, str]


def list_page(actor: Actor, today: date) -> StandardListPage:
    """Return every state: whole standards first, then those only begun."""
    on = {
        row.pack: row
        for row in StandardInForce.objects.filter(
            firm=actor.firm, off_at__isnull=True
        ).select_related("keeper")
    }
    return StandardListPage(
        whole=tuple(
            _state(actor, code, on.get(code), today) for code in loader.codes()
        ),
        begun=tuple(
            StateRow(one.name, "only begun, cannot be switched on", note=lacks(one))
            for code, one in sorted(loader.begun().items())
            if code not in loader.codes()
        ),
    )


def _state(
    actor: Actor, code: str, row: StandardInForce | None, today: date
) -> StateRow:
    try:
        pack = loader.pack(code)
    except loader.PackError as error:
        return StateRow(code, "cannot be read", note=str(error))
    url = reverse("standard-read", args=[actor.firm.slug, pack.pack])
    older = kept.said(f"pack-{code.lower()}")
    if row:
        said = f"version {row.version}, {row.keeper.name} answers for it"
        said = "; ".join(filter(None, (said, older)))
        return StateRow(pack.name, "on", url, said, code)
    left = len(standards.missing(actor, pack, today))
    note = f"{left} to settle before it can be on"
    note = "; ".join(filter(None, (note, older)))
    return StateRow(pack.name, "off", url, note, code)


def lacks(asks: Asks) -> str:
    """Say which parts of a begun standard nobody has written yet."""
    named = [part for part in PARTS if getattr(asks, part) is None]
    missing = ", ".join(part.replace("_", " ") for part in named)
    return f"missing: the list of duties{', ' if missing else ''}{missing}"


def page(actor: Actor, pack: Pack, today: date) -> StandardPage:
    """Return one standard's page; queries do not grow with its lines."""
    checks = {
        row.what: row
        for row in DutyCheck.objects.filter(firm=actor.firm).select_related(
            "checked_by"
        )
    }
    row = standards.in_force(actor, pack.pack)
    slug, code = actor.firm.slug, pack.pack
    names = ("check", "notice", "on", "off")
    return StandardPage(
        name=pack.name,
        code=code,
        version=pack.version,
        authority=pack.authority,
        edition=pack.edition,
        coverage=pack.coverage,
        on=_on(row),
        changed=_changed(row, pack),
        missing=tuple(standards.missing(actor, pack, today)),
        groups=_groups(pack, checks),
        notices=_notices(actor, pack),
        to_check=_to_check(pack, checks),
        people=tuple(
            (str(one.pk), one.name)
            for one in Membership.objects.filter(
                firm=actor.firm, disabled_at__isnull=True
            ).order_by("name")
        ),
        trainees=tuple(_trainees(actor, pack)),
        urls={one: reverse(f"standard-{one}", args=[slug, code]) for one in names},
    )


def _trainees(actor: Actor, pack: Pack) -> Iterator[TraineeRow]:
    """Count the handed-in visits at which a trainee recorded beside the inspector."""
    people = Membership.objects.filter(
        firm=actor.firm, disabled_at__isnull=True, roles__contains=[Role.TRAINEE]
    ).order_by("name")
    counts = dict(
        LogRow.objects.filter(
            firm=actor.firm,
            by__in=people,
            visit__handed_in_at__isnull=False,
        )
        .exclude(visit__inspector=F("by"))
        .values("by")
        .annotate(visits=Count("visit", distinct=True))
        .values_list("by", "visits")
    )
    for person in people:
        found = supervised(pack, counts.get(person.pk, 0))
        asked = f" of {found.asked} asked" if found.asked else ", no number is asked"
        yield TraineeRow(person.name, f"{found.done}{asked}")


def _on(row: StandardInForce | None) -> str:
    if row is None:
        return ""
    return (
        f"On since {row.on_at:%B} {row.on_at.day}, {row.on_at.year}. "
        f"{row.checked_by.name} checked it on {_said(row.checked_on)}; "
        f"{row.keeper.name} answers for it."
    )


def _changed(row: StandardInForce | None, pack: Pack) -> str:
    if row is None or row.version == pack.version:
        return ""
    return (
        f"Version {pack.version} came with the program after version {row.version} "
        "was checked. Read what changed and check it again."
    )


def _groups(pack: Pack, checks: dict[str, DutyCheck]) -> tuple[GroupRow, ...]:
    titles = loader.words_for_systems()
    found: dict[str, list[LineRow]] = {}
    for name, line in pack.lines().items():
        system = str(getattr(line, "system", ""))
        title = titles.get(system, system) if system else "beside the house"
        check = checks.get(name)
        said = f"{check.checked_by.name}, {_said(check.checked_on)}" if check else ""
        found.setdefault(title, []).append(
            LineRow(
                name,
                standards.said(line, name),
                line.section,
                PROVENANCE[line.source],
                said,
            )
        )
    return tuple(GroupRow(_opened(k), tuple(v)) for k, v in found.items())


def _notices(actor: Actor, pack: Pack) -> tuple[NoticeRow, ...]:
    newest = {
        row.slot: row
        for row in NoticeText.objects.filter(firm=actor.firm, pack=pack.pack)
        .select_related("entered_by")
        .order_by("version")
    }
    return tuple(
        NoticeRow(
            one.id,
            one.about,
            one.fill_from,
            newest[one.id].text if one.id in newest else "",
            _entered(newest[one.id]) if one.id in newest else "",
        )
        for one in pack.notices
    )


def _entered(row: NoticeText) -> str:
    return f"Version {row.version}, entered by {row.entered_by.name} from {row.source}"


def _to_check(pack: Pack, checks: dict[str, DutyCheck]) -> tuple[tuple[str, str], ...]:
    recalled = [
        (name, f"{standards.said(line, name)} ({line.section})")
        for name, line in pack.lines().items()
        if line.source == "memory" and name not in checks
    ]
    whole = standards.whole(pack)
    if whole not in checks:
        recalled.append((whole, f"The whole of version {pack.version}, line by line"))
    return tuple(recalled)


def _said(day: date) -> str:
    return f"{day:%B} {day.day}, {day.year}"


def _opened(text: str) -> str:
    return text[:1].upper() + text[1:]
