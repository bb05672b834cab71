"""The walk reads pages as a browser does: what a form would send, where links lead."""

from pathlib import Path

import pytest

from reports.demo.walk.inbox import Inbox
from reports.demo.walk.pages import Page, read

HTML = """
<html><head><title>Not read</title></head><body>
<p>Some <b>words</b>.</p><script>not("read")</script>
<a href="/f/one/leave/?from=x">Before <em>you</em> leave</a><a name="here">no link</a>
<form action="/make/?from=sign" method="post">
 <input type="hidden" name="token" value="t1"><input name="city" value="Hartsmere">
 <input type="checkbox" name="agree"><input type="checkbox" name="kept" checked>
 <input type="radio" name="as" value="a">
 <input type="radio" name="as" value="b" checked>
 <input name="off" value="x" disabled><input type="file" name="file">
 <textarea name="note">
two
lines &amp; more</textarea>
 <select name="first"><option value="1">One</option>
   <option value="2">Two</option></select>
 <select name="set"><option value="1">One</option><option value="2" selected>The second
   one</option></select>
 <button>Send it</button>
</form>
<form><input name="q" value=""><button>Look</button></form>
</body></html>
"""


@pytest.fixture
def page() -> Page:
    return read("http://host/f/one/", 200, HTML)


def test_a_form_sends_what_a_browser_would(page: Page) -> None:
    form = page.form("token", to="/make/", says="Send it")

    assert form is not None
    assert dict(form.filled()) == {
        "token": "t1",
        "city": "Hartsmere",
        "kept": "on",
        "as": "b",
        "note": "two\nlines & more",
        "first": "1",
        "set": "2",
    }


def test_what_is_typed_takes_the_place_of_what_was_there(page: Page) -> None:
    form = page.form("city")

    assert form is not None
    pairs = form.filled(city="Elsewhere", agree="on", several=["1", "2"])
    assert ("city", "Hartsmere") not in pairs
    assert pairs[-4:] == [
        ("city", "Elsewhere"),
        ("agree", "on"),
        ("several", "1"),
        ("several", "2"),
    ]


def test_a_form_is_found_by_fields_end_and_words_together(page: Page) -> None:
    assert page.form("q") is not page.form("city")
    assert page.form("q", says="Send it") is None
    assert page.form("city", to="/other/") is None


def test_options_are_found_by_their_words(page: Page) -> None:
    form = page.form("set")

    assert form is not None
    assert form.choice("set", "The second one") == "2"
    assert form.choice("set", "Third") == ""


def test_links_and_words_are_read_and_scripts_are_not(page: Page) -> None:
    assert page.links == ("/f/one/leave/?from=x",)
    assert page.link("you leave", to="/leave/") == "http://host/f/one/leave/?from=x"
    assert page.link("elsewhere") == ""
    assert page.text.startswith("Some words.")
    assert "Not read" not in page.text
    assert 'not("read")' not in page.text


def test_the_inbox_gives_the_newest_link_to_somebody(tmp_path: Path) -> None:
    line = "\n" + "-" * 79 + "\n"
    letters = [
        "To: dana@example.net\n\nhttp://host/s/old-one",
        "To: dana@example.net\n\nopen http://host/s/new_one now",
        "To: rui@example.net\n\nhttp://host/s/other",
    ]
    inbox = Inbox(tmp_path)
    (tmp_path / "1.log").write_text(line.join(letters) + line, encoding="utf-8")

    assert inbox.link("Dana@example.net", "/s/") == "/s/new_one"
