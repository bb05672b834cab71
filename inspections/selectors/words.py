"""Moments and purposes in the words that pages use."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

PURPOSES = {
    "purchase": "Before buying",
    "sellers": "For the seller",
    "new_house": "New house",
    "end_of_warranty": "End of warranty",
    "upkeep": "Upkeep",
    "one_system": "One system",
    "re_check": "Re-check of repairs",
    "return_visit": "Return visit",
}


def purpose_words(purpose: str) -> str:
    return PURPOSES.get(purpose, purpose.replace("_", " ").capitalize())


def moment(at: datetime, zone: str) -> str:
    """Day and clock time in the property's zone: Wed 4 March 2026, 9:05 am."""
    there = at.astimezone(ZoneInfo(zone))
    clock = there.strftime("%I:%M %p").lstrip("0").lower()
    return f"{there:%a} {there.day} {there:%B %Y}, {clock}"
