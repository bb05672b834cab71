"""Rows of the release pages: what templates under reports/releases/ print."""

from __future__ import annotations

from dataclasses import dataclass

from inspections.selectors.rows import OpenLine, VisitHead


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step of making the files; `state` is done, now, left or trouble."""

    text: str
    state: str
    when: str = ""
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class FileRow:
    """A finished file of a release."""

    label: str
    url: str
    size: str


@dataclass(frozen=True, slots=True)
class IssueRow:
    """One issue of the report, newest first; old ones stay readable."""

    title: str  # "Report of 12 March, corrected 14 March"
    state: str
    files: tuple[FileRow, ...] = ()
    changed: str = ""
    asked_by: str = ""
    digest: str = ""
    take_back_url: str = ""  # POST


@dataclass(frozen=True, slots=True)
class OverrideRow:
    """Something owed that the owner may let go, where the law's date is near."""

    what: str
    words: str
    why: str
    url: str


@dataclass(frozen=True, slots=True)
class DoorRow:
    """A share link as the office sees it; the address itself is kept nowhere."""

    link_id: str
    person: str
    part: str
    state: str  # "open until 10 June", "closed on 14 March"
    last_opened: str
    ending: str  # the last four characters of the address
    close_url: str = ""  # POST
    log: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PersonRow:
    """Somebody a link may be made for; `blocked` says why not yet."""

    party_id: str
    name: str
    part: str
    blocked: str = ""
    consent_url: str = ""  # POST records the client's written yes
    share_url: str = ""  # POST makes and sends the link, or shows it
    has_mail: bool = False
    code_first: bool = False


@dataclass(frozen=True, slots=True)
class ReleasePage:
    """Release with progress and what still blocks it."""

    head: VisitHead
    due: str  # "Due Thu 12 March, 5 pm: three business days after the visit."
    blockers: tuple[OpenLine, ...] = ()
    people: tuple[str, ...] = ()  # "Looked at by …", "Words checked by …"
    steps: tuple[StepRow, ...] = ()
    progress_done: int = 0
    progress_of: int = 0
    working: bool = False  # the page looks again by itself
    retry_url: str = ""  # POST, after a failure
    release_url: str = ""  # POST ReleaseForm; empty while it may not be
    is_correction: bool = False
    issues: tuple[IssueRow, ...] = ()
    doors: tuple[DoorRow, ...] = ()
    readers: tuple[PersonRow, ...] = ()
    overrides: tuple[OverrideRow, ...] = ()
    questions: int = 0  # not answered
    evidence_url: str = ""  # POST; empty while nothing is released, or for others


@dataclass(frozen=True, slots=True)
class ReleaseVisitRow:
    url: str
    address: str
    town: str
    state: str
    due: str
    has_open: bool = False


@dataclass(frozen=True, slots=True)
class ReleaseListPage:
    waiting: tuple[ReleaseVisitRow, ...]
    released: tuple[ReleaseVisitRow, ...] = ()


@dataclass(frozen=True, slots=True)
class OpenedPage:
    """The front door of an opened report: what a client sees before reading on."""

    firm_name: str
    address: str
    title: str  # "Report of 12 March 2026, corrected 14 March 2026"
    front: tuple[str, ...]
    report_url: str
    files: tuple[FileRow, ...] = ()
    people_url: str = ""  # only for a client
    verify_url: str = ""
    correction: str = ""  # what the correction changed, in a sentence
    limits: tuple[str, ...] = ()
