"""What stands against a release, each as a sentence that names which."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final
from zoneinfo import ZoneInfo

from findings.models import Finding, ReviewNote, SignOff, SubstanceChange
from findings.selectors.contents import content_digest
from findings.selectors.evaluation import Evaluation, checked_lines, evaluate
from findings.selectors.visit_asks import interests_of, objections
from findings.standards import front, signer
from findings.wording import sentences
from firm.actor import Actor
from firm.models import Licence
from inspections.models import AgreementSignature, Party, PhotoFile, Visit
from reports.models import RecheckItem, Release
from reports.selectors.notices import notices
from reports.selectors.owed import fee_is_owed, in_dispute, overridden
from reports.selectors.pictures import Picture, pictures

State: Final = Finding.State
WAITS: Final = {
    State.DRAFT: "it has not been handed in",
    State.IN_REVIEW: "its words are not checked yet",
    State.RETURNED: "it went back to the inspector with a note",
    State.WORDS_CHECKED: "the inspector has not signed it",
}
USES: Final = {
    "general_view": "general view",
    "shows_it": "picture of a finding",
    "plate": "data plate",
    "for_me": "picture kept for the firm",
}


@dataclass(frozen=True, slots=True)
class Blocker:
    """One thing that stands against a release: what, and where it is settled."""

    code: str
    text: str
    where: str = ""


def blockers(actor: Actor, visit: Visit) -> list[Blocker]:
    """Return all that stands against a release; an empty list lets it go.

    The number of queries does not grow with what the visit holds.
    """
    visit = Visit.objects.select_related("property", "inspector").get(
        firm=actor.firm, pk=visit.pk
    )
    seen = evaluate(actor, visit)
    findings = _findings(actor, visit)
    let_go = overridden(actor, visit)
    return [
        *_state(actor, visit),
        *_dispute(actor, visit),
        *_again(actor, visit),
        *([] if "AGREEMENT" in let_go else _agreement(actor, visit)),
        *([] if "PAYMENT" in let_go else _fee(actor, visit)),
        *_interests(actor, visit, seen),
        *_records(seen),
        *_words(actor, visit, seen, findings),
        *_rules(actor, findings),
        *_pictures(actor, visit, seen),
        *_signature(actor, visit),
        *_licence(actor, visit, seen),
        *_notice(actor, visit, seen),
    ]


def _findings(actor: Actor, visit: Visit) -> dict[str, Finding]:
    rows = (
        Finding.objects.filter(firm=actor.firm, visit=visit)
        .exclude(state=State.WITHDRAWN)
        .order_by("source_key")
    )
    return {str(row.pk): row for row in rows}


def _state(actor: Actor, visit: Visit) -> Iterator[Blocker]:
    if visit.status == Visit.Status.ABANDONED:
        yield Blocker("abandoned", f"The visit {visit.number} was abandoned.")
    under_way = Release.objects.filter(
        firm=actor.firm, visit=visit, state=Release.State.RELEASING
    ).first()
    if under_way:
        yield Blocker(
            "release-under-way",
            f"Issue {under_way.issue} of {under_way.number} is being made already.",
        )


def _agreement(actor: Actor, visit: Visit) -> Iterator[Blocker]:
    parties = Party.objects.filter(
        firm=actor.firm, visit=visit, part=Party.As.CLIENT
    ).select_related("contact")
    if not parties:
        yield Blocker("no-client", "The booking names no client to report to.")
    signed = set(
        AgreementSignature.objects.filter(
            firm=actor.firm, agreement__visit=visit, signed_at__isnull=False
        ).values_list("party_id", flat=True)
    )
    for party in sorted(parties, key=lambda one: one.contact.name):
        if party.pk not in signed:
            yield Blocker(
                "agreement-unsigned",
                f"{party.contact.name} has not signed the agreement.",
                f"client:{party.pk}",
            )


def _fee(actor: Actor, visit: Visit) -> Iterator[Blocker]:
    if fee_is_owed(actor, visit):
        yield Blocker("fee-owed", "The fee is not recorded as paid.", "fee")


def _again(actor: Actor, visit: Visit) -> Iterator[Blocker]:
    """Hold back a re-check while one of its items was not looked at again."""
    items = RecheckItem.objects.filter(firm=actor.firm, visit=visit, outcome="")
    for item in items.order_by("number"):
        yield Blocker(
            "recheck-open",
            f"Finding {item.number} of the earlier report was not looked at again.",
            f"recheck:{item.pk}",
        )


def _dispute(actor: Actor, visit: Visit) -> Iterator[Blocker]:
    """While a dispute stands, nothing changes without the owner."""
    if in_dispute(actor, visit) and not actor.can("visits.hold"):
        yield Blocker(
            "in-dispute", "A hold stands on this visit: only the owner releases now."
        )


def _interests(actor: Actor, visit: Visit, seen: Evaluation) -> Iterator[Blocker]:
    """Hold back a report while the client does not know of an interest of ours."""
    for text in objections(seen.pack, interests_of(actor, visit)):
        yield Blocker("interest", text, f"asks:{visit.pk}")


def _records(seen: Evaluation) -> Iterator[Blocker]:
    for record, field in sorted(seen.conflicts):
        stop = str(seen.records.get(record, {}).get("stop") or "")
        yield Blocker(
            "two-values",
            f"Two values stand for one entry at {_place(seen, stop)}: "
            f"choose one ({_plain(field)}).",
            f"record:{record}",
        )
    for proposal in seen.undecided:
        if not proposal.consequence:
            continue  # it only asks for another fact
        where = ", ".join(proposal.places) or _place(seen, proposal.stop)
        yield Blocker(
            "proposal-undecided",
            f"The inspector has not answered: {proposal.title} ({where}).",
            f"proposal:{proposal.key}",
        )
    for line in seen.ledger.open():
        yield Blocker(
            "duty-open",
            f"Still open at {line.place}: {line.item}. {line.hint}".strip(),
            f"duty:{line.duty}",
        )


def _words(
    actor: Actor, visit: Visit, seen: Evaluation, findings: dict[str, Finding]
) -> Iterator[Blocker]:
    for key, row in findings.items():
        if row.state != State.SIGNED:
            yield Blocker(
                "finding-not-signed",
                f"{_named(seen, row)}: {WAITS[State(row.state)]}.",
                f"finding:{key}",
            )
    waiting = SubstanceChange.objects.filter(
        firm=actor.firm,
        finding__visit=visit,
        answer=SubstanceChange.Answer.WAITING,
    ).order_by("made_at", "pk")
    for change in waiting:
        named = findings.get(str(change.finding_id))
        what = _named(seen, named) if named else "A withdrawn finding"
        yield Blocker(
            "change-waiting",
            f"{what}: a change of {_plain(change.field)} waits for the inspector.",
            f"finding:{change.finding_id}",
        )
    notes = ReviewNote.objects.filter(
        firm=actor.firm, visit=visit, settled_at__isnull=True
    ).order_by("made_at", "pk")
    for note in notes:
        about = _about(seen, note.about, findings)
        yield Blocker(
            "note-open",
            f"A note about {about} is not settled: “{_short(note.text)}”",
            f"note:{note.pk}",
        )


def _rules(actor: Actor, findings: dict[str, Finding]) -> Iterator[Blocker]:
    """Hold back what rests on a rule from memory that the firm has not checked."""
    checked = checked_lines(actor)
    recalled = {
        row.rule: str((row.proposal or {}).get("title") or row.rule)
        for row in findings.values()
        if (row.proposal or {}).get("firm_only") and row.rule not in checked
    }
    for rule, title in sorted(recalled.items()):
        yield Blocker(
            "rule-not-checked",
            f"“{title}” rests on a rule from memory that nobody licensed in the "
            "firm has checked. Check the rule, or write the finding by hand.",
            f"rule:{rule}",
        )


def _pictures(actor: Actor, visit: Visit, seen: Evaluation) -> Iterator[Blocker]:
    for number, picture in enumerate(pictures(actor, visit, seen.records), 1):
        found = _picture(picture)
        if found:
            code, says = found
            named = _picture_name(seen, picture, number)
            yield Blocker(code, f"{named}: {says}", f"photo:{picture.id}")


def _picture(picture: Picture) -> tuple[str, str] | None:
    file = picture.file
    if file is None:
        return "photo-missing", "its bytes have not arrived."
    if not picture.stored:
        return "photo-missing", _how_far(file)
    if picture.record.get("sha256") not in (None, file.sha256):
        return "photo-differs", "its bytes are not those that the phone took."
    if not picture.printable or picture.copied:
        return None
    if file.trouble:
        return "photo-unreadable", f"no copy can be made: {file.trouble}"
    return "photo-not-copied", "its copies for the report are not made yet."


def _how_far(file: PhotoFile) -> str:
    if file.state == PhotoFile.State.DROPPED:
        return "its upload was ended before it was whole."
    return f"{file.offset} of {file.size} bytes have arrived."


def _signature(actor: Actor, visit: Visit) -> Iterator[Blocker]:
    rows = list(
        SignOff.objects.filter(
            firm=actor.firm, visit=visit, kind=SignOff.Kind.SIGNED
        ).order_by("made_at")
    )
    standing = next((row for row in rows if row.undone_at is None), None)
    name = visit.inspector.name
    if standing is not None:
        if standing.content_sha256 != content_digest(actor, visit):
            yield Blocker(
                "signed-other-contents",
                f"Something changed after {name} signed. {name} signs again.",
            )
        return
    because = rows[-1].undone_because if rows else ""
    if rows:
        why = f", because {because}" if because else ""
        yield Blocker("signature-undone", f"{name}'s signature was taken back{why}.")
    else:
        yield Blocker("not-signed", f"{name} has not signed.")


def _licence(actor: Actor, visit: Visit, seen: Evaluation) -> Iterator[Blocker]:
    zone = ZoneInfo(visit.property.time_zone)
    held = tuple(
        signer.License(row.state, row.number, row.valid_from, row.expires_on)
        for row in Licence.objects.filter(firm=actor.firm, membership=visit.inspector)
    )
    person = signer.Signatory(visit.inspector.name, was_on_site=True, licenses=held)
    visit_on: date = visit.starts_at.astimezone(zone).date()
    # The day of signing is judged when it is signed; here the day of the visit stands.
    for text in signer.objections(
        seen.pack, person, visit_on=visit_on, signing_on=visit_on
    ):
        yield Blocker("licence", text)


def _notice(actor: Actor, visit: Visit, seen: Evaluation) -> Iterator[Blocker]:
    pack = seen.pack
    systems = [one for one in pack.systems() if seen.scope.covers(one)]
    if not front.compulsory(pack, visit.purpose, systems):
        return
    slot = pack.summary.notice if pack.summary else ""
    entered = notices(actor, pack.pack).get(slot) if slot else None
    if slot and not (entered and entered.text.strip()):
        held = next(one for one in pack.notices if one.id == slot)
        yield Blocker(
            "notice-missing",
            f"The notice for the summary in {pack.name} has not been entered. "
            f"Enter it from {held.fill_from}.",
            f"notice:{slot}",
        )


def _named(seen: Evaluation, row: Finding) -> str:
    """Name a finding as people of the firm speak of it: where, what, how grave."""
    where = ", ".join(map(str, row.places)) or _place(seen, str(row.stop or ""))
    what = _plain(row.item or row.system)
    level = sentences.consequence_label(row.consequence).lower()
    return f"{where}, {what} ({level})"


def _about(seen: Evaluation, about: str, findings: dict[str, Finding]) -> str:
    kind, _, key = about.partition(":")
    if kind == "finding" and key in findings:
        return _named(seen, findings[key])
    if kind == "duty":
        items = {duty.id: duty.item for duty in seen.pack.duties}
        return items.get(key, "a line of the standard")
    if kind == "photo":
        record = seen.records.get(key, {})
        return f"a picture at {_place(seen, str(record.get('stop') or ''))}"
    return "the visit"


def _picture_name(seen: Evaluation, picture: Picture, number: int) -> str:
    record = picture.record
    what = str(record.get("caption") or "") or USES.get(
        str(record.get("use")), "general view"
    )
    stop = _place(seen, str(record.get("stop") or ""))
    return f"Photo {number} at {stop} ({_short(what)})"


def _place(seen: Evaluation, stop: str) -> str:
    return seen.stop_name(stop) or "the house as a whole"


def _plain(key: str) -> str:
    return key.replace("_", " ")


def _short(text: str, most: int = 80) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= most else f"{flat[: most - 2].rsplit(' ', 1)[0]} …"
