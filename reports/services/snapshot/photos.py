"""Photos with served copies; what the inspector kept for the firm stays out."""

from __future__ import annotations

from typing import Any

from reports.selectors.pictures import Picture
from reports.services.snapshot import words
from reports.services.snapshot.findings import Numbered
from reports.services.snapshot.material import HOUSE, Material

COVER_STOPS = ("arrival", "outside")


def ids(material: Material) -> frozenset[str]:
    """Return the photos that may be printed."""
    return frozenset(picture.id for picture in _shown(material))


def printed(material: Material, numbered: Numbered) -> list[dict[str, Any]]:
    """Return the photos along the route, in the order they were taken."""
    order = {key: n for n, key in enumerate(material.place_names)}
    about = {
        str(photo): entry.row.item or entry.row.system
        for entry in reversed(numbered.entries)
        for photo in entry.row.photos
    }
    shown = [_photo(material, one, about.get(one.id, "")) for one in _shown(material)]
    return sorted(shown, key=lambda photo: order[photo["place"]])


def cover(material: Material) -> str | None:
    """Choose the front of the house as it was taken on arrival, else from outside."""
    views = [p for p in _shown(material) if p.record.get("use") == "general_view"]
    for kind in COVER_STOPS:
        for picture in views:
            stop = material.route.get(str(picture.record.get("stop")), {})
            if stop.get("stop_kind") == kind:
                return picture.id
    return views[0].id if views else None


def at_place(material: Material, place: str, told: frozenset[str]) -> list[str]:
    """Return a place's photos that no finding, old or new, shows already."""
    again = {str(item.pk) for item in material.rechecks}
    return [
        picture.id
        for picture in _shown(material)
        if material.place_of(picture.record) == place
        and picture.id not in told
        and picture.record.get("about") not in again
    ]


def without_finding_places(material: Material) -> bool:
    """Say whether a photo belongs to no stop of the route."""
    return any(material.place_of(p.record) == HOUSE for p in _shown(material))


def _shown(material: Material) -> list[Picture]:
    return [p for p in material.pictures if p.printable and p.stored and p.copied]


def _photo(material: Material, picture: Picture, about: str) -> dict[str, Any]:
    place = material.place_of(picture.record)
    taken = words.moment(picture.record.get("taken_at"))
    return {
        "id": picture.id,
        "original_sha256": picture.file.sha256 if picture.file else "",
        "caption": _caption(picture, material.place_names[place], about),
        "place": place,
        "kind": _kind(picture, about),
        "taken_local": words.day_and_clock(taken, material.zone) if taken else "",
        "marked": picture.marked,
        "renditions": {
            size: {
                "sha256": copy.sha256,
                "width": copy.width,
                "height": copy.height,
            }
            for size, copy in picture.copies.items()
        },
    }


def _kind(picture: Picture, about: str) -> str:
    use = str(picture.record.get("use") or "general_view")
    return "shows_it" if use == "general_view" and about else use


def _caption(picture: Picture, place: str, about: str) -> str:
    said = str(picture.record.get("caption") or "").strip()
    if said:
        return words.sentence(said)
    if about:
        return f"{place}: {words.plainly(about)}."
    what = "data plate" if picture.record.get("use") == "plate" else "general view"
    return f"{place}, {what}."
