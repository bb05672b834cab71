"""The field client's page, worker and manifest, as a phone fetches them."""

import base64
import hashlib
import json
import re
from typing import Any

import pytest
from django.test import Client

from inspections.selectors.shell import ROOT, shell

pytestmark = pytest.mark.django_db


def worker() -> dict[str, Any]:
    text = Client().get("/field/worker.js").content.decode()
    head = text.splitlines()[0]
    told: dict[str, Any] = json.loads(head.removeprefix("const SHELL = ").rstrip(";"))
    return told


def test_the_page_allows_its_import_map_by_hash_and_no_other_inline_script():
    """CSP level 3, section 8.3: a hash source names the text between the tags."""
    answer = Client().get("/field/v/anything/at/all")

    page = answer.content.decode()
    inline = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>(.*?)</script>", page, re.DOTALL)
    made = base64.b64encode(hashlib.sha256(inline[0].encode()).digest()).decode()
    policy = answer.headers["Content-Security-Policy"]
    scripts = re.search(r"script-src ([^;]*)", policy)[1].split()
    assert len(inline) == 1
    assert f"'sha256-{made}'" in scripts
    assert not {"'unsafe-inline'", "'unsafe-eval'"} & set(scripts)


def test_each_bare_name_of_the_import_map_is_a_vendored_file():
    page = Client().get("/field/").content.decode()

    written = page.split('type="importmap">')[1].split("</script>")[0]
    names = json.loads(written)["imports"]

    assert {"preact", "preact/hooks", "htm", "@preact/signals"} <= set(names)
    for address in names.values():
        assert (ROOT / address.removeprefix("/static/")).is_file()


def test_the_worker_keeps_every_module_that_another_imports():
    kept = set(worker()["files"])

    for name in sorted(kept):
        if not name.endswith(".js"):
            continue
        path = ROOT / name.removeprefix("/static/")
        for found in re.findall(r'from "(\.[^"]+)"', path.read_text()):
            wanted = (path.parent / found).resolve().relative_to(ROOT.resolve())
            assert f"/static/{wanted.as_posix()}" in kept, (name, found)


def test_the_worker_keeps_every_stylesheet_font_and_picture_that_the_page_names():
    kept = set(worker()["files"])
    page = Client().get("/field/").content.decode()

    named = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page))
    sheet = (ROOT / "css/field.css").read_text()
    named |= {f"/static/css/{one}" for one in re.findall(r'url\("([^"]+)"\)', sheet)}

    assert named <= kept
    assert not [name for name in kept if "/css/print/" in name or "/img/tour/" in name]


def test_another_file_makes_another_version(settings, tmp_path, monkeypatch):
    before = shell().version
    monkeypatch.setattr("inspections.selectors.shell.ROOT", tmp_path)
    for name in ("js/field", "js/rules", "css"):
        (tmp_path / name).mkdir(parents=True)
    (tmp_path / "js/field/worker.js").write_text("// one")
    monkeypatch.setattr("inspections.selectors.shell.SINGLE", ())
    settings.DEBUG = True

    versions = [before, shell().version]
    (tmp_path / "js/field/more.js").write_text("export const more = 1;")
    versions.append(shell().version)

    assert len(set(versions)) == 3


def test_the_worker_may_only_serve_its_own_part_and_is_always_asked_for_anew():
    answer = Client().get("/field/worker.js")

    assert answer.headers["Service-Worker-Allowed"] == "/field/"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert "skipWaiting()" in answer.content.decode()
    assert "/api/" not in "".join(worker()["files"])


def test_the_manifest_makes_it_installable():
    """W3C Web Application Manifest: name, start address within scope, icons."""
    told = Client().get("/field/app.webmanifest").json()

    assert told["start_url"].startswith(told["scope"])
    assert told["display"] == "standalone"
    assert {"192x192", "512x512"} <= {icon["sizes"] for icon in told["icons"]}
    for icon in told["icons"]:
        assert (ROOT / icon["src"].removeprefix("/static/")).is_file()


def test_the_camera_is_allowed_there_and_nowhere_else():
    field = Client().get("/field/").headers["Permissions-Policy"]
    other = Client().get("/sign-in/").headers["Permissions-Policy"]

    assert "camera=(self)" in field
    assert "camera=()" in other
