"""Example values of the blanks that many passages share, for previews and tests."""

from functools import cache

from findings.wording.files import FIXTURES, Strict, read


class Examples(Strict, frozen=True, kw_only=True):
    """The file of example values."""

    schema: int
    blanks: dict[str, str]


@cache
def shared_examples() -> dict[str, str]:
    """Return an example value by the blank's name."""
    return read(FIXTURES / "words" / "blank_examples.yaml", Examples).blanks
