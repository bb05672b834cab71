"""Words that judge, alarm or belong to the law are not shown to a client."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.architecture.sources import APPS, ROOT, modules, shown, templates

# Never anywhere in a text of ours: they declare what only an authority can.
NEVER = (
    "violation",
    "illegal",
    "grandfathered",
    "needs specialist",
    "satisfactory",
    "informational",
    "up to code",
    "code violation",
)
# Ordinary words, but never a label or a heading: they rate where we describe.
NEVER_A_LABEL = (
    "maintenance",
    "monitor",
    "informational",
    "needs specialist",
    "safe",
    "satisfactory",
    "adequate",
    "violation",
    "illegal",
    "grandfathered",
)
# A section of a code, as in "Section 110.26" or "R314.3"; never told to a client.
CODE_SECTION = re.compile(
    r"\b(section|article)\s+[a-z]?\d{2,}|\b(NEC|IRC|NFPA)\b|\b[A-Z]\d{3,4}\.\d|\b\d{3}\.\d+\([A-Z]",
    re.IGNORECASE,
)
TAG = re.compile(r"{#.*?#}|{%.*?%}|<[^>]*>", re.DOTALL)
CLIENT_TEMPLATES = [p for p in templates() if p.is_relative_to(ROOT / "reports")]
# These list what the wording checks catch, so they must contain it.
CATCHES = {"phrases.yaml", "reader.py"}
CLIENT_TEXTS = [
    path
    for folder in ("words", "passages")
    for path in sorted((ROOT / "fixtures" / folder).rglob("*.yaml"))
    if path.name not in CATCHES
]


def spoken(path: Path) -> list[str]:
    """Return the runs of text that a template prints, markup left out."""
    pieces = TAG.split(path.read_text())
    return [words for piece in pieces if (words := " ".join(piece.split()))]


def strings(value: Any) -> Iterator[str]:
    """Yield every text in a YAML document, keys left out."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, inner in value.items():
            if key not in {"source", "provenance", "note", "id", "key"}:
                yield from strings(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner)


def contains(words: str, text: str) -> bool:
    return re.search(rf"\b{re.escape(words)}\b", text, re.IGNORECASE) is not None


def texts() -> Iterator[tuple[str, str]]:
    for path in CLIENT_TEMPLATES:
        for text in spoken(path):
            yield shown(path), text
    for path in CLIENT_TEXTS:
        for text in strings(yaml.safe_load(path.read_text())):
            yield shown(path), text


@cache
def read_by_the_firm() -> tuple[tuple[str, str], ...]:
    return tuple(of_the_firm())


def of_the_firm() -> Iterator[tuple[str, str]]:
    """Yield what the people of the firm read: pages, forms, rules, packs, messages."""
    yield from ((shown(path), text) for path in templates() for text in spoken(path))
    yield from of_the_data()
    scripts = sorted((ROOT / "static" / "js").rglob("*.js"))
    yield from (
        (shown(path), text)
        for path in scripts
        for text in JS_TEXT.findall(path.read_text())
    )
    yield from (
        (shown(path), text)
        for path in modules(*APPS)
        if path.name not in CATCHES
        for text in said_in(path)
    )


def of_the_data() -> Iterator[tuple[str, str]]:
    for folder, names in SPOKEN_KEYS.items():
        for path in sorted((ROOT / "fixtures" / folder).rglob("*.yaml")):
            for text in named(yaml.safe_load(path.read_text()), names):
                yield shown(path), text


# Which names in a data file hold words for people; other values are keys.
SPOKEN_KEYS = {
    "rules": {"title", "label", "reason", "margin", "cautions", "says", "say"},
    "routes": {"label", "hint", "title", "values", "phrases", "cautions", "plates"},
    "packs": {"text", "item", "says", "must_say", "when", "about"},
    "demo": {"text", "line", "caption", "place", "name", "note"},
}
# Words of a script have a space in them; keys and selectors of one word have none.
JS_TEXT = re.compile(r"[\"`]([A-Z][^\"`]* [^\"`]*)[\"`]")


def named(value: Any, names: set[str], *, inside: bool = False) -> Iterator[str]:
    """Yield every text that stands under one of the names."""
    if isinstance(value, str) and inside:
        yield value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from named(inner, names, inside=inside or key in names)
    elif isinstance(value, list):
        for inner in value:
            yield from named(inner, names, inside=inside)


def said_in(path: Path) -> Iterator[str]:
    """Yield the sentences in a module's code, docstrings left out."""
    tree = ast.parse(path.read_text())
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        text = node.value if isinstance(node, ast.Constant) else None
        if isinstance(text, str) and " " in text and id(node) not in docs:
            yield text


def test_there_are_texts_to_read():
    assert CLIENT_TEMPLATES
    assert CLIENT_TEXTS
    assert sum(1 for _ in texts()) > 100


@pytest.mark.parametrize("words", NEVER)
def test_no_text_declares_what_only_an_authority_can(words):
    found = [f"{name}: {text}" for name, text in texts() if contains(words, text)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("words", NEVER)
def test_nobody_of_the_firm_reads_it_either(words):
    found = [
        f"{name}: {text}" for name, text in read_by_the_firm() if contains(words, text)
    ]
    assert not found, "\n".join(found)


def test_every_kind_of_text_is_read():
    read = {name.split("/")[0] for name, _ in read_by_the_firm()}
    assert {"firm", "inspections", "findings", "reports", "fixtures", "static"} <= read


@pytest.mark.parametrize("words", NEVER_A_LABEL)
def test_no_label_rates(words):
    """A label is a text of up to three words; sentences may use ordinary words."""
    found = [
        f"{name}: {text}"
        for name, text in [*texts(), *read_by_the_firm()]
        if len(text.split()) <= 3 and contains(words, text)
    ]
    assert not found, "\n".join(found)


def test_no_text_cites_a_section_of_a_code():
    found = [f"{name}: {text}" for name, text in texts() if CODE_SECTION.search(text)]
    assert not found, "\n".join(found)
