"""What a phone takes along for one visit, beside the firm's book.

{digest, visit: as the visit's own operation gives it, state, pack, property_facts,
pack_rules, scope, clients: [{id, name, signed_at}], agreement: {text, sha256,
made_at} or null, fee_cents, paid_at, purpose, recorders: [{member, name,
inspector, trainee}], earlier: {number, on, findings: [{id,
places, words, consequence, timing, trade, photos}]} or null}. `property_facts` hold
what was said at booking; a year written on site stands before it (evaluation.py).
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

from findings.models import Finding
from findings.selectors.evaluation import property_facts
from findings.standards.loader import pack as load_pack
from firm.actor import Actor
from inspections.models import Agreement, AgreementSignature, Party, Visit
from inspections.selectors.phone import visit_detail
from inspections.selectors.recorders import as_told, recorders

RE_CHECK = "re_check"


def package_of(actor: Actor, visit: Visit) -> dict[str, Any]:
    """Return the visit's package with a digest over it; a fixed number of queries."""
    agreement = Agreement.objects.filter(firm=actor.firm, visit=visit).first()
    detail = visit_detail(actor, visit)
    # The log brings the stops and the version; they would make every package new.
    for own in ("stops", "version"):
        detail.pop(own)
    whole = {
        "visit": detail,
        "state": visit.property.state,
        "pack": visit.pack,
        "property_facts": property_facts(visit, {}),
        "pack_rules": load_pack(visit.pack).absences(),
        "scope": visit.scope,
        "clients": _clients(actor, visit, agreement),
        "agreement": _agreement(agreement),
        "fee_cents": visit.fee_cents,
        "paid_at": visit.paid_at,
        "purpose": visit.purpose,
        "recorders": [as_told(one) for one in recorders(visit)],
        "earlier": _earlier(actor, visit),
    }
    written = json.dumps(whole, sort_keys=True, default=str)
    return {"digest": hashlib.sha256(written.encode()).hexdigest(), **whole}


def _agreement(agreement: Agreement | None) -> dict[str, Any] | None:
    if agreement is None:
        return None
    return {
        "text": agreement.text,
        "sha256": agreement.text_sha256,
        "made_at": agreement.made_at,
    }


def _clients(
    actor: Actor, visit: Visit, agreement: Agreement | None
) -> list[dict[str, Any]]:
    signed = dict(
        AgreementSignature.objects.filter(
            firm=actor.firm, agreement=agreement
        ).values_list("party", "signed_at")
        if agreement
        else ()
    )
    named = (
        Party.objects.filter(firm=actor.firm, visit=visit, part=Party.As.CLIENT)
        .select_related("contact")
        .order_by("position", "contact__name")
    )
    return [
        {"id": one.pk, "name": one.contact.name, "signed_at": signed.get(one.pk)}
        for one in named
    ]


def _earlier(actor: Actor, visit: Visit) -> dict[str, Any] | None:
    """Return what was signed on the same house before, for a re-check of repairs."""
    if visit.purpose != RE_CHECK:
        return None
    before = (
        Visit.objects.filter(
            firm=actor.firm, property=visit.property, starts_at__lt=visit.starts_at
        )
        .exclude(pk=visit.pk)
        .exclude(purpose=RE_CHECK)
        .order_by("-starts_at")
        .first()
    )
    if before is None:
        return None
    signed = Finding.objects.filter(
        firm=actor.firm, visit=before, state=Finding.State.SIGNED
    ).select_related("words")
    return {
        "number": before.number,
        "on": before.starts_at,
        "findings": [_finding(one) for one in signed.order_by("created_at", "pk")],
    }


def _finding(one: Finding) -> dict[str, Any]:
    words = one.words
    return {
        "id": one.pk,
        "places": one.places,
        "words": {
            part: getattr(words, part) if words else ""
            for part in ("seen", "matters", "action", "when")
        },
        "consequence": one.consequence,
        "timing": one.timing,
        "trade": one.trade,
        "photos": one.photos,
    }
