"""The database, two firms and their people, for every test."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.conf import settings
from django.db import connections
from django.template import Template
from django.test.utils import setup_databases, teardown_databases

from tests.support.cast import Cast, make_cast


@pytest.fixture(scope="session")
def django_db_setup(
    request: pytest.FixtureRequest,
    django_test_environment: None,
    django_db_blocker: Any,
    django_db_modify_db_settings: None,
) -> Iterator[None]:
    """Make the test database as its owner; the tests then work as the app's role."""
    keep = request.config.getvalue("reuse_db") and not request.config.getvalue(
        "create_db"
    )
    with django_db_blocker.unblock():
        made = setup_databases(
            verbosity=0, interactive=False, keepdb=keep, aliases={"owner": {}}
        )
        name = connections["owner"].settings_dict["NAME"]
        connections["default"].close()
        connections["default"].settings_dict["NAME"] = name
        settings.DATABASES["default"]["NAME"] = name
        with connections["owner"].cursor() as cursor:
            # Only here: tests that commit must be able to empty the tables again.
            cursor.execute(
                "grant truncate on all tables in schema public to "
                f'"{settings.FIRM_DB_APP_ROLE}"'
            )
    yield
    if not keep:
        with django_db_blocker.unblock():
            connections["default"].close()
            teardown_databases(made, verbosity=0)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(request: pytest.FixtureRequest) -> None:
    """Give each parallel worker a test database of its own."""
    worker = getattr(request.config, "workerinput", {}).get("workerid", "")
    if worker:
        for alias in ("default", "owner"):
            test = connections[alias].settings_dict["TEST"]
            test["NAME"] = f"{test['NAME']}_{worker}"


@pytest.fixture
def cast(db: None) -> Cast:
    """Northside with its people, and another firm with a stranger in it."""
    return make_cast()


@pytest.fixture(autouse=True)
def templates_run_no_queries(monkeypatch: pytest.MonkeyPatch) -> None:
    """Selectors fetch, templates only print."""
    from django.db import connection

    render = Template.render

    def refuse(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        # Sessions load late by design; the operator's log is Django's own page.
        if "django_session" in sql or "django_admin_log" in sql:
            return execute(sql, params, many, context)
        raise AssertionError(f"query while rendering: {sql}")

    def guarded(self: Template, context: Any) -> Any:
        with connection.execute_wrapper(refuse):
            return render(self, context)

    monkeypatch.setattr(Template, "render", guarded)


@pytest.fixture(autouse=True)
def no_work_left_over() -> None:
    """Each test starts with an empty cache, so that throttles do not carry over."""
    from django.core.cache import cache

    cache.clear()


NEEDS = {"db", "transactional_db", "live_server", "cast"}


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--servers-only",
        action="store_true",
        help="only tests that speak to PostgreSQL or Redis, for a second pair of them",
    )


def pytest_collection_modifyitems(
    config: pytest.Config, items: list[pytest.Item]
) -> None:
    """Leave out what reads neither server: a second pair cannot change its answer."""
    if not config.getoption("--servers-only"):
        return
    apart = [item for item in items if not _speaks_to_a_server(item)]
    config.hook.pytest_deselected(items=apart)
    items[:] = [item for item in items if _speaks_to_a_server(item)]


def _speaks_to_a_server(item: pytest.Item) -> bool:
    named = set(getattr(item, "fixturenames", ()))
    marked = item.get_closest_marker("django_db") is not None
    # The tests of the base look after caches, queues and servers in many ways.
    return marked or bool(named & NEEDS) or "tests/firm/" in item.nodeid
