"""Libraries of others that the browser loads are exactly what they say they are."""

import hashlib
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
VENDOR = ROOT / "static" / "vendor"
FILES = tomllib.loads((VENDOR / "VENDORED.toml").read_text())["file"]


@pytest.mark.parametrize("row", FILES, ids=[row["path"] for row in FILES])
def test_a_vendored_file_has_its_digest_its_license_and_its_user(row):
    content = (VENDOR / row["path"]).read_bytes()

    assert hashlib.sha256(content).hexdigest() == row["sha256"]
    assert (VENDOR / row["license_file"]).read_text().strip()
    assert row["why"]
    for user in row["used_by"]:
        assert row["path"].rsplit("/", 1)[0] in (ROOT / user).read_text()


def test_nothing_else_is_vendored():
    told = {row[name] for row in FILES for name in ("path", "license_file")}
    found = {
        path.relative_to(VENDOR).as_posix()
        for path in VENDOR.rglob("*")
        if path.is_file() and path.name != "VENDORED.toml"
    }

    assert found == told
