"""The booking and the agreement: checked here, written by the services."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any
from zoneinfo import available_timezones

from django import forms

from inspections.forms.fields import (
    Pairs,
    line,
    number,
    one_of,
    pairs,
    picked,
    text,
)

PURPOSE = pairs(
    purchase="purchase",
    sellers="seller's own",
    new_house="new house",
    end_of_warranty="end of warranty",
    upkeep="upkeep",
    one_system="one system",
)
BUILDING = pairs(
    detached="detached",
    townhouse="townhouse",
    condominium="condominium unit",
    two_to_four="two to four units",
)
BUILT_SOURCE = pairs(
    permit="permit",
    tax_record="tax record",
    plate="a plate",
    seller="the seller",
    listing="the listing",
    judged="judged on site",
)


def day(label: str, **more: Any) -> forms.DateField:
    return forms.DateField(
        label=label,
        required=more.pop("required", False),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Choose the day.",
            "invalid": "Write the day as 2026-03-10.",
        },
        **more,
    )


def clock(label: str, **more: Any) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        required=more.pop("required", False),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={
            "required": "Choose the time.",
            "invalid": "Write the time as 09:00.",
        },
        **more,
    )


def email(label: str) -> forms.EmailField:
    return forms.EmailField(
        label=label,
        required=False,
        error_messages={"invalid": "Write the whole address, as name@example.org."},
    )


class BookingForm(forms.Form):
    """One visit: the house, the people, the time, the money."""

    purpose = one_of("What is it for?", PURPOSE, initial="purchase", required=True)
    street = line("Street and number", 160, required=True)
    city = line("Town", 80, required=True)
    state = line("State", 2, required=True)
    postcode = line("ZIP code", 12)
    time_zone = picked("Its clock", [])
    kind = one_of("Building", BUILDING, initial="detached", required=True)
    floor_area_ft2 = number("Floor area", 50, 100_000)
    built_from = number("Built in, or from", 1600, 2100)
    built_to = number("or up to", 1600, 2100)
    built_source = picked("Who says so", BUILT_SOURCE)
    client_name = line("Client", 120, required=True)
    client_email = email("Client's e-mail")
    client_phone = line("Client's telephone", 40)
    second_client_name = line("Second client", 120)
    second_client_email = email("Second client's e-mail")
    agent_name = line("Client's agent", 120)
    agent_email = email("Agent's e-mail")
    access_name = line("Who opens the door", 120)
    access_phone = line("Their telephone", 40)
    access_note = text("Keys, pets, utilities, parking", 1000)
    inspector = picked("Inspector", [])
    starts_on = day("Day", required=True)
    starts_at = clock("Start, by the house's clock", required=True)
    hours = number("Hours", 1, 12, initial=3)
    decide_by_on = day("Client must decide by")
    decide_by_at = clock("Time")
    decide_by_source = line("According to", 120)
    fee_dollars = number("Fee", 0, 100_000)
    referred_by = line("Who sent them", 120)

    def __init__(
        self, *args: Any, inspectors: Pairs, zones: Pairs, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        for name, choices in (("inspector", inspectors), ("time_zone", zones)):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
            field.choices, field.required = choices, True

    def clean_state(self) -> str:
        return str(self.cleaned_data["state"]).upper()

    def clean_time_zone(self) -> str:
        zone = str(self.cleaned_data["time_zone"])
        if zone not in available_timezones():
            raise forms.ValidationError("Choose one of the zones listed.")
        return zone

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        first, last = given.get("built_from"), given.get("built_to")
        if first and last and last < first:
            self.add_error("built_to", "The later year comes before the earlier one.")
        if given.get("decide_by_at") and not given.get("decide_by_on"):
            self.add_error("decide_by_on", "Choose the day that goes with the time.")
        if not (given.get("client_email") or given.get("client_phone")):
            self.add_error("client_email", "Write an e-mail or a telephone number.")
        return self.cleaned_data

    def wall_start(self) -> datetime:
        """Return the promised start as the clock at the house will show it."""
        return wall(self.cleaned_data["starts_on"], self.cleaned_data["starts_at"])

    def wall_decide_by(self) -> datetime | None:
        if not self.cleaned_data.get("decide_by_on"):
            return None
        at = self.cleaned_data.get("decide_by_at") or time(17)
        return wall(self.cleaned_data["decide_by_on"], at)


def wall(on: date, at: time) -> datetime:
    """Return a wall time; its zone is the property's and is applied by the service."""
    return datetime.combine(on, at)


class AgreementForm(forms.Form):
    """The text that every named client signs."""

    text = text("The agreement", 60_000, rows=14, required=True)


class SignAgreementForm(forms.Form):
    """A client signs by typing the full name."""

    name = line(
        "Your full name",
        120,
        required=True,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": "Type your full name to sign."},
    )
    agree = forms.BooleanField(
        label="I have read the agreement above and agree to it.",
        error_messages={"required": "Tick this to sign."},
    )
