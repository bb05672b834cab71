"""The reviewer: edits words, asks, checks, finishes the review, releases."""

from __future__ import annotations

import re
import time
from collections.abc import Mapping
from typing import Any
from urllib.parse import urljoin, urlsplit

from reports.demo import story
from reports.demo.walk.pace import Pace
from reports.demo.walk.pages import Page
from reports.demo.walk.party import Party
from reports.demo.walk.visitor import FOUND, REFUSED, Visitor, WalkFailed

_FINDING = re.compile(r"/findings?/[0-9a-f-]{36}/?$")
_RELEASED_WITHIN_S = 240.0
_LOOK_EVERY_S = 1.0


class Reviewer:
    """Lucinda with one visit's findings before her."""

    def __init__(self, party: Party) -> None:
        self.party = party
        self.data = story.review()

    @property
    def lucinda(self) -> Visitor:
        return self.party.member(str(self.data["reviewer"]))

    def read(self) -> str:
        """Find the visit among those that wait and read all its findings."""
        page = self.visit()
        paths = dict.fromkeys(urlsplit(link).path for link in page.links)
        found = [path for path in paths if _FINDING.search(path)]
        if not found:
            raise WalkFailed(f"{page.url} leads to no finding.")
        for path in found:
            self.party.findings[path] = self.lucinda.open(path).text
        return f"{len(found)} findings"

    def visit(self) -> Page:
        page = self.lucinda.open(self.party.firm_path("review/"))
        wanted = [link for link in page.links if self.party.visit in link]
        if not wanted:
            raise WalkFailed("The visit is not among those that wait for review.")
        return self.lucinda.open(urljoin(page.url, wanted[0]))

    def edit(self) -> str:
        """Write other words for two findings and say who had asked."""
        for change in self.data["words"]:
            page = self.finding(change)
            form = page.form("seen", "asked_by", "version", to="/words/")
            typed = {change["part"]: change["text"], "asked_by": change["asked_by"]}
            after = self.lucinda.send(page, form, **typed)
            if change["text"] not in after.html and change["text"] not in after.text:
                raise WalkFailed(f"The new words are not there: {change['text']}")
        return f"{len(self.data['words'])} findings, with who asked"

    def edit_late(self) -> str:
        """Words that moved on meanwhile are refused, and nothing typed is lost."""
        change = self.data["words"][0]
        page = self.finding(change)
        form = page.form("seen", "asked_by", "version")
        kept = "These words come from a page that is no longer the newest one."
        late = self.lucinda.send(
            page, form, status=REFUSED, version="1", seen=kept, asked_by="NOBODY"
        )
        if kept not in late.html:
            raise WalkFailed("What was typed too late is lost.")
        return "refused, and what was typed is kept"

    def ask_for_substance(self) -> str:
        """Ask the inspector for another timing of one finding."""
        asked = self.data["substance"]
        page = self.finding(asked)
        form = page.form("timing", "reason", to="/change/")
        after = self.lucinda.send(
            page,
            form,
            timing=asked["timing"],
            reason=asked["reason"],
            change_asked_by=asked["asked_by"],
        )
        if asked["reason"] not in after.text:
            raise WalkFailed("The change that was asked for is not on the page.")
        return "it waits for the inspector"

    def note(self) -> str:
        """Write a note on a finding."""
        said = self.data["note"]
        page = self.finding(said)
        form = page.form("text", "about", to="/notes/")
        after = self.lucinda.send(page, form, text=said["text"])
        if said["text"] not in after.text:
            raise WalkFailed("The note is not on the page.")
        return ""

    def check_all(self) -> str:
        """Pass the words of every finding."""
        for path in self.party.findings:
            page = self.lucinda.open(path)
            form = page.form("version", to="/check/")
            self.lucinda.send(page, form, status=FOUND)
        return f"{len(self.party.findings)} findings"

    def finish(self) -> str:
        """Finish the review: the visit goes to its inspector for signing."""
        page = self.visit()
        form = page.form(to="finish/")
        self.lucinda.send(page, form)
        return ""

    def refuse_release(self) -> str:
        """Ask for a release before the signature: refused, with the reason."""
        page = self.lucinda.open(self.party.visit_path("release/"))
        form = page.form(to="release/make/")
        refused = self.lucinda.send(page, form, status=REFUSED)
        inspector = self.party.person(story.firm()["booking"]["inspector"])["name"]
        reason = f"{inspector} has not signed"
        if reason not in refused.text:
            raise WalkFailed(f"The refusal does not say: {reason}.")
        return reason

    def release(self) -> str:
        """Freeze the report and have its files made."""
        page = self.lucinda.open(self.party.visit_path("release/"))
        form = page.form(to="release/make/")
        after = self.lucinda.send(page, form)
        if self.party.number not in after.text:
            raise WalkFailed(f"The page does not name {self.party.number}.")
        return f"{self.party.number}, issue 1"

    def await_files(self, pace: Pace) -> str:
        """Look at the release page until PDF, web page and gallery are made."""
        until, last = time.monotonic() + _RELEASED_WITHIN_S, ""
        while time.monotonic() < until:
            page = self.lucinda.open(self.party.visit_path("release/"))
            if any(link.endswith("report.pdf") for link in page.links):
                return "PDF, web page and gallery"
            if page.form(to="retry/"):
                raise WalkFailed(f"The files could not be made: {page.text}")
            if (now := _progress(page)) != last:
                last = now
                pace.note(now)
            time.sleep(_LOOK_EVERY_S)
        raise WalkFailed(f"The files are not made after {_RELEASED_WITHIN_S:.0f} s.")

    def finding(self, named: Mapping[str, Any]) -> Page:
        """Open the finding that the data names by some of its words."""
        return self.lucinda.open(self.party.finding_path(named["says"]))


def _progress(page: Page) -> str:
    found = re.search(r'progress__now"[^>]*>\s*<span>([^<]+)', page.html)
    return f"{found[1].strip()} is being made" if found else "It waits for the worker"
