"""From hand-in to signature: hand in, note, return, check words, sign."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from findings.models import Finding, ReviewNote, SignOff, SubstanceChange
from findings.selectors.contents import content_digest
from findings.selectors.evaluation import Evaluation, evaluate
from findings.services import adoption
from findings.services.words import words_of
from findings.standards import signer
from findings.standards.loader import pack
from findings.standards.parts import missing_parts
from findings.wording.passages import unfilled
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, NotAllowed, Refusal
from firm.models import Licence, Membership
from inspections.models import Visit
from inspections.services import visits

State = Finding.State


class UnableToHandIn(Refusal):
    """Something still needs the inspector's answer; each is listed."""

    code = "unable-to-hand-in"


class UnableToCheckWords(Refusal):
    """Words cannot be passed as they are; each reason is listed."""

    code = "unable-to-check-words"


class UnableToSign(Refusal):
    """The inspector cannot sign yet, or what was shown has changed."""

    code = "unable-to-sign"


@transaction.atomic
def hand_in(*, actor: Actor, visit: Visit, now: datetime) -> None:
    """Make the findings and pass the visit to review. Raises UnableToHandIn."""
    visit = (
        Visit.objects.select_for_update(of=("self",))
        .select_related("property", "inspector")
        .get(pk=visit.pk)
    )
    if visit.inspector_id != actor.member_id:
        raise NotAllowed("The inspector of the visit hands it in.")
    seen = evaluate(actor, visit)
    if waiting := still_waiting(seen):
        raise UnableToHandIn("Some things still need your answer.", details=waiting)
    adoption.adopt(actor=actor, visit=visit, seen=seen)
    visits.move_on(
        visit,
        Visit.Status.HANDED_IN,
        only_from={Visit.Status.UNDER_WAY, Visit.Status.HANDED_IN},
    )
    Visit.objects.filter(pk=visit.pk).update(handed_in_at=now)
    rows = Finding.objects.filter(visit=visit)
    rows.filter(state__in=[State.DRAFT, State.RETURNED]).update(state=State.IN_REVIEW)
    _stand(actor, visit, SignOff.Kind.HANDED_IN, now, content_digest(actor, visit))
    audit.record(actor=actor, event="visit.handed_in", subject=f"visit:{visit.pk}")


def still_waiting(seen: Evaluation) -> list[str]:
    """Sentences of what the inspector has not answered yet."""
    waiting = [f"No answer yet: {p.title}" for p in seen.undecided]
    waiting += [
        f"Two values for one entry at {seen.stop_name(_stop_of(seen, rec)) or 'the visit'}:"
        f" choose one ({field})."
        for rec, field in seen.conflicts
    ]
    return waiting


def _stop_of(seen: Evaluation, record: str) -> str | None:
    return seen.records.get(record, {}).get("stop")


@transaction.atomic
def write_note(*, actor: Actor, visit: Visit, about: str, text: str) -> ReviewNote:
    """Put a note on a finding, a photo, a duty or the visit."""
    actor.require("words.note")
    if not text.strip():
        raise BadInput("Write the note first.", field="text")
    note = ReviewNote.objects.create(
        firm=actor.firm,
        visit=visit,
        about=about,
        text=text.strip(),
        author_id=actor.member_id,
    )
    audit.record(
        actor=actor,
        event="note.written",
        subject=f"visit:{visit.pk}",
        detail={"about": about},
    )
    return note


@transaction.atomic
def settle_note(*, actor: Actor, note: ReviewNote, answer: str, now: datetime) -> None:
    """Answer and close a note; inspector or reviewer."""
    if note.settled_at is not None:
        return
    note.answer, note.settled_by_id = answer.strip(), actor.member_id
    note.settled_at = now
    note.save(update_fields=["answer", "settled_by", "settled_at"])
    audit.record(actor=actor, event="note.settled", subject=f"visit:{note.visit_id}")


@transaction.atomic
def send_back(*, actor: Actor, finding: Finding, note: str) -> None:
    """Return a finding to the inspector with a note."""
    actor.require("words.review")
    if not note.strip():
        raise BadInput("Say what the inspector should look at.", field="note")
    changed = Finding.objects.filter(
        pk=finding.pk, state__in=[State.IN_REVIEW, State.WORDS_CHECKED]
    ).update(state=State.RETURNED)
    if not changed:
        raise UnableToCheckWords("This finding is not in review.")
    ReviewNote.objects.create(
        firm=actor.firm,
        visit_id=finding.visit_id,
        about=f"finding:{finding.pk}",
        text=note.strip(),
        author_id=actor.member_id,
    )
    audit.record(actor=actor, event="finding.returned", subject=f"finding:{finding.pk}")


@transaction.atomic
def hand_back(*, actor: Actor, finding: Finding) -> None:
    """The inspector has looked at a returned finding and gives it to review again."""
    if finding.visit.inspector_id != actor.member_id:
        raise NotAllowed("The inspector of the visit does this.")
    Finding.objects.filter(pk=finding.pk, state=State.RETURNED).update(
        state=State.IN_REVIEW
    )


@transaction.atomic
def check_words(*, actor: Actor, finding: Finding, version: int) -> None:
    """Pass one finding's words. Raises UnableToCheckWords with every reason."""
    actor.require("words.review")
    finding = (
        Finding.objects.select_for_update(of=("self",))
        .select_related("words", "visit")
        .get(pk=finding.pk)
    )
    if finding.author_id == actor.member_id and _others_could(actor):
        raise NotAllowed("Somebody else checks the words of your own findings.")
    if finding.version != version:
        raise UnableToCheckWords("The words changed while you read. Look again.")
    if reasons := objections_to_words(finding):
        raise UnableToCheckWords("These words are not ready yet.", details=reasons)
    if finding.state not in {State.IN_REVIEW, State.WORDS_CHECKED}:
        raise UnableToCheckWords("This finding is not in review.")
    Finding.objects.filter(pk=finding.pk).update(state=State.WORDS_CHECKED)
    audit.record(
        actor=actor,
        event="words.checked",
        subject=f"finding:{finding.pk}",
        detail={"revision": finding.words.number if finding.words else 0},
    )


