"""Migrations are complete, named by a person, and independent of the app's code."""

import ast
import re

import pytest
from django.core.management import call_command

from tests.architecture.sources import APPS, ROOT, shown, tree_of

NAME = re.compile(r"^\d{4}_[a-z][a-z0-9_]+$")
# Operations written for migrations; they take their models from the state.
MADE_FOR_MIGRATIONS = {"firm.tenancy_sql"}

MIGRATIONS = sorted(
    path
    for app in APPS
    for path in (ROOT / app / "migrations").glob("*.py")
    if path.name != "__init__.py"
)


def imported(tree: ast.Module) -> set[str]:
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
        elif isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
    return found


@pytest.mark.django_db(databases=["default", "owner"])
def test_no_model_change_lacks_its_migration():
    call_command("makemigrations", "--check", "--dry-run", verbosity=0)


def test_each_migration_says_what_it_does():
    assert MIGRATIONS
    unnamed = [
        shown(path)
        for path in MIGRATIONS
        if not NAME.match(path.stem) or "auto" in path.stem.split("_")
    ]
    assert not unnamed, "\n".join(unnamed)


def test_data_migrations_do_not_import_the_apps():
    """The app's code moves on; what a migration did must not."""
    leaning = [
        f"{shown(path)}: {name}"
        for path in MIGRATIONS
        if "RunPython" in path.read_text()
        for name in imported(tree_of(path)) - MADE_FOR_MIGRATIONS
        if name.split(".")[0] in APPS
    ]
    assert not leaning, "\n".join(leaning)
