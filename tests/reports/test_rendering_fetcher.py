"""No words of anyone, and no markup, make the renderer reach for a file or a host."""

import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from weasyprint import CSS, HTML
from weasyprint.urls import FatalURLFetchingError

from reports.rendering import pdf, reading
from reports.rendering.fetcher import AssetFetcher
from tests.support import reading_pdf, snapshots

# Ways in which HTML, CSS and SVG name a resource. Each makes WeasyPrint 70 ask for it;
# the renderer swallows the refusal of the first and goes on.
SWALLOWED = '<svg width="9" height="9"><image href="HERE" width="9" height="9"/></svg>'
VECTORS = (
    '<img src="HERE">',
    '<img srcset="HERE 2x" src="HERE">',
    '<link rel="stylesheet" href="HERE">',
    '<link rel="attachment" href="HERE">',
    '<a rel="attachment" href="HERE">x</a>',
    '<object data="HERE" type="image/png"></object>',
    '<embed src="HERE" type="image/png">',
    '<style>@import url("HERE");</style>',
    '<style>@font-face{font-family:x;src:url("HERE")} p{font-family:x}</style><p>x',
    '<p style="background:url(HERE)">x</p>',
    '<ul style="list-style-image:url(HERE)"><li>x</ul>',
    '<p style="border-image:url(HERE) 1;border:2px solid">x</p>',
    '<style>p::before{content:url("HERE")}</style><p>x</p>',
    '<style>@page{background:url("HERE")}</style>',
    '<style>@page{@top-left{content:url("HERE")}}</style>',
    SWALLOWED,
    '<base href="HERE"><img src="pic.png">',
)
TEMPLATE_WORDS = ("{{ 7|add:7 }}", "{% load static %}", "{% include 'x' %}", "{# x #}")


@pytest.fixture(scope="module")
def plain():
    return snapshots.full()


@pytest.fixture(scope="module")
def canary():
    """A host that counts whoever calls."""
    calls = []

    class Counting(BaseHTTPRequestHandler):
        def do_GET(self):
            calls.append(self.path)
            self.send_response(404)
            self.end_headers()

        def log_message(self, *_):
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Counting)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/canary.png", calls
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def secret(tmp_path_factory):
    path = tmp_path_factory.mktemp("secret") / "canary.txt"
    path.write_text("the canary sings 71b3")
    return path.as_uri()


def render_with(fetcher, markup):
    try:
        return HTML(string=markup, url_fetcher=fetcher).write_pdf()
    except FatalURLFetchingError:
        return b""


@pytest.mark.parametrize("vector", VECTORS)
def test_markup_that_got_through_would_still_reach_nothing(
    plain, canary, secret, vector
):
    address, calls = canary
    snapshot = reading.from_builtins(plain)
    for target in (address, secret, "data:image/png;base64,AAAA", "ftp://127.0.0.1/x"):
        fetcher = AssetFetcher(snapshot, {})

        made = render_with(fetcher, vector.replace("HERE", target))

        assert b"71b3" not in made
        assert len(fetcher.refused) == 1
    assert calls == []


def test_a_refusal_that_the_renderer_swallows_is_remembered(plain):
    fetcher = AssetFetcher(reading.from_builtins(plain), {})

    render_with(fetcher, SWALLOWED.replace("HERE", "http://127.0.0.1:9/x.png"))

    assert fetcher.refused == ["http://127.0.0.1:9/x.png"]


def test_a_sheet_of_its_own_cannot_be_opened_either(plain, secret):
    fetcher = AssetFetcher(reading.from_builtins(plain), {})

    with pytest.raises(FatalURLFetchingError):
        CSS(url=secret, url_fetcher=fetcher)


def hostile(address, secret):
    """Put the vectors and template words into every text that reaches the page."""
    plain = snapshots.brief()
    plain["panels"] = [snapshots.full()["panels"][1] | {"findings": []}]
    evil = " ".join(vector.replace("HERE", address) for vector in VECTORS[:6])
    evil += f'<img src="{secret}"><script>alert(1)</script>' + " ".join(TEMPLATE_WORDS)
    for finding in plain["findings"]:
        finding["words"] = dict.fromkeys(finding["words"], evil)
        finding |= {"item": evil[:300], "age_note": evil}
    for photo in plain["photos"]:
        photo["caption"] = evil
    for panel in plain["panels"]:
        panel |= {"name": evil[:300], "notes": [evil]}
        for space in panel["spaces"]:
            space["label"] = '"/><image href="' + address + '"/>'
    for place in plain["places"]:
        place |= {"name": evil[:300], "method_words": evil, "looked": [evil]}
    plain["property"]["address_lines"] = [evil[:300], "Tarn Hollow"]
    plain["firm"]["name"] = evil[:300]
    plain["people"]["clients"] = [evil[:300]]
    plain["cautions"] = plain["disclosures"] = [evil]
    plain["glossary"] = [{"term": evil[:300], "meaning": evil}]
    return plain


def test_hostile_words_are_printed_as_they_are(canary, secret):
    address, calls = canary
    plain = hostile(address, secret)

    made = pdf.build(snapshots.canonical_bytes(plain), snapshots.assets(plain))

    text = "".join(reading_pdf.words(made).split())
    assert calls == []
    assert "71b3" not in text
    assert "<script>alert(1)</script>" in text
    for words in TEMPLATE_WORDS:
        assert "".join(words.split()) in text


def test_a_picture_with_other_bytes_is_refused(plain):
    assets = snapshots.assets(plain)
    digest = plain["photos"][2]["renditions"]["print"]["sha256"]
    assets[digest] = assets[digest] + b"\0"

    with pytest.raises(pdf.RefusedAsset, match="another digest"):
        pdf.build(snapshots.canonical_bytes(plain), assets)


def test_a_picture_that_the_snapshot_does_not_name_is_unknown(plain):
    fetcher = AssetFetcher(reading.from_builtins(plain), {"0" * 64: b"x"})

    with pytest.raises(ValueError, match="not an asset"):
        fetcher.fetch("asset:photo/" + "0" * 64)

    assert fetcher.refused == ["asset:photo/" + "0" * 64]
