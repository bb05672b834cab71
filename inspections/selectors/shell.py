"""The field client as one version: its files, their digest, and its import map."""

from __future__ import annotations

import hashlib
from base64 import b64encode
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.conf import settings
from django.templatetags.static import static

ROOT: Path = settings.BASE_DIR / "static"
PAGES: Path = settings.BASE_DIR / "inspections/templates/inspections/field"
MODULES = ("js/field", "js/rules", "js/standards", "js/lib", "vendor")
SINGLE = ("js/theme_early.js", "js/components/theme_switch.js")
STYLES = ("css", "fonts", "img")
TAKEN = {".js", ".css", ".woff2", ".svg", ".png"}
FIRST = ("screens/day.js", "screens/route.js", "screens/stop.js")
LATER = (
    "/screens/",
    "/rules/house/",
    "image_worker",
    "search.js",
    "zip.js",
    "saved_copy.js",
    "readiness",
)
LEFT_OUT = ("css/print", "css/pages", "img/tour", "js/field/worker.js")


@dataclass(frozen=True, slots=True)
class Shell:
    """Everything the worker keeps on the phone, under one name."""

    version: str
    files: tuple[str, ...]
    import_map_hash: str
    modules: tuple[str, ...]


def shell() -> Shell:
    """Return the client's present version, worked out once in a running server."""
    return _shell() if settings.DEBUG else _kept()


@cache
def _kept() -> Shell:
    return _shell()


def _shell() -> Shell:
    names = sorted(_names())
    digest = hashlib.sha256()
    for name in (*names, "js/field/worker.js"):
        digest.update(f"{name}\n".encode())
        digest.update((ROOT / name).read_bytes())
    digest.update((PAGES / "shell.html").read_bytes())
    written = (PAGES / "import_map.html").read_text()
    return Shell(
        version=digest.hexdigest()[:20],
        files=tuple(static(name) for name in names),
        import_map_hash=_csp_hash(written),
        modules=tuple(static(n) for n in names if _loaded_at_once(n)),
    )


def _names() -> list[str]:
    found = [ROOT / name for name in SINGLE if (ROOT / name).exists()]
    for folder in (*MODULES, *STYLES):
        found += [p for p in (ROOT / folder).rglob("*") if p.suffix in TAKEN]
    names = [path.relative_to(ROOT).as_posix() for path in found]
    return [name for name in names if not name.startswith(LEFT_OUT)]


def _csp_hash(text: str) -> str:
    """Allow exactly this inline text; a hash stays right in a page kept on a phone."""
    made = hashlib.sha256(text.encode()).digest()
    return f"'sha256-{b64encode(made).decode()}'"


def _loaded_at_once(name: str) -> bool:
    """Name what the page needs at its start, so that it is not found file by file."""
    if not name.endswith(".js") or any(part in name for part in LATER):
        return name.endswith(FIRST)
    return name.startswith(("js/field/", "js/rules/", "js/standards/", "vendor/"))
