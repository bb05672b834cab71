"""An invented visit, rich enough that every part of a report has something in it."""

import copy
import hashlib
import io
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from PIL import Image, ImageDraw

from reports.rendering import canonical, reading

DATA = Path(__file__).parent.parent / "reports" / "data"
SIZES = {"large": (960, 720), "print": (640, 480), "thumb": (320, 240)}

CONSEQUENCES = {
    "could_hurt": "Could hurt someone",
    "harming_building": "Harming the building",
    "did_not_work": "Did not work when tried",
    "old_for_kind": "Old for its kind",
    "upkeep": "Upkeep",
}
TIMINGS = {
    "today": "Today, tell the people there",
    "before_close": "Before you close",
    "before_move_in": "Before you move in",
    "first_year": "First year",
    "when_replaced": "When that part is replaced",
    "watch": "Watch",
}
TRADES = {
    "electrician": "an electrician",
    "plumber": "a plumber",
    "heating_cooling": "a heating and cooling contractor",
    "roofer": "a roofer",
    "carpenter": "a carpenter",
    "engineer": "a structural engineer",
    "general": "a contractor",
    "handy_owner": "a handy owner",
    "insulation": "an insulation contractor",
}
DEEDS = {
    "before_close": "Have {} look at it before you close.",
    "before_move_in": "Have {} put it right before you move in.",
    "first_year": "Have {} put it right within the first year.",
    "when_replaced": "Think of it when that part is replaced.",
    "watch": "Watch it, and call {} if it changes.",
}


def full() -> dict[str, Any]:
    """Return the whole sample as plain data, to change and feed to the reader."""
    plain: dict[str, Any] = _load("visit.yaml")
    findings = _load("findings.yaml")
    photos: list[dict[str, Any]] = []
    plain["findings"] = [_finding(n, raw, photos) for n, raw in enumerate(findings, 1)]
    plain["places"] = [
        _place(key, raw, plain["findings"], photos)
        for key, raw in plain["places"].items()
    ]
    plain["systems"] = [
        _system(key, raw, plain["findings"]) for key, raw in plain["systems"].items()
    ]
    plain["panels"] = [_panel(raw) for raw in _load("panels.yaml")]
    plain["receptacles"] = _receptacles(plain["receptacles"])
    for noun in ("alarms", "urgent"):
        for row in plain[noun]:
            row["finding"] = f"f{row['finding']:02d}"
    plain["front"]["items"] = [f["id"] for f in plain["findings"] if f["in_front"]]
    plain |= {"photos": photos, "cover_photo": "outside-view-1"}
    plain.update(_heading(plain))
    return plain


def brief() -> dict[str, Any]:
    """Return the same visit with its first place only, for tests that print often."""
    plain = full()
    plain["findings"] = plain["findings"][:3]
    kept = {finding["id"] for finding in plain["findings"]}
    shown = {one for finding in plain["findings"] for one in finding["photos"]}
    place = plain["places"][0] | {"findings": sorted(kept)}
    plain["places"] = [place]
    shown |= set(place["photos"])
    plain["photos"] = [photo for photo in plain["photos"] if photo["id"] in shown]
    plain["front"]["items"] = [one for one in plain["front"]["items"] if one in kept]
    for system in plain["systems"]:
        system["findings"] = [one for one in system["findings"] if one in kept]
    plain |= {"panels": [], "alarms": [], "urgent": []}
    plain["receptacles"] = {}
    return plain


def canonical_bytes(plain: dict[str, Any] | None = None) -> bytes:
    return canonical.encode(reading.from_builtins(plain or full()))


def assets(plain: dict[str, Any]) -> dict[str, bytes]:
    """Return the bytes of every rendition by digest, as object storage would."""
    found: dict[str, bytes] = {}
    for photo in plain["photos"]:
        for size in SIZES:
            data = picture(photo["id"], size)
            found[hashlib.sha256(data).hexdigest()] = data
    return found


