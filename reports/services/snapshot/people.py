"""The cover: firm, house, day, who looked, who checked words, for whom, who signed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from findings.models import SignOff
from findings.standards import coverage
from findings.wording import sentences
from firm.models import Licence, Membership, Role
from reports.services.snapshot import figures, words
from reports.services.snapshot.material import Material

# Printed on a reading copy only: a release needs both sign-offs.
NOBODY_YET: Final = "Nobody yet"


def firm(material: Material) -> dict[str, Any]:
    own = material.actor.firm
    lines = [part.strip() for part in own.address.splitlines() if part.strip()]
    return {
        "name": words.line(own.name),
        "address_lines": [words.line(part) for part in lines] or [words.line(own.name)],
        "phone": own.phone,
        "email": own.email,
    }


def house(material: Material) -> dict[str, Any]:
    row = material.visit.property
    area = f"About {row.floor_area_ft2:,} square feet." if row.floor_area_ft2 else ""
    return {
        "address_lines": [
            words.line(row.street),
            words.line(f"{row.city}, {row.state} {row.postcode}".strip()),
        ],
        "kind": words.say("kinds", row.kind),
        "description": area,
        "built": _built(material),
    }


def _built(material: Material) -> dict[str, str]:
    """Say when it was built, as found on site, else as said at booking."""
    own, row = material.own, material.visit.property
    if own.get("built_year"):
        first, last = own["built_year"], own.get("built_year_to")
        source = own.get("built_source")
    else:
        first, last, source = row.built_from, row.built_to, row.built_source
    if not first:
        return {"text": "", "source": ""}
    text = str(first) if last in (None, first) else f"between {first} and {last}"
    rooms = _redone(material)
    return {
        "text": words.line("; ".join([text, *rooms])),
        "source": words.say("built_sources", source or None),
    }


def _redone(material: Material) -> list[str]:
    """Say what was redone later, in the inspector's own range of years."""
    found = []
    for _, record in sorted(material.seen.of_kind("age_note"), key=lambda p: p[0]):
        reach, first = str(record.get("reach") or "house"), record.get("year_from")
        if reach == "house" or not first:
            continue
        name = material.place_names.get(reach) or words.system_label(
            reach.removeprefix("system:")
        )
        last = record.get("year_to") or first
        years = str(first) if last == first else f"{first} to {last}"
        guess = "guess " if record.get("how_known") == "estimated" else ""
        found.append(f"{name} redone, {guess}{years}")
    return found


def visit(material: Material) -> dict[str, Any]:
    own, zone, row = material.own, material.zone, material.visit
    began = words.moment(own.get("arrived_at")) or row.starts_at
    return {
        "date_local": words.day(began, zone),
        "arrived_local": words.clock_of(own.get("arrived_at"), zone),
        "left_local": words.clock_of(left_at(material), zone),
        "zone": row.property.time_zone,
        "purpose": row.purpose,
        "purpose_words": purpose_words(row.purpose),
        "scope_words": _scope(material),
        "attended": attended(material),
        "weather": _weather(own),
        "front_faces": str(own.get("front_faces") or ""),
        "occupied": words.say("occupied", own.get("occupied")),
        "instruments": figures.instruments(material),
    }


def left_at(material: Material) -> str:
    """Return when the inspector left: as said, else when the last stop was closed."""
    closed = [
        str(r["closed_at"]) for r in material.route.values() if r.get("closed_at")
    ]
    return str(material.own.get("left_at") or max(closed, default=""))


def purpose_words(purpose: str) -> str:
    """Say what the visit was for; a purpose without words is said as it is kept."""
    known = sentences.levels().purposes
    return known.get(purpose) or words.plainly(purpose)


def _scope(material: Material) -> str:
    parts = [
        words.template("scope", "whole"),
        coverage.limited_sentence(material.seen.pack, material.seen.scope),
        str(material.own.get("method_note") or ""),
    ]
    return " ".join(words.sentence(part) for part in parts if part.strip())


def attended(material: Material) -> list[dict[str, str]]:
    said = material.own.get("attended")
    rows = [one for one in said if isinstance(one, Mapping)] if said else []
    return [
        {
            "name": words.line(one["name"]),
            "role": words.say("attended", one.get("as")),
        }
        for one in rows
        if str(one.get("name") or "").strip()
    ]


def _weather(own: Mapping[str, Any]) -> dict[str, str]:
    out, inside = own.get("temp_out_f"), own.get("temp_in_f")
    return {
        "now": words.say("weather", own.get("weather_now")),
        "lately": words.say("lately", own.get("rain_three_days")),
        "ground": words.say("ground", own.get("ground")),
        "outside": f"{out} °F" if out is not None else "",
        "inside": f"{inside} °F" if inside is not None else "",
    }


