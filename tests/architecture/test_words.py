"""Words that judge, alarm or belong to the law are not shown to a client."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.architecture.sources import ROOT, shown, templates

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
CATCHES = {"phrases.yaml"}
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


def test_there_are_texts_to_read():
    assert CLIENT_TEMPLATES
    assert CLIENT_TEXTS
    assert sum(1 for _ in texts()) > 100


@pytest.mark.parametrize("words", NEVER)
def test_no_text_declares_what_only_an_authority_can(words):
    found = [f"{name}: {text}" for name, text in texts() if contains(words, text)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("words", NEVER_A_LABEL)
def test_no_label_rates(words):
    """A label is a text of up to three words; sentences may use ordinary words."""
    pages = [(shown(p), text) for p in templates() for text in spoken(p)]
    found = [
        f"{name}: {text}"
        for name, text in [*pages, *texts()]
        if len(text.split()) <= 3 and contains(words, text)
    ]
    assert not found, "\n".join(found)


def test_no_text_cites_a_section_of_a_code():
    found = [f"{name}: {text}" for name, text in texts() if CODE_SECTION.search(text)]
    assert not found, "\n".join(found)
