"""Drafted words never disagree with the facts that they were drafted from."""

from __future__ import annotations

import pytest

from findings.models import Finding
from findings.selectors.review_words import remarks_on
from findings.selectors.shelf import House
from findings.wording.passages import blanks_of, fill_by_key, library, starter
from findings.wording.tuning import Tuning
from findings.wording.words import Words

HOUSE = House(starter(), Tuning())
AMPS = {"label": "rating", "value": 20, "unit": "A"}


def finding(passage: str, blanks: dict[str, str], words: Words) -> Finding:
    told = {"facts": [AMPS], "blanks": blanks}
    made = Finding(passage=passage, proposal=told, consequence="could_hurt")
    made.__dict__["words_as_told"] = words
    return made


def numbers(monkeypatch: pytest.MonkeyPatch, one: Finding) -> list[str]:
    words = one.__dict__["words_as_told"]
    monkeypatch.setattr("findings.selectors.review_words.words_of", lambda _: words)
    return [r.message for r in remarks_on(one, (), HOUSE) if r.kind == "number"]


@pytest.mark.parametrize("key", sorted(library()))
def test_a_passage_filled_with_its_values_is_no_other_number(
    monkeypatch: pytest.MonkeyPatch, key: str
) -> None:
    blanks = dict.fromkeys(blanks_of(library()[key]), "15")
    words = fill_by_key(key, blanks, consequence="could_hurt")

    assert numbers(monkeypatch, finding(key, blanks, words)) == []


def test_another_number_is_still_told(monkeypatch: pytest.MonkeyPatch) -> None:
    key = "elec.ocpd.over"
    words = Words(seen="The breaker is marked 60 A.")
    (said,) = numbers(monkeypatch, finding(key, {"limit_A": "15"}, words))

    assert said == "The record has 20 A; these words have another number."
