"""What was made elsewhere is named, licensed and byte for byte what was fetched."""

import hashlib
import tomllib
from pathlib import Path
from typing import Any

from tests.architecture.sources import ROOT, shown

VENDOR = ROOT / "static" / "vendor"
FONTS = ROOT / "static" / "fonts"
FIELDS = {"name", "version", "licence", "origin", "used_by", "files"}


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def entries() -> list[dict[str, Any]]:
    listed = VENDOR / "VENDORED.toml"
    if not listed.exists():
        return []
    found: list[dict[str, Any]] = tomllib.loads(listed.read_text())["module"]
    return found


def test_each_entry_says_all_it_must():
    for entry in entries():
        assert set(entry) == FIELDS, entry.get("name")
        folder = f"{entry['name']}-{entry['version']}/"
        assert all(name.startswith(folder) for name in entry["files"])
        assert any("LICENSE" in name.upper() for name in entry["files"])
        assert all((ROOT / user).exists() for user in entry["used_by"])


def test_the_bytes_are_those_that_were_fetched():
    for entry in entries():
        for name, expected in entry["files"].items():
            assert digest(VENDOR / name) == expected, name


def test_nothing_is_vendored_unnamed():
    named = {name for entry in entries() for name in entry["files"]}
    present = {
        str(path.relative_to(VENDOR))
        for path in VENDOR.rglob("*")
        if path.is_file() and path.name != "VENDORED.toml"
    }
    assert present == named


def test_the_fonts_are_those_that_were_fetched():
    listed = {}
    for line in (FONTS / "SHA256SUMS").read_text().splitlines():
        expected, name = line.split(maxsplit=1)
        listed[name.lstrip("*")] = expected
    present = {p.name: digest(p) for p in FONTS.glob("*.woff2")}
    assert present
    assert {name: listed.get(name) for name in present} == present, shown(FONTS)