@cache
def picture(name: str, size: str) -> bytes:
    """Draw a plain illustration; the same name always gives the same bytes."""
    width, height = SIZES[size]
    seed = hashlib.sha256(name.encode()).digest()
    tone = 150 + seed[0] // 4
    image = Image.new("RGB", (width, height), (tone, tone - 10, tone - 24))
    draw = ImageDraw.Draw(image)
    horizon = height * (40 + seed[1] % 30) // 100
    draw.rectangle((0, horizon, width, height), fill=(tone - 60, tone - 62, tone - 50))
    left, wide = width * (seed[2] % 40) // 100, width * (30 + seed[3] % 25) // 100
    top = height * (15 + seed[4] % 20) // 100
    box = (left, top, left + wide, top + height // 2)
    draw.rectangle(box, fill=(226, 220, 206), outline=(70, 64, 58), width=3)
    draw.ellipse((left + wide, top, left + wide + 60, top + 60), outline=(120, 40, 30))
    draw.line((0, height, width, horizon), fill=(90, 84, 76), width=2)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()


def photo(
    name: str, place: str, caption: str, kind: str = "shows_it"
) -> dict[str, Any]:
    renditions = {}
    for size, (width, height) in SIZES.items():
        digest = hashlib.sha256(picture(name, size)).hexdigest()
        renditions[size] = {"sha256": digest, "width": width, "height": height}
    return {
        "id": name,
        "original_sha256": hashlib.sha256(f"original of {name}".encode()).hexdigest(),
        "caption": caption,
        "place": place,
        "kind": kind,
        "taken_local": "March 3, 2026, 10:04 a.m.",
        "marked": kind == "shows_it",
        "renditions": renditions,
    }


def _load(name: str) -> Any:
    return copy.deepcopy(_parsed(name))


@cache
def _parsed(name: str) -> Any:
    return yaml.safe_load((DATA / name).read_text(encoding="utf-8"))


def _heading(plain: dict[str, Any]) -> dict[str, Any]:
    return {
        "schema": 1,
        "kind": "report",
        "number": "R-2026-0141",
        "issue": 1,
        "issued_at": "2026-03-04T23:05:00Z",
        "issued_local": "March 4, 2026",
        "replaces": None,
        "signatures": [
            {
                "name": looker["name"],
                "role": looker["role"],
                "licence": looker["licence"],
                "signed_at": "2026-03-04T22:40:00Z",
                "signed_local": looker["signed_local"],
                "meaning": "I was there and these are my findings.",
            }
            for looker in plain["people"]["looked_by"]
        ],
        "chain": {"seq": 57, "prev": hashlib.sha256(b"release 56").hexdigest()},
    }


def _finding(
    number: int, raw: dict[str, Any], photos: list[dict[str, Any]]
) -> dict[str, Any]:
    shown = [
        photo(f"f{number:02d}-{i}", raw["place"], f"{raw['item'].capitalize()}, {i}.")
        for i in range(1, raw["photos"] + 1)
    ]
    photos.extend(shown)
    deed = DEEDS[raw["timing"]].format(TRADES[raw["trade"]])
    return {
        "id": f"f{number:02d}",
        "number": number,
        "place": _load("visit.yaml")["places"][raw["place"]]["name"],
        "place_id": raw["place"],
        "system": _load("visit.yaml")["systems"][raw["system"]]["label"],
        "system_key": raw["system"],
        "item": raw["item"],
        "consequence": _labelled(raw["consequence"], CONSEQUENCES),
        "timing": _labelled(raw["timing"], TIMINGS),
        "trade": _labelled(raw["trade"], TRADES),
        "sentence": f"{CONSEQUENCES[raw['consequence']]}. {deed}",
        "words": {part: raw[part] for part in ("seen", "matters", "action", "when")},
        "age_note": raw.get("age", ""),
        "photos": [one["id"] for one in shown],
        "in_front": raw.get("front", False),
        "places": [raw["place"], *raw.get("also", [])],
        "author": "Ines Calloway",
    }


def _labelled(key: str, labels: dict[str, str]) -> dict[str, str]:
    return {"key": key, "label": labels[key]}


def _place(
    key: str,
    raw: dict[str, Any],
    findings: list[dict[str, Any]],
    photos: list[dict[str, Any]],
) -> dict[str, Any]:
    views = [
        photo(
            f"{key}-view-{i}", key, f"{raw['name']}, general view {i}.", "general_view"
        )
        for i in range(1, raw["general"] + 1)
    ]
    photos.extend(views)
    return {
        "id": key,
        "name": raw["name"],
        "kind": raw["kind"],
        "floor": raw.get("floor", ""),
        "corner": raw.get("corner", ""),
        "method_words": raw["method"],
        "looked": ["Looked at, nothing noted: " + "; ".join(raw["looked"])],
        "findings": [f["id"] for f in findings if key in f["places"]],
        "photos": [one["id"] for one in views],
        "limits": raw.get("limits", []),
    }


def _system(
    key: str, raw: dict[str, Any], findings: list[dict[str, Any]]
) -> dict[str, Any]:
    return {
        "key": key,
        "label": raw["label"],
        "described": [
            {"label": label, "text": text} for label, text in raw["described"].items()
        ],
        "looked": raw.get("looked", []),
        "counts": raw.get("counts", []),
        "findings": [f["id"] for f in findings if f["system_key"] == key],
    }


def _panel(raw: dict[str, Any]) -> dict[str, Any]:
    panel = {key: raw[key] for key in raw if key != "breakers"}
    rows = [_breaker(line) for line in raw["breakers"].splitlines()]
    for space in raw["spaces"]:
        space["findings"] = [f"f{n:02d}" for n in space.get("findings", [])]
    panel["findings"] = [f"f{n:02d}" for n in raw["findings"]]
    panel["spaces"] = sorted([*rows, *raw["spaces"]], key=lambda row: row["number"])
    return panel


def _breaker(line: str) -> dict[str, Any]:
    rating, label, protection, *findings = line.split("|")
    number, amps, poles, size, material = rating.split()
    return {
        "number": int(number),
        "kind": "breaker",
        "amps": int(amps),
        "poles": int(poles),
        "size": size,
        "material": material,
        "how": "read",
        "label": label,
        "state": "on",
        "protection": "ground-fault" if protection == "gfci" else "",
        "findings": [f"f{int(n):02d}" for n in findings],
    }


def _receptacles(rows: list[dict[str, Any]]) -> dict[str, Any]:
    for row in rows:
        for odd in row.get("odd", []):
            odd["finding"] = f"f{odd['finding']:02d}"
    totals = {
        key: sum(row[key] for row in rows)
        for key in ("seen", "tried", "correct", "not_reachable")
    }
    return {"rows": rows, "totals": totals, "note": "Counted in all rooms."}
