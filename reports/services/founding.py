"""Setting up a firm from plain data; what is there already stays as it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from findings.models import DutyCheck, NoticeText
from findings.selectors.standards import whole
from findings.services.standards import said_of
from findings.standards.loader import pack
from findings.standards.schema import Pack
from firm.models import (
    Firm,
    Instrument,
    Licence,
    Membership,
    StandardInForce,
    User,
)
from firm.tenancy import bound

Data = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class SignIn:
    """How one person signs in, and what they do in the firm."""

    name: str
    email: str
    roles: tuple[str, ...]


def found(data: Data, *, password: str, today: date, notice: str) -> list[SignIn]:
    """Make the firm, its people and what they have checked; harmless when repeated.

    Days in the data are counted from `today`. Returns who can sign in.
    """
    firm = _firm(data["firm"])
    people = {one["key"]: (one, _user(one, password)) for one in data["people"]}
    with bound(firm.pk):
        members = {key: _member(firm, user, one) for key, (one, user) in people.items()}
        for one in data.get("licences", ()):
            _licence(firm, members[one["person"]], one, today)
        for one in data.get("instruments", ()):
            _instrument(firm, members[one["keeper"]], one, today)
        if ticked := data.get("ticked_rules"):
            reader = members[ticked["by"]]
            day = today + timedelta(days=ticked["days"])
            standard = pack(firm.state)
            lines = [*ticked["rules"], *standard.from_memory(), whole(standard)]
            _checks(firm, reader, lines, day)
            _notices(firm, reader, notice)
            _in_force(firm, standard, members[ticked["keeper"]], reader, day)
    return [
        SignIn(one["name"], one["email"], tuple(one["roles"]))
        for one, _user_row in people.values()
    ]


def _firm(data: Data) -> Firm:
    firm, _ = Firm.objects.get_or_create(
        slug=data["slug"],
        defaults={name: value for name, value in data.items() if name != "slug"},
    )
    return firm


def _user(data: Data, password: str) -> User:
    user = User.objects.filter(email__iexact=data["email"]).first()
    if user is None:
        return User.objects.create_user(data["email"], password, name=data["name"])
    if not user.check_password(password):
        # The password kept beside the data was lost and made anew.
        user.set_password(password)
        user.save(update_fields=["password"])
    return user


def _member(firm: Firm, user: User, data: Data) -> Membership:
    member, _ = Membership.objects.get_or_create(
        firm=firm,
        user=user,
        defaults={name: data[name] for name in ("name", "email", "phone", "roles")},
    )
    return member


def _licence(firm: Firm, holder: Membership, data: Data, today: date) -> None:
    term = {
        "valid_from": today + timedelta(days=data["valid_from_days"]),
        "expires_on": today + timedelta(days=data["expires_in_days"]),
    }
    licence, made = Licence.objects.get_or_create(
        firm=firm,
        state=data["state"],
        number=data["number"],
        defaults={"membership": holder, "kind": data["kind"], **term},
    )
    if not made and licence.expires_on < today:
        licence.valid_from, licence.expires_on = term["valid_from"], term["expires_on"]
        licence.save(update_fields=["valid_from", "expires_on"])


def _instrument(firm: Firm, keeper: Membership, data: Data, today: date) -> None:
    plain = {name: data[name] for name in ("kind", "name", "serial", "tolerance")}
    until = today + timedelta(days=data["calibrated_in_days"])
    Instrument.objects.get_or_create(
        firm=firm,
        key=data["key"],
        defaults={**plain, "calibrated_until": until, "keeper": keeper},
    )


def _checks(firm: Firm, reader: Membership, lines: Iterable[str], day: date) -> None:
    for line in lines:
        DutyCheck.objects.get_or_create(
            firm=firm, what=line, defaults={"checked_by": reader, "checked_on": day}
        )


def _in_force(
    firm: Firm, standard: Pack, keeper: Membership, reader: Membership, day: date
) -> None:
    """Put the home state's standard in force, checked by the reader on that day."""
    StandardInForce.objects.get_or_create(
        firm=firm,
        pack=standard.pack,
        off_at=None,
        defaults={
            "version": standard.version,
            "keeper": keeper,
            "checked_by": reader,
            "checked_on": day,
            "on_at": timezone.now(),
            "said": said_of(standard),
        },
    )


def _notices(firm: Firm, reader: Membership, text: str) -> None:
    standard = pack(firm.state)
    for slot in standard.notices:
        NoticeText.objects.get_or_create(
            firm=firm,
            pack=standard.pack,
            slot=slot.id,
            defaults={"text": text, "source": slot.fill_from, "entered_by": reader},
        )
