"""The embedded servers: started once, kept apart by role, stopped with data kept."""

import os
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psycopg
import pytest
import redis

from firm.embedded import postgres, roles, run, servers
from firm.embedded.places import Instance, read_facts

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def place() -> Iterator[Instance]:
    home = Path(tempfile.mkdtemp(prefix="kingpost-embedded-"))
    made = Instance(home=home, durable=False)
    yield made
    servers.stop(made)
    shutil.rmtree(home)


@pytest.fixture
def variables(place: Instance) -> dict[str, str]:
    return servers.start(place)


def answer(url: str, question: str) -> object:
    with psycopg.connect(url) as link:
        row = link.execute(question).fetchone()
    assert row is not None
    return row[0]


def postmaster(place: Instance) -> int:
    return int((place.postgres / "postmaster.pid").read_text().splitlines()[0])


def test_both_servers_answer(variables, place):
    assert answer(variables["DATABASE_URL"], "select current_user") == roles.APP
    assert answer(variables["DATABASE_OWNER_URL"], "select current_user") == roles.OWNER
    assert redis.Redis.from_url(variables["REDIS_URL"]).ping()
    assert servers.status(place) == {"PostgreSQL": True, "Valkey": True}


def test_a_second_start_finds_the_first(variables, place):
    before = postmaster(place)

    assert servers.start(place) == variables
    assert postmaster(place) == before


def test_many_may_start_at_once(variables, place):
    servers.stop(place)

    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda _: servers.start(place), range(4)))

    assert all(one == found[0] for one in found)
    assert answer(found[0]["DATABASE_URL"], "select 1") == 1


def test_data_and_addresses_outlive_a_stop(variables, place):
    with psycopg.connect(variables["DATABASE_OWNER_URL"]) as link:
        link.execute("create table kept (word text)")
        link.execute("insert into kept values ('still here')")

    servers.stop(place)

    assert servers.status(place) == {"PostgreSQL": False, "Valkey": False}
    assert servers.start(place) == variables
    assert answer(variables["DATABASE_URL"], "select word from kept") == "still here"


def test_a_killed_server_starts_again(variables, place):
    os.kill(postmaster(place), signal.SIGKILL)
    deadline = time.monotonic() + 20
    while postgres.is_running(place) and time.monotonic() < deadline:
        time.sleep(0.1)

    again = servers.start(place)

    assert answer(again["DATABASE_URL"], "select 1") == 1


@pytest.mark.parametrize(
    ("role", "expected"),
    [
        (roles.OWNER, (True, False, True, False, True)),
        (roles.APP, (True, False, False, False, False)),
    ],
)
def test_each_role_may_do_just_what_it_needs(variables, role, expected):
    with psycopg.connect(variables["DATABASE_URL"]) as link:
        rights = link.execute(
            "select rolcanlogin, rolsuper, rolcreatedb, rolcreaterole, rolbypassrls "
            "from pg_roles where rolname = %s",
            [role],
        ).fetchone()

    assert rights == expected


def test_the_application_works_in_tables_it_does_not_own(variables):
    with psycopg.connect(variables["DATABASE_OWNER_URL"]) as owner:
        owner.execute("create table ours (id serial, word text)")

    with psycopg.connect(variables["DATABASE_URL"]) as app:
        app.execute("insert into ours (word) values ('a')")
        app.execute("update ours set word = 'b'")
        app.execute("delete from ours")
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            app.execute("drop table ours")


def test_row_security_binds_the_application_and_not_the_owner(variables):
    with psycopg.connect(variables["DATABASE_OWNER_URL"]) as owner:
        owner.execute("create table rows_apart (id int)")
        owner.execute("insert into rows_apart values (1)")
        owner.execute("alter table rows_apart enable row level security")
        owner.execute("alter table rows_apart force row level security")

    count = "select count(*) from rows_apart"
    assert answer(variables["DATABASE_URL"], count) == 0
    assert answer(variables["DATABASE_OWNER_URL"], count) == 1


def test_a_wrong_password_is_refused(variables):
    wrong = variables["DATABASE_URL"].replace("kingpost_app:", "kingpost_app:x")

    with pytest.raises(psycopg.OperationalError, match="password"):
        psycopg.connect(wrong)
    with pytest.raises(redis.exceptions.AuthenticationError):
        redis.Redis.from_url(variables["REDIS_URL"].replace("//:", "//:x")).ping()


def test_secrets_are_for_this_user_only(variables, place):
    assert place.facts_file.stat().st_mode & 0o077 == 0
    assert (place.valkey / "valkey.conf").stat().st_mode & 0o077 == 0


def test_preparing_again_renews_the_passwords(variables, place):
    server = postgres.superuser_url(read_facts(place))
    roles.prepare(server, roles.Passwords(owner="new1", app="new2"))

    assert answer(roles.address(server, roles.APP, "new2"), "select 1") == 1
    with pytest.raises(psycopg.OperationalError):
        psycopg.connect(variables["DATABASE_URL"])

    facts = read_facts(place)
    old = roles.Passwords(facts["owner_password"], facts["app_password"])
    roles.prepare(server, old)
    assert answer(variables["DATABASE_URL"], "select 1") == 1


def command(code: str) -> list[str]:
    return [sys.executable, "-c", code]


def test_run_hands_over_the_addresses_and_the_exit_code(place):
    code = run.run(
        place,
        command("import os, sys; sys.exit(len(os.environ['DATABASE_URL']) > 9 and 7)"),
        {},
    )

    assert code == 7


def test_run_leaves_servers_that_are_to_stay(variables, place):
    run.run(place, command("pass"), {})

    assert all(servers.status(place).values())


def test_run_stops_what_nobody_else_needs(variables, place):
    servers.stop(place)

    run.run(place, command("pass"), {})

    assert servers.status(place) == {"PostgreSQL": False, "Valkey": False}
