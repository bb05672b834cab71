"""The inspector: records on a phone, answers the rules, hands in, signs."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from reports.demo import choices, script, story
from reports.demo.walk.pages import Page
from reports.demo.walk.party import Party
from reports.demo.walk.phone import Phone
from reports.demo.walk.upload import send
from reports.demo.walk.visitor import REFUSED, Visitor, WalkFailed

_EARLY = timedelta(minutes=10)
_ROUNDS = 4


class Field:
    """Ines with one phone on one visit."""

    def __init__(self, party: Party) -> None:
        self.party = party
        self.key = str(story.firm()["booking"]["inspector"])
        self.phone: Phone | None = None

    @property
    def ines(self) -> Visitor:
        return self.party.member(self.key)

    def take_along(self) -> str:
        """Ask who is signed in, and take the visit along."""
        session = self.ines.call("GET", "/api/session").json()
        if session["firm_slug"] != story.firm()["firm"]["slug"]:
            raise WalkFailed(f"The session is in another firm: {session['firm_slug']}.")
        visit = self.ines.call("GET", f"/api/v1/visits/{self.party.visit}").json()
        if not visit["records"]:
            raise WalkFailed("The visit does not let its inspector record.")
        if visit["agreement_signed"] is not True:
            raise WalkFailed("The visit does not say that the agreement is signed.")
        self.party.number = visit["number"]
        self.phone = Phone(self.ines, self.party.visit)
        return f"{visit['number']}, {visit['property']['street']}"

    def draw(self) -> str:
        """Write what the visit will record, with its drawn photos."""
        party = self.party
        if party.starts is None:
            raise WalkFailed("Nothing is booked.")
        party.script = script.write(
            run=party.run,
            visit=party.visit_id(),
            starts_at=party.starts - _EARLY,
            zone=story.firm()["property"]["time_zone"],
            every_photo=party.every_photo,
        )
        photos = sum(1 for _ in party.script.photos())
        return f"{len(party.script.steps)} stops, {photos} photos"

    def push(self) -> str:
        """Push all that was recorded, as one device, in batches."""
        phone = self._phone()
        phone.write(self.party.written().mutations())
        batches = phone.push()
        phone.push_again()
        return f"{len(phone.own)} entries in {batches} batches, the last one twice"

    def upload(self) -> str:
        """Send the photos in pieces; the line breaks once on the way."""
        photos = list(self.party.written().photos())
        largest = max(photos, key=lambda photo: len(photo.data))
        pieces = sum(
            send(self.ines, self.party.visit, photo, cut=photo is largest)
            for photo in photos
        )
        if missing := self._phone().photos_missing():
            raise WalkFailed(f"{len(missing)} photos were not stored.")
        size = sum(len(photo.data) for photo in photos) / 1_000_000
        return f"{len(photos)} photos, {size:.1f} MB, {pieces} pieces"

    def compare(self) -> str:
        """Pull the log back and hold it against the phone and the manifest."""
        phone = self._phone()
        phone.pull()
        seen = phone.compare()
        if seen.conflicts or seen.kindless:
            raise WalkFailed(f"The log is not of one mind: {seen.conflicts}")
        return f"{len(seen.records)} records, the same on both sides"

    def decide(self) -> str:
        """Use, change or set aside each proposal, until none waits."""
        script_, phone = self.party.written(), self._phone()
        chosen: dict[str, int] = {}
        at = script_.steps[-1].closed_at
        for _ in range(_ROUNDS):
            waiting = [one for one in self.proposals() if _waits(one)]
            if not waiting:
                break
            made = choices.decide(script_, waiting, run=self.party.run, at=at)
            for said in made.mutations:
                if said.field == "choice":
                    chosen[said.value] = chosen.get(said.value, 0) + 1
            phone.write(made.mutations)
            phone.push()
        else:
            raise WalkFailed(f"{len(waiting)} proposals still wait for an answer.")
        for kind in ("use", "change", "not_here"):
            if not chosen.get(kind):
                raise WalkFailed(f"No proposal was answered with “{kind}”.")
        return (
            f"{chosen['use']} used, {chosen['change']} changed, "
            f"{chosen['not_here']} set aside"
        )

    def hand_in(self) -> str:
        """Hand the visit in for checking of the words, once nothing waits."""
        walk = self.ines.open(self.party.visit_path("walk/"))
        leave = self.ines.follow(walk, to="/walk/leave/")
        form = leave.form(to="/hand-in/")
        after = self.ines.send(leave, form)
        if "not answered" in after.text:
            raise WalkFailed(after.text)
        visit = self.ines.call("GET", f"/api/v1/visits/{self.party.visit}").json()
        if visit["status"] != "HANDED_IN":
            raise WalkFailed(f"The visit is {visit['status']}: {after.text[:600]}")
        return ""

    def freeze_notice(self) -> str:
        """Freeze the urgent notice of the hazard that was told on the day."""
        page = self.ines.open(self.party.visit_path("urgent/"))
        form = page.form("record", to="urgent/freeze/")
        after = self.ines.send(page, form)
        if "/U1" not in after.text:
            raise WalkFailed(f"The notice has no number: {after.text[:400]}")
        return f"{self.party.number}/U1"

    def accept_change(self) -> str:
        """Say yes to the reviewer's change of substance."""
        page = self.signing()
        form = page.form(to="/answer/", says="Yes")
        asked = story.review()["substance"]
        if asked["reason"] not in page.text:
            raise WalkFailed("The inspector does not see the change asked for.")
        self.ines.send(page, form, answer="yes")
        return f"“{asked['timing'].replace('_', ' ')}”"

    def settle_note(self) -> str:
        """Answer the reviewer's note, which closes it."""
        said = story.review()["note"]
        page = self.signing()
        if said["text"] not in page.text:
            raise WalkFailed("The inspector does not see the note.")
        form = page.form("answer", to="/settle/")
        after = self.ines.send(page, form, answer=said["answer"])
        if said["answer"] not in self.signing().text + after.text:
            raise WalkFailed("The answer is not on the page.")
        return ""

    def sign(self) -> str:
        """Sign what is on the screen; another digest is refused."""
        page = self.signing()
        form = page.form("shown_digest", "was_there")
        other = self.ines.send(
            page, form, status=REFUSED, shown_digest="0" * 64, was_there="on"
        )
        form = other.form("shown_digest", "was_there") or form
        page = self.signing()
        signed = self.ines.send(
            page, page.form("shown_digest", "was_there"), was_there="on"
        )
        visit = self.ines.call("GET", f"/api/v1/visits/{self.party.visit}").json()
        if visit["status"] != "SIGNED":
            raise WalkFailed(f"The visit is {visit['status']}: {signed.text[:600]}")
        return "after a page that had grown old was refused"

    def signing(self) -> Page:
        return self.ines.open(self.party.visit_path("sign/"))

    def proposals(self) -> list[dict[str, Any]]:
        path = f"/api/v1/visits/{self.party.visit}/proposals"
        rows: list[dict[str, Any]] = self.ines.call("GET", path).json()
        return rows

    def _phone(self) -> Phone:
        if self.phone is None:
            raise WalkFailed("The visit was not taken along.")
        return self.phone


def _waits(proposal: dict[str, Any]) -> bool:
    return bool(proposal["waits"])
