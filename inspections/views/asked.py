"""What a booking form asked for, as the service takes it."""

from inspections.forms.bookings import BookingForm
from inspections.services.visits import BookingIn, PersonIn, PropertyIn


def booking_of(form: BookingForm) -> BookingIn:
    given = form.cleaned_data
    return BookingIn(
        property=PropertyIn(
            street=given["street"],
            city=given["city"],
            state=given["state"],
            postcode=given["postcode"],
            time_zone=given["time_zone"],
            kind=given["kind"],
            floor_area_ft2=given["floor_area_ft2"],
            built_from=given["built_from"],
            built_to=given["built_to"],
            built_source=given["built_source"],
        ),
        people=_people(form),
        inspector_id=given["inspector"],
        starts=form.wall_start(),
        hours=given["hours"],
        purpose=given["purpose"],
        decide_by=form.wall_decide_by(),
        decide_by_source=given["decide_by_source"],
        fee_cents=(given["fee_dollars"] or 0) * 100,
        access_note=given["access_note"],
        referred_by=given["referred_by"],
    )


def _people(form: BookingForm) -> tuple[PersonIn, ...]:
    given = form.cleaned_data
    said = (
        ("CLIENT", "client_name", "client_email", "client_phone"),
        ("CLIENT", "second_client_name", "second_client_email", ""),
        ("AGENT", "agent_name", "agent_email", ""),
        ("ACCESS", "access_name", "", "access_phone"),
    )
    return tuple(
        PersonIn(
            part=part,
            name=given[name],
            email=given.get(email) or "",
            phone=given.get(phone) or "",
        )
        for part, name, email, phone in said
        if given.get(name)
    )
