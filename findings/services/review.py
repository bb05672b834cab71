"""From hand-in to signature: hand in, note, return, check words, sign."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import F

from findings.models import Finding, ReviewNote, SignOff
from findings.selectors import objections, review_policy
from findings.selectors.contents import content_digest
from findings.selectors.evaluation import evaluate
from findings.selectors.objections import still_waiting
from findings.selectors.review_notes import may_answer, may_be_about
from findings.selectors.signers import licence_to_sign
from findings.services import adoption, renditions
from findings.services.words import locked, reopen_visit, undo_signature
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, NotAllowed, Refusal
from firm.models import Licence, Membership
from inspections.models import Visit
from inspections.services import visits

State = Finding.State
# What was recorded after the words were checked is handed in again.
MAY_HAND_IN = {
    Visit.Status.UNDER_WAY,
    Visit.Status.HANDED_IN,
    Visit.Status.WORDS_CHECKED,
    Visit.Status.SIGNED,
}
# A signature under contents that have moved on since is given again.
MAY_SIGN = {Visit.Status.WORDS_CHECKED, Visit.Status.SIGNED}
CLOSED = {Visit.Status.RELEASED, Visit.Status.ABANDONED}
PASSED = {State.IN_REVIEW, State.WORDS_CHECKED, State.SIGNED}


class UnableToHandIn(Refusal):
    """Something still needs the inspector's answer; each is listed."""

    code = "unable-to-hand-in"


class UnableToCheckWords(Refusal):
    """Words cannot be passed as they are; each reason is listed."""

    code = "unable-to-check-words"


class UnableToSign(Refusal):
    """The inspector cannot sign yet, or what was shown has changed."""

    code = "unable-to-sign"


class UnableToSettle(Refusal):
    """Somebody else settled the note in the meantime."""

    code = "unable-to-settle"


@dataclass(frozen=True, slots=True)
class StandIn:
    """For whom somebody signs, and why; nobody where the inspector signs."""

    member: Membership | None
    because: str = ""


@transaction.atomic
def hand_in(*, actor: Actor, visit: Visit, now: datetime) -> None:
    """Make the findings and pass the visit to review. Raises UnableToHandIn."""
    visit = (
        Visit.objects.select_for_update(of=("self",))
        .select_related("property", "inspector")
        .get(pk=visit.pk)
    )
    actor.require("visits.hand_in")
    if visit.inspector_id != actor.member_id:
        raise NotAllowed("The inspector of the visit hands it in.")
    seen = evaluate(actor, visit)
    if waiting := still_waiting(seen):
        raise UnableToHandIn("Some things still need your answer.", details=waiting)
    adoption.adopt(actor=actor, visit=visit, seen=seen)
    renditions.ask_for_missing(actor=actor, visit=visit)
    undo_signature(actor, visit, "the visit was handed in again")
    visits.move_on(visit, Visit.Status.HANDED_IN, only_from=MAY_HAND_IN)
    Visit.objects.filter(pk=visit.pk).update(handed_in_at=now)
    rows = Finding.objects.filter(visit=visit)
    rows.filter(state__in=[State.DRAFT, State.RETURNED]).update(
        state=State.IN_REVIEW, version=F("version") + 1
    )
    _stand(actor, visit, SignOff.Kind.HANDED_IN, now, content_digest(actor, visit))
    audit.record(actor=actor, event="visit.handed_in", subject=f"visit:{visit.pk}")


@transaction.atomic
def write_note(*, actor: Actor, visit: Visit, about: str, text: str) -> ReviewNote:
    """Put a note on a finding, a photo, a duty or the visit."""
    actor.require("words.note")
    if not text.strip():
        raise BadInput("Write the note first.", field="text")
    about = about or "visit"
    if not may_be_about(actor, visit, about):
        raise BadInput("This visit has nothing like that to note on.", field="about")
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
    """Answer and close a note; inspector or reviewer. Raises UnableToSettle."""
    if not may_answer(actor, note.visit):
        raise NotAllowed("The inspector of the visit or a reviewer settles notes.")
    if not answer.strip():
        raise BadInput("Write the answer first.", field="answer")
    settled = ReviewNote.objects.filter(pk=note.pk, settled_at__isnull=True).update(
        answer=answer.strip(), settled_by_id=actor.member_id, settled_at=now
    )
    if not settled:
        raise UnableToSettle("Somebody else settled this note while you wrote.")
    audit.record(actor=actor, event="note.settled", subject=f"visit:{note.visit_id}")


@transaction.atomic
def send_back(*, actor: Actor, finding: Finding, note: str) -> None:
    """Return a finding to the inspector with a note; a signature is taken back."""
    actor.require("words.review")
    if not note.strip():
        raise BadInput("Say what the inspector should look at.", field="note")
    finding = locked(finding)
    if finding.state not in PASSED or finding.visit.status in CLOSED:
        raise UnableToCheckWords("This finding is not in review.")
    reopen_visit(actor, finding.visit, "a finding went back to the inspector")
    Finding.objects.filter(pk=finding.pk).update(
        state=State.RETURNED, version=F("version") + 1
    )
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
    """Give a returned finding to review again, once its inspector has looked."""
    finding = locked(finding)
    if finding.visit.inspector_id != actor.member_id:
        raise NotAllowed("The inspector of the visit does this.")
    if finding.state != State.RETURNED:
        raise UnableToCheckWords("This finding is not back with you.")
    Finding.objects.filter(pk=finding.pk).update(
        state=State.IN_REVIEW, version=F("version") + 1
    )
    audit.record(
        actor=actor, event="finding.handed_back", subject=f"finding:{finding.pk}"
    )


