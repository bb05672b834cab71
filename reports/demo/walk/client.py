"""The clients: each reads and signs the agreement by a link of their own."""

from __future__ import annotations

from reports.demo import story
from reports.demo.walk.party import Party
from reports.demo.walk.visitor import WalkFailed


def sign(party: Party, key: str) -> str:
    """Open the link in the letter, read, type the name and sign."""
    who = party.contact(key)
    visitor = party.outsider(key)
    page = visitor.open(party.inbox.link(str(who["email"]), "/s/"))
    if story.firm()["firm"]["name"] not in page.text:
        raise WalkFailed("The page to sign does not name the firm.")
    without = page.form("name")
    blank = visitor.send(page, without, status=400)
    if "Type your full name" not in blank.text:
        raise WalkFailed("Signing without a name was not refused in words.")
    signed = visitor.send(page, page.form("name"), name=who["name"], agree="on")
    if f"Signed by {who['name']}" not in signed.text:
        raise WalkFailed("The page does not say that it is signed.")
    return ""
