"""What a phone takes along for a visit: when, where, who, and the route so far."""

from __future__ import annotations

from typing import Any

from firm.actor import Actor
from inspections.access import (
    goes_along,
    may_record,
    may_see_contents,
    visible_visits,
)
from inspections.log.route import in_order
from inspections.models import Agreement, Party, Property, Visit
from inspections.selectors.folded import folded

_MOST = 500


def visit_rows(actor: Actor) -> list[dict[str, Any]]:
    """Return the visits this member may see, soonest first, in one query."""
    visits = (
        visible_visits(actor)
        .exclude(status=Visit.Status.ABANDONED)
        .select_related("property", "inspector")
        .order_by("-starts_at", "number")[:_MOST]
    )
    going = set(visible_visits(actor).filter(goes_along(actor)).values_list("pk"))
    return [_row(actor, visit, goes=(visit.pk,) in going) for visit in reversed(visits)]


def visit_detail(actor: Actor, visit: Visit) -> dict[str, Any]:
    """Return one visit with its people, its agreement and its stops."""
    people = (
        Party.objects.filter(firm=actor.firm, visit=visit)
        .select_related("contact")
        .order_by("position", "contact__name")
    )
    return _row(actor, visit, goes=may_record(actor, visit)) | {
        "scope": visit.scope,
        "access_note": visit.access_note,
        "property_note": visit.property.note,
        "people": [
            {
                "part": party.part,
                "name": party.contact.name,
                "phone": party.contact.phone,
                "email": party.contact.email,
            }
            for party in people
        ],
        "agreement_signed": _agreement_signed(actor, visit),
        "stops": _stops(actor, visit),
    }


def _row(actor: Actor, visit: Visit, *, goes: bool) -> dict[str, Any]:
    return {
        "id": visit.pk,
        "number": visit.number,
        "status": visit.status,
        "purpose": visit.purpose,
        "pack": visit.pack,
        "starts_at": visit.starts_at,
        "ends_at": visit.ends_at,
        "agreed_wall_time": visit.agreed_wall_time,
        "version": visit.version,
        "inspector": visit.inspector_id,
        "inspector_name": visit.inspector.name,
        "records": goes and actor.can("visits.record"),
        "property": _property(visit.property),
    }


def _property(house: Property) -> dict[str, Any]:
    names = (
        "street city state postcode time_zone kind floor_area_ft2 built_from built_to "
        "built_source"
    )
    return {name: getattr(house, name) for name in names.split()}


def _agreement_signed(actor: Actor, visit: Visit) -> bool | None:
    """Say whether every client asked has signed; None when nobody was asked."""
    agreement = Agreement.objects.filter(firm=actor.firm, visit=visit).first()
    if agreement is None:
        return None
    return not agreement.signatures.filter(signed_at__isnull=True).exists()


def _stops(actor: Actor, visit: Visit) -> list[dict[str, Any]]:
    if not may_see_contents(actor, visit):
        return []
    stops = [
        (rec, record)
        for rec, record in folded(actor, visit)[0].items()
        if record["kind"] == "stop"
    ]
    return [
        {
            "id": rec,
            "name": record.get("name"),
            "stop_kind": record.get("stop_kind"),
            "pos": record.get("pos"),
        }
        for rec, record in in_order(stops)
    ]
