"""Reads the demo's invented firm and visit from fixtures; plain data, no database."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


class BadStory(Exception):
    """The demo's data contradicts itself; the message says where."""


@cache
def firm() -> Mapping[str, Any]:
    """Return the firm, its people, instruments, contacts, property and booking."""
    return _mapping(FOLDER / "firm.yaml")


@cache
def neighbours() -> Mapping[str, Any]:
    """Return the second firm of the installation and its people."""
    return _mapping(FOLDER / "neighbours.yaml")


@cache
def ahead() -> tuple[Mapping[str, Any], ...]:
    """Return the visits booked for today and the next days."""
    return tuple(_mapping(FOLDER / "ahead.yaml")["bookings"])


@cache
def agreement() -> str:
    """Return the words of the agreement that the clients sign."""
    return (FOLDER / "agreement.txt").read_text(encoding="utf-8")


@cache
def decisions() -> tuple[Mapping[str, Any], ...]:
    """Return what the inspector does with the proposals of the rules."""
    return tuple(_mapping(FOLDER / "decisions.yaml")["decisions"])


@cache
def review() -> Mapping[str, Any]:
    """Return what the reviewer does with the words."""
    return _mapping(FOLDER / "review.yaml")


@cache
def stops() -> tuple[Mapping[str, Any], ...]:
    """Return the stops in walking order, each with what was recorded there."""
    found: list[Mapping[str, Any]] = []
    for path in sorted((FOLDER / "visit").glob("*.yaml")):
        found += _mapping(path)["stops"]
    return tuple(found)


def _mapping(path: Path) -> Mapping[str, Any]:
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    if not isinstance(data, dict):
        raise BadStory(f"{path.name} must hold named things.")
    return data