@transaction.atomic
def check_words(*, actor: Actor, finding: Finding, version: int) -> None:
    """Pass one finding's words. Raises UnableToCheckWords with every reason."""
    actor.require("words.review")
    finding = locked(finding)
    if finding.author_id == actor.member_id and objections.others_could_read(actor):
        raise NotAllowed(objections.OWN_WORDS)
    if finding.version != version:
        raise UnableToCheckWords("The finding changed while you read. Look again.")
    if finding.state != State.IN_REVIEW or finding.visit.status in CLOSED:
        raise UnableToCheckWords("This finding is not in review.")
    if reasons := objections_to_words(finding):
        raise UnableToCheckWords("These words are not ready yet.", details=reasons)
    Finding.objects.filter(pk=finding.pk).update(
        state=State.WORDS_CHECKED, passed_unread=False
    )
    audit.record(
        actor=actor,
        event="words.checked",
        subject=f"finding:{finding.pk}",
        detail={"revision": finding.words.number if finding.words else 0},
    )


def objections_to_words(finding: Finding) -> list[str]:
    """Return what stands against passing the words, empty when nothing does."""
    return objections.to_words(finding, change_waits=objections.change_waits(finding))


@transaction.atomic
def finish_review(*, actor: Actor, visit: Visit, now: datetime) -> None:
    """All words are checked: the visit goes to its inspector for signing."""
    actor.require("words.review")
    visit = Visit.objects.select_for_update().get(pk=visit.pk)
    if objections.own_and_not_alone(actor, visit):
        raise NotAllowed("Somebody else finishes the review of your own visit.")
    rows = list(
        Finding.objects.filter(visit=visit)
        .select_related("words", "visit__inspector")
        .order_by("source_key")
    )
    unread = review_policy.may_pass(actor, visit, rows)
    read = [row for row in rows if row.pk not in unread]
    notes = objections.open_notes(actor, visit)
    if reasons := objections.to_finish(actor, visit, read, notes):
        raise UnableToCheckWords("The review is not finished.", details=reasons)
    _let_pass(actor, [row for row in rows if row.pk in unread])
    visits.move_on(
        visit, Visit.Status.WORDS_CHECKED, only_from={Visit.Status.HANDED_IN}
    )
    _stand(actor, visit, SignOff.Kind.WORDS_CHECKED, now, content_digest(actor, visit))
    audit.record(actor=actor, event="visit.words_checked", subject=f"visit:{visit.pk}")


def _let_pass(actor: Actor, rows: list[Finding]) -> None:
    """Pass the library's own words by the firm's policy, and keep that nobody read."""
    for row in rows:
        Finding.objects.filter(pk=row.pk).update(
            state=State.WORDS_CHECKED, passed_unread=True
        )
        audit.record(
            actor=actor,
            event="words.passed_unread",
            subject=f"finding:{row.pk}",
            detail={"passage": row.passage},
        )


@transaction.atomic
def sign(*, actor: Actor, visit: Visit, shown_digest: str, now: datetime) -> SignOff:
    """Sign what was on the screen. Raises UnableToSign when it has moved on."""
    visit = _to_sign(visit)
    actor.require("visits.sign")
    if visit.inspector_id != actor.member_id:
        raise NotAllowed("The inspector who was there signs.")
    return _signed(actor, visit, shown_digest, now, StandIn(None))


@transaction.atomic
def sign_for(
    *, actor: Actor, visit: Visit, shown_digest: str, because: str, now: datetime
) -> SignOff:
    """Sign in the inspector's place, with a reason that the report tells.

    Where the state wants who was there to sign, only somebody who was can stand in.
    """
    actor.require("visits.stand_in")
    visit = _to_sign(visit)
    if visit.inspector_id == actor.member_id:
        raise NotAllowed("Sign as yourself; nobody stands in for themselves.")
    if not because.strip():
        raise BadInput("Say why the inspector cannot sign.", field="because")
    instead = StandIn(visit.inspector, because.strip())
    return _signed(actor, visit, shown_digest, now, instead)


def _to_sign(visit: Visit) -> Visit:
    return (
        Visit.objects.select_for_update(of=("self",))
        .select_related("property", "inspector")
        .get(pk=visit.pk)
    )


def _signed(
    actor: Actor, visit: Visit, shown_digest: str, now: datetime, instead: StandIn
) -> SignOff:
    digest = content_digest(actor, visit)
    if digest != shown_digest:
        raise UnableToSign("Something changed since this page was loaded. Look again.")
    if reasons := list(objections.to_sign(actor, visit, evaluate(actor, visit))):
        raise UnableToSign("It cannot be signed yet.", details=reasons)
    licence, reasons = licence_to_sign(actor, visit, now, actor.membership)
    if licence is None:
        raise UnableToSign("This licence does not allow signing.", details=reasons)
    visits.move_on(visit, Visit.Status.SIGNED, only_from=MAY_SIGN)
    Finding.objects.filter(visit=visit, state=State.WORDS_CHECKED).update(
        state=State.SIGNED
    )
    row = _stand(actor, visit, SignOff.Kind.SIGNED, now, digest, licence, instead)
    said = {"content_sha256": digest, "licence": licence.number}
    if instead.member:
        said |= {"instead_of": str(instead.member.pk), "because": instead.because}
    audit.record(
        actor=actor, event="visit.signed", subject=f"visit:{visit.pk}", detail=said
    )
    return row


def _stand(
    actor: Actor,
    visit: Visit,
    kind: SignOff.Kind,
    now: datetime,
    digest: str,
    licence: Licence | None = None,
    instead: StandIn | None = None,
) -> SignOff:
    stands_in = instead or StandIn(None)
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
        standing_in_for=stands_in.member,
        stand_in_because=stands_in.because,
        content_sha256=digest,
        made_at=now,
    )