def people(material: Material) -> dict[str, Any]:
    return {
        "looked_by": [_looker(material), *_contributors(material)],
        "words_checked_by": _checker(material),
        "clients": [words.line(name) for name in material.clients],
    }


def _looker(material: Material) -> dict[str, str]:
    member, signed = material.visit.inspector, material.sign_offs.get("SIGNED")
    if signed and signed.standing_in_for_id:
        signed = None  # somebody else signed; it says so with the signatures
    held = licence_of(material, member)
    number = signed.licence_number if signed else (held.number if held else "")
    expires = signed.licence_expires_on if signed else (held and held.expires_on)
    return {
        "name": words.line(member.name),
        "licence": number,
        "state": material.seen.pack.name if number else "",
        "expires": f"{expires:%B} {expires.day}, {expires.year}" if expires else "",
        "role": "inspector",
        "signed_local": (
            words.day_and_clock(signed.made_at, material.zone) if signed else ""
        ),
    }


def _contributors(material: Material) -> list[dict[str, str]]:
    """Name everybody else who recorded something, where the state wants that."""
    signer = material.seen.pack.signer
    others = [
        one for one in material.recorders if one.pk != material.visit.inspector_id
    ]
    if not signer.contributors:
        return []
    return [_contributor(material, one) for one in others]


def _contributor(material: Material, member: Membership) -> dict[str, str]:
    held = licence_of(material, member)
    expires = held.expires_on if held else None
    trains = Role.TRAINEE in member.roles
    role = "trainee" if trains else "took part"
    if trains and material.seen.pack.signer.supervisors:
        role = f"trainee, under {material.visit.inspector.name}"
    return {
        "name": words.line(member.name),
        "licence": held.number if held else "",
        "state": material.seen.pack.name if held else "",
        "expires": f"{expires:%B} {expires.day}, {expires.year}" if expires else "",
        "role": role,
        "signed_local": "",
    }


def licence_of(material: Material, member: Membership) -> Licence | None:
    """Return the licence of the house's state that was valid on the day."""
    on = material.visited_on
    return next(
        (
            row
            for row in material.licences
            if row.membership_id == member.pk and row.valid_from <= on <= row.expires_on
        ),
        None,
    )


def checker(material: Material) -> Membership | None:
    """Return who checked the words, nobody while that has not been done."""
    row = material.sign_offs.get("WORDS_CHECKED")
    return row.membership if row else None


def _checker(material: Material) -> dict[str, Any]:
    member = checker(material)
    if member is None:
        return {"name": NOBODY_YET, "visited": False, "same_person": False}
    held = licence_of(material, member)
    return {
        "name": words.line(member.name),
        "licence": held.number if held else "",
        "visited": any(one.pk == member.pk for one in material.recorders),
        "same_person": member.pk == material.visit.inspector_id,
    }


def signatures(material: Material) -> list[dict[str, Any]]:
    """Return who stands for what, in the order it was done."""
    rows = [
        (material.sign_offs.get("WORDS_CHECKED"), "words checked", "words_checked"),
        (material.sign_offs.get("SIGNED"), "inspector", "signed"),
    ]
    return [_signature(material, row, role, key) for row, role, key in rows if row]


def stood_in(material: Material) -> SignOff | None:
    """Return the signature that somebody gave in the inspector's place, if one did."""
    signed = material.sign_offs.get("SIGNED")
    return signed if signed and signed.standing_in_for_id else None


def stand_in_blanks(material: Material, row: SignOff) -> dict[str, str]:
    """Return what the sentences about a stand-in are filled with."""
    return {
        "name": words.line(row.membership.name),
        "inspector": words.line(material.visit.inspector.name),
        "because": words.sentence(row.stand_in_because),
    }


def _signature(material: Material, row: SignOff, role: str, key: str) -> dict[str, Any]:
    held = licence_of(material, row.membership)
    instead = row.standing_in_for_id is not None
    blanks = stand_in_blanks(material, row) if instead else {}
    return {
        "name": words.line(row.membership.name),
        "role": "in place of the inspector" if instead else role,
        "licence": row.licence_number or (held.number if held else ""),
        "signed_at": words.instant(row.made_at),
        "signed_local": words.day_and_clock(row.made_at, material.zone),
        "meaning": words.template(
            "signatures", "stand_in" if instead else key, **blanks
        ),
    }
