"""Templates print escaped text, run nothing inline and protect every form."""

import re

import pytest

from tests.architecture.sources import APPS, modules, shown, templates

COMMENT = re.compile(r"{#.*?#}|{%\s*comment.*?endcomment\s*%}", re.DOTALL)
INLINE_HANDLER = re.compile(r"<[^>]*\son[a-z]+\s*=", re.IGNORECASE)
INLINE_STYLE = re.compile(r"<style\b|<[^>]*\sstyle\s*=", re.IGNORECASE)
SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script>", re.IGNORECASE | re.DOTALL)
FORM = re.compile(r"<form\b([^>]*)>(.*?)</form>", re.IGNORECASE | re.DOTALL)
BLANK_TARGET = re.compile(r"<a\b[^>]*target=\"_blank\"[^>]*>", re.IGNORECASE)
UNESCAPED = re.compile(r"\|\s*safe(seq)?\b|autoescape\s+off")


@pytest.fixture(scope="module")
def sources():
    found = {shown(path): COMMENT.sub("", path.read_text()) for path in templates()}
    assert found
    return found


def offenders(sources: dict[str, str], pattern: re.Pattern[str]) -> list[str]:
    return [name for name, text in sources.items() if pattern.search(text)]


def test_no_template_switches_escaping_off(sources):
    assert not offenders(sources, UNESCAPED)


def test_no_code_declares_text_safe():
    """format_html escapes what it is given; mark_safe trusts it."""
    trusting = [
        shown(path)
        for path in modules(*APPS)
        if re.search(r"\bmark_safe\(|SafeString\(|\|safe\b", path.read_text())
    ]
    assert not trusting, "\n".join(trusting)


def test_no_handler_is_inline(sources):
    assert not offenders(sources, INLINE_HANDLER)


def test_no_style_is_inline(sources):
    assert not offenders(sources, INLINE_STYLE)


def test_no_script_is_inline(sources):
    inline = [
        name
        for name, text in sources.items()
        for attributes, body in SCRIPT.findall(text)
        if (body.strip() or "src=" not in attributes)
        # A map of names has to stand in the page; it is allowed by its hash.
        and 'type="importmap"' not in attributes
    ]
    assert not inline


def test_no_link_runs_a_script(sources):
    assert not offenders(sources, re.compile(r"javascript:", re.IGNORECASE))


def test_every_form_that_posts_has_a_token(sources):
    open_forms = [
        name
        for name, text in sources.items()
        for attributes, body in FORM.findall(text)
        if re.search(r'method="post"', attributes, re.IGNORECASE)
        and "csrf_token" not in body
    ]
    assert not open_forms


def test_a_page_opened_beside_cannot_steer_ours(sources):
    loose = [
        name
        for name, text in sources.items()
        for tag in BLANK_TARGET.findall(text)
        if "noopener" not in tag
    ]
    assert not loose
