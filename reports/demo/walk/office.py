"""The office: books the visit, sends the agreement, makes the client's link."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from reports.demo import story
from reports.demo.walk.pages import Page
from reports.demo.walk.party import Party
from reports.demo.walk.visitor import OK, WalkFailed

BOOKS = "tobias"
_HOURS = 4
_DAYS_BACK = 60
_TAKEN = "another visit in that time"


def book(party: Party) -> str:
    """Book the visit by the form, in the first free hours before today."""
    inspector = story.firm()["booking"]["inspector"]
    for on, at in _starts(party.today):
        booked = _send(party, inspector, _typed(party, on, at))
        if booked:
            return _remember(party, booked, on, at)
    raise WalkFailed(f"No free hours in the {_DAYS_BACK} days before today.")


def book_ahead(party: Party) -> str:
    """Book the visits of today and the next days that are not booked yet."""
    made = 0
    for row in story.ahead():
        on = party.today + timedelta(days=row["day"])
        when = {"starts_on": on.isoformat(), "starts_at": row["at"]}
        typed = row["typed"] | when | {"hours": str(row["hours"])}
        made += _send(party, row["inspector"], typed) is not None
    return f"{made} visits, today and tomorrow" if made else "they are booked already"


def _send(party: Party, inspector: str, typed: dict[str, str]) -> Page | None:
    """Send the booking's form; None where the inspector is not free."""
    tobias = party.member(BOOKS)
    page = tobias.open(party.firm_path("bookings/new/"))
    form = page.form("street", "inspector")
    name = party.person(inspector)["name"]
    if form is None or not (chosen := form.choice("inspector", name)):
        raise WalkFailed(f"The booking form does not offer {name}.")
    try:
        return tobias.send(page, form, status=OK, **typed, inspector=chosen)
    except WalkFailed as refused:
        if _TAKEN in str(refused):
            return None
        raise


def _starts(today: date) -> Iterator[tuple[date, time]]:
    for back in range(1, _DAYS_BACK):
        for hour in ("08:30", "13:00", "17:30"):
            yield today - timedelta(days=back), time.fromisoformat(hour)


def _typed(party: Party, on: date, at: time) -> dict[str, str]:
    house, booking = story.firm()["property"], story.firm()["booking"]
    first, second = (party.contact(key) for key in booking["clients"])
    agent, seller = party.contact(booking["agent"]), party.contact(booking["seller"])
    decide = booking["decide_by"]
    plain = ("street", "city", "state", "postcode", "time_zone", "kind")
    numbers = ("floor_area_ft2", "built_from", "built_to")
    return {
        **{name: str(house[name]) for name in (*plain, *numbers, "built_source")},
        "purpose": booking["purpose"],
        "client_name": first["name"],
        "client_email": first["email"],
        "client_phone": first["phone"],
        "second_client_name": second["name"],
        "second_client_email": second["email"],
        "agent_name": agent["name"],
        "agent_email": agent["email"],
        "access_name": seller["name"],
        "access_phone": seller["phone"],
        "access_note": booking["access_note"],
        "starts_on": on.isoformat(),
        "starts_at": at.strftime("%H:%M"),
        "hours": str(_HOURS),
        "decide_by_on": (on + timedelta(days=decide["days"])).isoformat(),
        "decide_by_at": decide["at"],
        "decide_by_source": decide["source"],
        "fee_dollars": str(booking["fee_cents"] // 100),
        "referred_by": booking["referred_by"],
    }


def _remember(party: Party, page: Page, on: date, at: time) -> str:
    party.visit = urlsplit(page.url).path.rstrip("/").rsplit("/", 1)[-1]
    house = story.firm()["property"]
    if house["street"] not in page.text:
        raise WalkFailed(f"The booking does not name {house['street']}.")
    local = datetime.combine(on, at, ZoneInfo(house["time_zone"]))
    party.starts = local.astimezone(UTC)
    return f"{house['street']}, {local:%A %d %B, %H:%M}"


def send_agreement(party: Party) -> str:
    """Freeze the agreement's text and send each client a link."""
    tobias = party.member(BOOKS)
    page = tobias.open(party.firm_path(f"bookings/{party.visit}/"))
    form = page.form("text", to="/agreement/")
    sent = tobias.send(page, form)
    names = [party.contact(key)["name"] for key in story.firm()["booking"]["clients"]]
    for name in names:
        if name not in sent.text:
            raise WalkFailed(f"The booking does not say that {name} was asked.")
    return " and ".join(names)


def record_payment(party: Party) -> str:
    """Record that the fee was paid: until then the report is held back."""
    tobias = party.member(BOOKS)
    release = tobias.open(party.visit_path("release/"))
    if "The fee is not recorded as paid" not in release.text:
        raise WalkFailed("The report is not held for its fee.")
    page = tobias.open(party.visit_path("asks/"))
    zone = ZoneInfo(story.firm()["property"]["time_zone"])
    paid = datetime.now(zone).date().isoformat()
    tobias.send(page, page.form("paid_on"), paid_on=paid)
    return "in full"


def try_as_neighbour(party: Party) -> str:
    """Try the visit as the owner of another firm: it does not exist for them."""
    wilma = party.member("wilma")
    for path in (
        party.firm_path(f"bookings/{party.visit}/"),
        party.visit_path("release/"),
        f"/api/v1/visits/{party.visit}",
        f"/api/sync/v1/visits/{party.visit}/manifest",
    ):
        wilma.open(path, status=404)
    return "nothing there"


def make_client_link(party: Party, *, after_consent: bool = False) -> str:
    """Make the client's share link; it goes out by mail and is shown nowhere.

    Before a client has agreed, the agent can have none.
    """
    tobias = party.member(BOOKS)
    page = tobias.open(party.visit_path("release/"))
    client = party.contact(story.firm()["booking"]["clients"][0])
    agent = party.contact(story.firm()["booking"]["agent"])
    if not after_consent and page.form("party", to="/links/", says=agent["name"]):
        raise WalkFailed("The agent could get a link without a client's consent.")
    form = page.form("party", to="/links/", says=client["name"])
    made = tobias.send(page, form)
    if f"A link is on its way to {client['name']}" not in made.text:
        raise WalkFailed(f"The page does not say that {client['name']} has a link.")
    party.share = party.inbox.link(str(client["email"]), "/r/")
    return f"{client['name']} has it by mail"
