"""The web report and the gallery: whole without scripts, closed to foreign markup."""

import gzip
import itertools
import re
from html.parser import HTMLParser

import brotli
import pytest

from reports.rendering import gallery, web
from reports.rendering.reading import BadSnapshot
from tests.support import snapshots

LINKS = web.Links(
    photo_url=lambda photo, size: f"photo/{photo}/{size}",
    report="report",
    gallery="gallery",
    stylesheets=("/static/css/fonts.css", "/static/css/pages/report.css"),
    script="/static/js/pages/report.js",
    pdf="report.pdf",
    data="snapshot.json",
    verify="/verify",
)
EVIL = '<script>alert(1)</script><img src=x onerror=alert(2)>" onload="alert(3) {{ 7 }}'
VOID = {"img", "meta", "link", "br", "input"}


class Page(HTMLParser):
    """Elements with their attributes, and the words between them."""

    def __init__(self, source):
        super().__init__()
        self.elements, self.words, self.open = [], [], []
        self.feed(source)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)

    def text(self):
        return " ".join(" ".join(self.words).split())

    def all(self, name, attribute):
        return [
            a[attribute] for tag, a in self.elements if tag == name and attribute in a
        ]

    @property
    def ids(self):
        return [
            attributes["id"] for _, attributes in self.elements if "id" in attributes
        ]


@pytest.fixture(scope="module")
def plain():
    return snapshots.full()


@pytest.fixture(scope="module")
def raw(plain):
    return snapshots.canonical_bytes(plain)


@pytest.fixture(scope="module")
def report(raw):
    return Page(web.build(raw, links=LINKS))


@pytest.fixture(scope="module")
def wall(raw):
    return Page(gallery.build(raw, links=LINKS))


def test_every_finding_is_told_in_full_without_a_script(report, plain):
    text = report.text()
    for finding in plain["findings"]:
        for part in (finding["sentence"], *finding["words"].values()):
            assert " ".join(part.split()) in text


def test_what_could_not_be_seen_comes_with_what_can_be_done(report, plain):
    for place in plain["places"]:
        for limit in place["limits"]:
            assert limit["what_you_can_do"] in report.text()


@pytest.mark.parametrize("name", ["report", "wall"])
def test_its_elements_are_closed_and_its_ids_are_its_own(name, request):
    page = request.getfixturevalue(name)

    assert page.open == []
    assert len(page.ids) == len(set(page.ids))


@pytest.mark.parametrize("name", ["report", "wall"])
def test_every_link_inside_it_leads_somewhere(name, request):
    page = request.getfixturevalue(name)
    inner = [href[1:] for href in page.all("a", "href") if href.startswith("#")]

    assert inner
    assert set(inner) <= set(page.ids)


def test_the_two_pages_lead_to_each_other(report, wall):
    to_wall = {h.split("#")[1] for h in report.all("a", "href") if "gallery#" in h}
    to_report = {h.split("#")[1] for h in wall.all("a", "href") if "report#" in h}

    assert to_wall <= set(wall.ids)
    assert to_report <= set(report.ids)
    assert len(to_report) == 26


@pytest.mark.parametrize("name", ["report", "wall"])
def test_it_has_landmarks_one_headline_and_no_gap_in_its_headings(name, request):
    page = request.getfixturevalue(name)
    tags = [tag for tag, _ in page.elements]
    levels = [int(tag[1]) for tag in tags if re.fullmatch(r"h[1-6]", tag)]

    assert {"header", "nav", "main", "footer"} <= set(tags)
    assert levels.count(1) == 1
    steps = itertools.pairwise(levels)
    assert all(after - before <= 1 for before, after in steps)


@pytest.mark.parametrize("name", ["report", "wall"])
def test_nothing_runs_and_nothing_is_styled_inside_it(name, request):
    page = request.getfixturevalue(name)

    assert all(not key.startswith("on") for _, a in page.elements for key in a)
    assert all("style" not in attributes for _, attributes in page.elements)
    assert "style" not in [tag for tag, _ in page.elements]
    scripts = [a for tag, a in page.elements if tag == "script"]
    assert all(set(a) == {"type", "src"} for a in scripts)


@pytest.mark.parametrize("name", ["report", "wall"])
def test_nothing_in_it_comes_from_elsewhere(name, request):
    page = request.getfixturevalue(name)

    for attribute in ("src", "srcset", "href"):
        for _, attributes in page.elements:
            assert "://" not in (attributes.get(attribute) or "")


def test_every_photo_hangs_on_the_wall_with_words_and_size(wall, plain):
    sources = wall.all("img", "src")

    expected = [f"photo/{photo['id']}/print" for photo in plain["photos"]]
    assert sorted(sources) == sorted(expected)
    assert all(wall.all("img", "alt"))
    assert len(wall.all("img", "width")) == len(sources)
    for photo in plain["photos"]:
        assert photo["caption"] in wall.text()


def test_the_narrowing_is_out_of_sight_until_its_script_is_there(report):
    form = next(a for tag, a in report.elements if "data-narrow" in a)

    assert "hidden" in form
    assert "Showing 26 of 26 findings" in report.text()


def hostile(value):
    """Put markup into every free text of the sample."""
    if isinstance(value, dict):
        kept = {"id", "place_id", "key", "kind", "purpose", "place", "zone", "state"}
        return {k: v if k in kept else hostile(v) for k, v in value.items()}
    if isinstance(value, list):
        return [hostile(one) for one in value]
    return f"{EVIL} {value}" if isinstance(value, str) and " " in value else value


def test_foreign_markup_is_shown_and_never_becomes_markup(report, wall):
    raw = snapshots.canonical_bytes(hostile(snapshots.full()))

    for build, clean in ((web.build, report), (gallery.build, wall)):
        page = Page(build(raw, links=LINKS))

        assert "<script>alert(1)</script>" in page.text()
        assert "{{ 7 }}" in page.text()
        assert [tag for tag, _ in page.elements] == [tag for tag, _ in clean.elements]
        assert not any(key.startswith("on") for _, a in page.elements for key in a)


def test_what_is_no_snapshot_makes_no_page():
    with pytest.raises(BadSnapshot):
        web.build(b"{}", links=LINKS)


def test_it_is_packed_once_and_the_same_way(raw):
    page = web.build(raw, links=LINKS)

    packed = web.pack(page)

    assert gzip.decompress(packed.gzip) == packed.plain == page.encode()
    assert brotli.decompress(packed.brotli) == packed.plain
    assert web.pack(web.build(raw, links=LINKS)) == packed
    # design goal W2: bytes sent against bytes of the page
    assert len(packed.brotli) / len(packed.plain) <= 0.18


def test_a_visit_with_almost_nothing_in_it_still_makes_pages():
    plain = snapshots.brief()
    empty = ("told", "as_left", "older_rules", "measurements", "glossary", "limits")
    plain |= {noun: [] for noun in empty}
    plain |= {"findings": [], "systems": [], "photos": [], "cover_photo": None}
    plain["front"] |= {"items": []}
    plain["places"] = [
        place | {"findings": [], "photos": [], "limits": []}
        for place in plain["places"]
    ]

    page = Page(web.build(snapshots.canonical_bytes(plain), links=LINKS))

    assert "What we could not see" not in page.text()
    assert "How it was looked at" in page.text()
