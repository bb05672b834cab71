"""Which visits somebody may see, read into and record on: from ids to rows."""

from typing import Any
from uuid import UUID

from django.db.models import Q
from django.http import Http404

from firm.actor import Actor
from firm.errors import NotAllowed
from firm.models import Role
from firm.tokens import digest_of
from inspections.models import AgreementSignature, Companion, PhotoFile, Visit


def visible_visits(actor: Actor) -> Any:
    """Return the visits that exist for this actor, as a queryset."""
    visits = Visit.objects.for_firm(actor.firm)
    if actor.who_id == "system" or actor.can("visits.see_all"):
        return visits
    if actor.membership is None:
        return visits.none()
    return visits.filter(goes_along(actor))


def goes_along(actor: Actor) -> Q:
    """Return the condition that the actor goes to a visit: its inspector, or beside."""
    beside = Companion.objects.for_firm(actor.firm).filter(member=actor.membership)
    return Q(inspector=actor.membership) | Q(pk__in=beside.values("visit"))


def visit_to_read(actor: Actor, visit_id: UUID) -> Visit:
    """Return the booking; its contents need `contents_to_read`."""
    visit: Visit | None = (
        visible_visits(actor)
        .select_related("property", "inspector")
        .filter(pk=visit_id)
        .first()
    )
    if visit is None:
        raise Http404
    return visit


def visible_contents(actor: Actor) -> Any:
    """Return the visits whose log and findings this actor may read."""
    visits = Visit.objects.for_firm(actor.firm)
    if actor.who_id == "system" or actor.can("visits.see_all_contents"):
        return visits
    if actor.membership is None or not actor.can("visits.see_contents"):
        return visits.none()
    return visits.filter(goes_along(actor))


def contents_to_read(actor: Actor, visit_id: UUID) -> Visit:
    """Return a visit whose log this actor may read; a scheduler may not."""
    visit = visit_to_read(actor, visit_id)
    if not may_see_contents(actor, visit):
        raise NotAllowed("Your role in this firm does not show what a visit recorded.")
    return visit


def may_see_contents(actor: Actor, visit: Visit) -> bool:
    if actor.who_id == "system" or actor.can("visits.see_all_contents"):
        return True
    return actor.can("visits.see_contents") and _is_there(actor, visit)


def visit_to_record(actor: Actor, visit_id: UUID) -> Visit:
    """Return a visit that this actor records on: its inspector, or one beside."""
    visit = visit_to_read(actor, visit_id)
    require_recorder(actor, visit)
    return visit


def may_record(actor: Actor, visit: Visit) -> bool:
    """Say whether this actor records on the visit, for what a page offers."""
    return actor.can("visits.record") and _is_there(actor, visit)


def require_recorder(actor: Actor, visit: Visit) -> None:
    """Raise NotAllowed unless the actor is the one who records on this visit."""
    actor.require("visits.record")
    if not _is_there(actor, visit):
        raise NotAllowed("Only the people named for this visit record on it.")


def is_supervised(actor: Actor, visit: Visit) -> bool:
    """Say whether the actor records here as a trainee, beside the inspector."""
    member = actor.membership
    return (
        member is not None
        and Role.TRAINEE in member.roles
        and visit.inspector_id != member.pk
    )


def photo_to_send(actor: Actor, photo_id: UUID) -> PhotoFile:
    """Return an upload on a visit that this actor records on."""
    photo: PhotoFile | None = (
        PhotoFile.objects.for_firm(actor.firm)
        .select_related("visit")
        .filter(pk=photo_id)
        .first()
    )
    if photo is None or not visible_visits(actor).filter(pk=photo.visit_id).exists():
        raise Http404
    require_recorder(actor, photo.visit)
    return photo


def _is_there(actor: Actor, visit: Visit) -> bool:
    member = actor.membership
    if member is None or visit.inspector_id == member.pk:
        return member is not None
    return Companion.objects.filter(
        firm=actor.firm, visit=visit, member=member
    ).exists()


def signature_by_token(token: str) -> AgreementSignature:
    """Return what a client's own link asks to sign; its firm is bound already."""
    signature = (
        AgreementSignature.objects.select_related(
            "agreement__visit__property", "party__contact"
        )
        .filter(token_sha256=digest_of(token))
        .first()
    )
    if signature is None:
        raise Http404
    found: AgreementSignature = signature
    return found
