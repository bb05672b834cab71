"""What the running head and the foot of every signed-in page show."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NavLink:
    """One plain link of the navigation; `note` is a few words such as "3 wait"."""

    label: str
    url: str
    current: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class HeaderRow:
    """The firm, the person and the sections that person may open."""

    firm_name: str
    firm_slug: str
    home_url: str
    person: str
    links: tuple[NavLink, ...] = ()
    sign_out_url: str = ""
