"""The shape of what lies beside a report's own findings: ages, papers, a re-check."""

from typing import Annotated

from msgspec import Meta

from reports.rendering.fields import Line, Named, Part, Ref, Sha256, Text


class Age(Part, frozen=True, kw_only=True):
    """How old a plate says something is, beside the years usual for its kind."""

    what: Named
    place: Line
    made_year: Annotated[int, Meta(ge=1700, le=2200)]
    years: Annotated[int, Meta(ge=0, le=500)]
    low: Annotated[int, Meta(ge=1, le=200)]
    high: Annotated[int, Meta(ge=1, le=200)]


class Attached(Part, frozen=True, kw_only=True):
    """A paper that others supplied: bytes that nobody here has checked."""

    title: Named
    file_name: Named
    author: Named
    licence: Line = ""
    received_local: Line = ""
    size_words: Line = ""
    sha256: Sha256


class Rechecked(Part, frozen=True, kw_only=True):
    """A finding of an earlier report, looked at again."""

    number: Annotated[int, Meta(ge=1, le=9_999)]
    item: Line
    place: Line
    was: Text
    outcome: Named
    words: Text = ""
    before: tuple[Ref, ...] = ()
    after: tuple[Ref, ...] = ()


class Earlier(Part, frozen=True, kw_only=True):
    """The report that a re-check goes back to."""

    number: Named
    issue: Annotated[int, Meta(ge=1)]
    issued_local: Named
    sha256: Sha256
