"""The readers: a client opens the report in two steps and lets the agent in."""

from __future__ import annotations

import hashlib
import re
from urllib.parse import urljoin

from findings.imaging import exif
from reports.demo import story
from reports.demo.walk.pages import Page
from reports.demo.walk.party import Party
from reports.demo.walk.visitor import Visitor, WalkFailed

_REPORT, _GALLERY, _PDF = "/r/report/", "/r/report/gallery", "/r/report/report.pdf"
_PHOTO = re.compile(r"photos/([0-9a-f-]{36})/large")
_NEVER = re.compile(
    r"\b(maintenance|monitor|informational|needs specialist|satisfactory|adequate|"
    r"violation|illegal|grandfathered)\b",
    re.IGNORECASE,
)
# How sections of the codes that the rules rest on are written.
_SECTION = re.compile(r"\b(NEC|IRC|NFPA 70)\b|\b[RE]?\d{3,4}\.\d+\(")


def refuse_before_opening(party: Party) -> str:
    """Try the report by its address alone: it stays closed."""
    stranger = party.outsider(_agent_key())
    page = stranger.open(_REPORT, status=401)
    if "open your link" not in page.text.lower():
        raise WalkFailed("The closed report does not say how to open it.")
    return ""


def open_as_client(party: Party) -> str:
    """Open the link: a page that shows nothing yet, then the report."""
    client = party.outsider(_client_key())
    report = _open(client, party.share)
    _hold_to_words(report)
    (party.keep / "report.html").write_text(report.html, encoding="utf-8")
    return f"{len(report.text.split())} words"


def read_files(party: Party) -> str:
    """Load the gallery, the PDF and a photo."""
    client = party.outsider(_client_key())
    gallery = client.open(_GALLERY)
    (party.keep / "gallery.html").write_text(gallery.html, encoding="utf-8")
    pdf = client.file(_PDF, "application/pdf")
    if not pdf.startswith(b"%PDF-"):
        raise WalkFailed("The PDF does not begin as one.")
    (party.keep / "report.pdf").write_bytes(pdf)
    shown = {found[1]: found[0] for found in _PHOTO.finditer(gallery.html)}
    _hold_to_upright(party, client, shown)
    return f"{len(shown)} photos in the gallery, PDF of {len(pdf) / 1_000_000:.1f} MB"


def verify(party: Party) -> str:
    """Ask, as anybody may, whether the PDF is one that the firm released."""
    anybody = party.outsider("harlan")
    digest = hashlib.sha256((party.keep / "report.pdf").read_bytes()).hexdigest()
    page = anybody.open(f"/verify?sha256={digest}")
    if "Genuine" not in page.text or party.number not in page.text:
        raise WalkFailed(f"The PDF is not known: {page.text[:300]}")
    if "Not known here" not in anybody.open(f"/verify?sha256={'0' * 64}").text:
        raise WalkFailed("A digest that was made up is said to be known.")
    return "yes, and not for another digest"


def let_agent_in(party: Party) -> str:
    """Agree in writing, as the client, that the agent may read; a letter goes out."""
    client, agent = party.outsider(_client_key()), party.contact(_agent_key())
    page = client.open("/r/report/people")
    form = page.form("email", "agree")
    refused = client.send(
        page, form, name=agent["name"], email=agent["email"], part="AGENT"
    )
    if "Tick this" not in refused.text:
        raise WalkFailed("Letting somebody in without a tick was not refused.")
    form = refused.form("email", "agree")
    client.send(
        refused, form, name=agent["name"], email=agent["email"], part="AGENT",
        agree="on",
    )  # fmt: skip
    party.agent_share = party.inbox.link(str(agent["email"]), "/r/")
    return str(agent["name"])


def open_as_agent(party: Party) -> str:
    """Open the agent's own link; it lets in nobody else."""
    agent = party.outsider(_agent_key())
    report = _open(agent, party.agent_share)
    agent.open("/r/report/people", status=404)
    return f"{len(report.text.split())} words"


def _hold_to_upright(party: Party, client: Visitor, shown: dict[str, str]) -> None:
    """Hold a photo that a phone stored turned, with its place, to its served copy."""
    for photo in party.written().photos():
        taken = exif.read(photo.data)
        if photo.rec in shown and taken.orientation != 1 and taken.has_gps:
            path = urljoin(_GALLERY, shown[photo.rec])
            served = exif.read(client.file(path, "image/jpeg"))
            if served.orientation != 1 or served.has_gps:
                raise WalkFailed(f"{path} is served turned, or with its place.")
            return
    raise WalkFailed("The gallery shows no photo that was taken turned.")


def _open(visitor: Visitor, link: str) -> Page:
    landing = visitor.open(link)
    street = story.firm()["property"]["street"]
    if street in landing.html:
        raise WalkFailed("The link shows the address before it is opened.")
    report = visitor.send(landing, landing.form(to=""))
    if street not in report.text:
        raise WalkFailed(f"The opened report does not name {street}.")
    return report


def _hold_to_words(report: Page) -> None:
    """Hold a client's page to plain words: no code section, no word never shown."""
    for pattern, what in ((_NEVER, "a word"), (_SECTION, "a code section")):
        if found := pattern.search(report.text):
            around = report.text[max(0, found.start() - 60) : found.end() + 60]
            raise WalkFailed(f"The report shows {what} it must not: … {around} …")


def _client_key() -> str:
    return str(story.firm()["booking"]["clients"][0])


def _agent_key() -> str:
    return str(story.firm()["booking"]["agent"])