def objections_to_words(finding: Finding) -> list[str]:
    """Return what stands against passing the words, empty when nothing does."""
    words = words_of(finding)
    reasons = [
        f"A compulsory part is missing: {part.says}"
        for part in missing_parts(pack(finding.visit.pack), words)
    ]
    reasons += [f"A blank is not filled: {blank}" for blank in unfilled(words)]
    if SubstanceChange.objects.filter(
        finding=finding, answer=SubstanceChange.Answer.WAITING
    ).exists():
        reasons.append("A change of substance still waits for the inspector.")
    return reasons


@transaction.atomic
def finish_review(*, actor: Actor, visit: Visit, now: datetime) -> None:
    """All words are checked: the visit goes to its inspector for signing."""
    actor.require("words.review")
    visit = Visit.objects.select_for_update().get(pk=visit.pk)
    open_ones = Finding.objects.filter(visit=visit).exclude(
        state__in=[State.WORDS_CHECKED, State.SIGNED, State.WITHDRAWN]
    )
    reasons = [f"Words not checked yet: {f.source_key}" for f in open_ones]
    notes = ReviewNote.objects.filter(visit=visit, settled_at__isnull=True).count()
    if notes:
        reasons.append(f"Notes not settled yet: {notes}")
    if reasons:
        raise UnableToCheckWords("The review is not finished.", details=reasons)
    if visit.inspector_id == actor.member_id and _others_could(actor):
        raise NotAllowed("Somebody else finishes the review of your own visit.")
    visits.move_on(
        visit, Visit.Status.WORDS_CHECKED, only_from={Visit.Status.HANDED_IN}
    )
    _stand(actor, visit, SignOff.Kind.WORDS_CHECKED, now, content_digest(actor, visit))
    audit.record(actor=actor, event="visit.words_checked", subject=f"visit:{visit.pk}")


@transaction.atomic
def sign(*, actor: Actor, visit: Visit, shown_digest: str, now: datetime) -> SignOff:
    """Sign what was on the screen. Raises UnableToSign when it has moved on."""
    visit = (
        Visit.objects.select_for_update(of=("self",))
        .select_related("property")
        .get(pk=visit.pk)
    )
    if visit.inspector_id != actor.member_id or actor.membership is None:
        raise NotAllowed("The inspector who was there signs.")
    if visit.status != Visit.Status.WORDS_CHECKED:
        raise UnableToSign(f"The visit is “{visit.get_status_display()}”.")
    digest = content_digest(actor, visit)
    if digest != shown_digest:
        raise UnableToSign("Something changed since this page was loaded. Look again.")
    licence = _licence(actor, visit, actor.membership, now)
    visits.move_on(visit, Visit.Status.SIGNED, only_from={Visit.Status.WORDS_CHECKED})
    Finding.objects.filter(visit=visit, state=State.WORDS_CHECKED).update(
        state=State.SIGNED
    )
    row = _stand(actor, visit, SignOff.Kind.SIGNED, now, digest, licence)
    audit.record(
        actor=actor,
        event="visit.signed",
        subject=f"visit:{visit.pk}",
        detail={"content_sha256": digest, "licence": licence.number},
    )
    return row


def _licence(actor: Actor, visit: Visit, member: Membership, now: datetime) -> Licence:
    """Return the licence to sign with, judged by the pack's rule for signers."""
    zone = ZoneInfo(visit.property.time_zone)
    rows = list(Licence.objects.filter(firm=actor.firm, membership=member))
    held = [signer.License(r.state, r.number, r.valid_from, r.expires_on) for r in rows]
    the_pack = pack(visit.pack)
    visit_on = visit.starts_at.astimezone(zone).date()
    reasons = signer.objections(
        the_pack,
        signer.Signatory(member.name, True, tuple(held)),
        visit_on=visit_on,
        signing_on=now.astimezone(zone).date(),
    )
    if reasons:
        raise UnableToSign("This licence does not allow signing.", details=reasons)
    chosen = signer.license_for(the_pack, held, visit_on) or signer.license_for(
        the_pack, held, now.astimezone(zone).date()
    )
    return next(r for r in rows if chosen and r.number == chosen.number)


def _stand(
    actor: Actor,
    visit: Visit,
    kind: SignOff.Kind,
    now: datetime,
    digest: str,
    licence: Licence | None = None,
) -> SignOff:
    SignOff.objects.filter(visit=visit, kind=kind, undone_at__isnull=True).update(
        undone_at=now, undone_because="done again"
    )
    return SignOff.objects.create(
        firm=actor.firm,
        visit=visit,
        kind=kind,
        membership_id=actor.member_id,
        licence_state=licence.state if licence else "",
        licence_number=licence.number if licence else "",
        licence_expires_on=licence.expires_on if licence else None,
        content_sha256=digest,
        made_at=now,
    )


def _others_could(actor: Actor) -> bool:
    """Say whether the firm has anybody else who may check words."""
    others = Membership.objects.filter(
        firm=actor.firm, disabled_at__isnull=True
    ).exclude(pk=actor.member_id)
    return any(set(m.roles) & {"REVIEWER", "OWNER"} for m in others)
