"""The two axes as one printed sentence, worded by the purpose of the visit."""

from dataclasses import dataclass
from functools import cache

from findings.wording.files import Strict, read, words_file


class Consequence(Strict, frozen=True, kw_only=True):
    """What a finding does, and the verb that answers it."""

    label: str
    verb: str


class TimingWords(Strict, frozen=True, kw_only=True):
    """How soon, for one purpose."""

    label: str
    phrase: str


class Timing(Strict, frozen=True, kw_only=True):
    """How soon, with other words for some purposes."""

    label: str
    phrase: str
    sentence: str = ""
    by_purpose: dict[str, TimingWords] = {}


class Trade(Strict, frozen=True, kw_only=True):
    """Whom to call."""

    label: str
    words: str


class Levels(Strict, frozen=True, kw_only=True):
    """All names of the two axes, the purposes and the trades."""

    schema: int
    purposes: dict[str, str]
    consequences: dict[str, Consequence]
    timings: dict[str, Timing]
    trades: dict[str, Trade]


@dataclass(frozen=True, slots=True)
class Choice:
    """A key and the words a person chooses by."""

    key: str
    label: str


@cache
def levels() -> Levels:
    """Return the names as data."""
    return read(words_file("levels.yaml"), Levels)


def sentence(consequence: str, timing: str, trade: str, purpose: str) -> str:
    """Return "Could hurt someone. Have an electrician put it right before …".

    KeyError for an unknown consequence, timing or trade; an unknown purpose reads as
    a purchase.
    """
    what = levels().consequences[consequence]
    who = levels().trades[trade].words
    own = levels().timings[timing].sentence
    if own:
        return f"{what.label}. {own.format(trade=who)}"
    phrase = _timing(timing, purpose).phrase
    return f"{what.label}. Have {who} {what.verb} {phrase}."


def when_text(timing: str, purpose: str, trade: str = "general") -> str:
    """Return the "how soon" part of the words, such as "Before you move in."."""
    own = levels().timings[timing].sentence
    if own:
        return own.format(trade=levels().trades[trade].words)
    phrase = _timing(timing, purpose).phrase
    return f"{phrase[:1].upper()}{phrase[1:]}."


def consequence_label(key: str) -> str:
    """Return a consequence as a client reads it."""
    return levels().consequences[key].label


def timing_label(key: str, purpose: str) -> str:
    """Return a timing as a client of this purpose reads it."""
    return _timing(key, purpose).label


def trade_words(key: str) -> str:
    """Return a trade as "an electrician"."""
    return levels().trades[key].words


def trade_label(key: str) -> str:
    """Return a trade as the heading of its sheet."""
    return levels().trades[key].label


def purpose_words(key: str) -> str:
    """Return what a visit was for."""
    return levels().purposes[key]


def consequence_choices() -> list[Choice]:
    """Return the consequences in their order."""
    return [Choice(k, v.label) for k, v in levels().consequences.items()]


def timing_choices(purpose: str) -> list[Choice]:
    """Return the timings in their order, in the words of a purpose."""
    return [Choice(k, timing_label(k, purpose)) for k in levels().timings]


def trade_choices() -> list[Choice]:
    """Return the trades."""
    return [Choice(k, v.label) for k, v in levels().trades.items()]


def _timing(key: str, purpose: str) -> TimingWords:
    timing = levels().timings[key]
    plain = TimingWords(label=timing.label, phrase=timing.phrase)
    return timing.by_purpose.get(purpose, plain)
