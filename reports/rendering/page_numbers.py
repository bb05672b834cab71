"""Page numbers in contents and references, checked against where things really are."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

NUMBER = re.compile(r"\d+")
POINTERS = ("a::before", "a::after")


def begins(document: Any) -> dict[str, int]:
    """Return the page, counted from 1, on which each anchor of a document lies."""
    found: dict[str, int] = {}
    for number, page in enumerate(document.pages, 1):
        for anchor in page.anchors:
            found.setdefault(anchor, number)
    return found


def are_right(document: Any) -> bool:
    """Say whether every printed page number is that of the page it points to.

    WeasyPrint fills target-counter() one round late: when filling it moves a heading
    to the next page, the number printed can be the old one (met with version 70.0).
    """
    real = begins(document)
    return all(real.get(anchor) == number for anchor, number in _printed(document))


def sheet(real: Mapping[str, int]) -> str:
    """Return a style sheet that states the numbers in place of counting them.

    A sheet given beside the document ranks below its own, hence the weight.
    """
    return "\n".join(
        f'.toc .outer[href="#{anchor}"]::after {{ content: "{page}" !important }}\n'
        f'.toc .inner a[href="#{anchor}"]::after {{ content: " {page}" !important }}\n'
        f'.ref[href="#{anchor}"]::before {{ content: "page {page}" !important }}'
        for anchor, page in real.items()
    )


def _printed(document: Any) -> Iterator[tuple[str, int]]:
    for page in document.pages:
        # WeasyPrint has no public way to ask what it printed.
        for box in page._page_box.descendants():  # noqa: SLF001
            if box.element_tag not in POINTERS:
                continue
            number = NUMBER.search(getattr(box, "text", ""))
            if number is not None:
                yield box.element.get("href", "")[1:], int(number[0])
