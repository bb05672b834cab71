"""Parts of a released report: what a reader may see of it, and sheets to hand out."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import msgspec
from django.conf import settings
from django.http import Http404

from firm import storage
from reports.models import Release
from reports.rendering import child, cut_web, docx
from reports.rendering.cut import Cut, Line
from reports.rendering.links import file_links, gallery_links
from reports.services.files import StoredFile
from reports.services.told import read, seen_by, snapshot_of, trades

SUMMARY_LEAD = (
    "What matters first, in the order of the report, and what could not be seen. "
    "The client may let you read the whole report."
)
TRADE_LEAD = (
    "Everything in the report that is for {trade}, with its photographs. Numbers are "
    "those of the report. Costs are not given in it; the price is yours to name."
)
LIST_LEAD = (
    "This list was put together by the client, from the report and in their own "
    "words. What to ask of anybody, and whether to, is for the client and an agent "
    "or attorney to decide; the inspector gives no advice on it."
)


def trade_cut(release: Release, key: str, *, whole: bool) -> Cut:
    """Return the sheet of one trade; a trade without work here is unknown."""
    seen = seen_by(release, whole=whole)
    mine = [
        one
        for one in snapshot_of(release).findings
        if one.trade.key == key and one.id in seen
    ]
    if not mine:
        raise Http404
    label = mine[0].trade.label
    return Cut(
        kind="trade",
        title=f"For {label}",
        lead=TRADE_LEAD.format(trade=label),
        findings=tuple(one.id for one in mine),
        check_at=_check(release),
    )


def summary_cut(release: Release) -> Cut:
    told = snapshot_of(release)
    return Cut(
        kind="summary",
        title=told.front.title,
        lead=SUMMARY_LEAD,
        findings=told.front.items,
        check_at=_check(release),
    )


def list_cut(release: Release, lines: Iterable[Line], *, by: str) -> Cut:
    """Return a client's list; a finding that this issue no longer has is left out."""
    known = {one.id for one in snapshot_of(release).findings}
    kept = tuple(
        Line(line.words, line.finding if line.finding in known else "")
        for line in lines
    )
    return Cut(
        kind="list",
        title="My list for my agent",
        lead=LIST_LEAD,
        findings=tuple(line.finding for line in kept if line.finding),
        lines=kept,
        written_by=by,
        check_at=_check(release),
    )


def as_pdf(release: Release, cut: Cut) -> StoredFile:
    """Return the PDF of a cut, made once for the same words."""
    key = _key(release, cut, "pdf")
    if not storage.has(key):
        raw = bytes(release.snapshot)
        made = child.render(
            raw, _assets(release, cut), paper=settings.FIRM_PAPER, seconds=60, cut=cut
        )
        storage.put(key, made)
    return _stored(key)


def as_docx(release: Release, cut: Cut) -> StoredFile:
    content = docx.build(bytes(release.snapshot), _assets(release, cut), cut)
    return StoredFile(content, storage.sha256(content))


def summary_page(release: Release) -> StoredFile:
    """Return the web page that a reader of the front page alone sees."""
    content = _summary_html(bytes(release.snapshot), "report")
    return StoredFile(content, storage.sha256(content))


def summary_gallery(release: Release) -> StoredFile:
    content = _summary_html(bytes(release.snapshot), "gallery")
    return StoredFile(content, storage.sha256(content))


@lru_cache(maxsize=16)
def _summary_html(raw: bytes, page: str) -> bytes:
    front = read(raw).front
    cut = Cut("summary", front.title, SUMMARY_LEAD, front.items)
    if page == "gallery":
        return cut_web.gallery_page(raw, cut, gallery_links()).encode()
    return cut_web.report_page(raw, cut, file_links()).encode()


def make_ready(release: Release) -> None:
    """Make every trade's sheet and the front page's, so that nobody waits for them."""
    for trade in trades(release, whole=True):
        as_pdf(release, trade_cut(release, trade.key, whole=True))
    if snapshot_of(release).front.items:
        as_pdf(release, summary_cut(release))


def _assets(release: Release, cut: Cut) -> dict[str, bytes]:
    told = snapshot_of(release)
    wanted = {p for one in told.findings if one.id in cut.findings for p in one.photos}
    digests = {p.renditions.print.sha256 for p in told.photos if p.id in wanted}
    return {
        sha: storage.get(f"firm/{release.firm_id}/rendition/{sha}.jpg")
        for sha in digests
    }


def _key(release: Release, cut: Cut, kind: str) -> str:
    named = storage.sha256(
        msgspec.json.encode(
            (release.snapshot_sha256, settings.FIRM_VERSION, settings.FIRM_PAPER, cut)
        )
    )
    return f"firm/{release.firm_id}/cut/{named}.{kind}"


def _stored(key: str) -> StoredFile:
    content = storage.get(key)
    return StoredFile(content, storage.sha256(content))


def _check(release: Release) -> str:
    host = settings.FIRM_PUBLIC_URL.rstrip("/")
    return f"{host}/verify?sha256={release.snapshot_sha256}" if host else ""
