"""A database, a web server that can be killed, and one visit, for the fault harness."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Any, Self
from urllib.parse import urlsplit, urlunsplit
from uuid import uuid4

import psycopg
from django.conf import settings
from django.db import connections, transaction
from django.test.utils import setup_databases, teardown_databases
from psycopg import sql

from firm.embedded.places import free_port
from firm.models import Installation
from firm.tenancy import bound
from inspections.models import LogRow, Visit
from tests.support.cast import Cast, make_cast
from tests.support.visits import make_visit

ROOT = Path(__file__).resolve().parents[2]
READY_WITHIN = 60.0


class Database:
    """A database of the harness's own, made with real migrations, thrown away after."""

    def __enter__(self) -> Self:
        self._made = setup_databases(
            verbosity=0, interactive=False, keepdb=False, aliases={"owner": {}}
        )
        self.name = str(connections["owner"].settings_dict["NAME"])
        connections["default"].close()
        connections["default"].settings_dict["NAME"] = self.name
        settings.DATABASES["default"]["NAME"] = self.name
        return self

    def __exit__(self, *_: object) -> None:
        connections["default"].close()
        url = _renamed(os.environ["DATABASE_OWNER_URL"], "postgres")
        with psycopg.connect(url, autocommit=True) as link:
            copy = sql.Identifier(f"{self.name}_backup")
            link.execute(sql.SQL("drop database if exists {}").format(copy))
        teardown_databases(self._made, verbosity=0)

    def environment(self) -> dict[str, str]:
        """Return what points a process of its own at this database."""
        names = ("DATABASE_URL", "DATABASE_OWNER_URL")
        return {name: _renamed(os.environ[name], self.name) for name in names}


def _renamed(url: str, name: str) -> str:
    parts = urlsplit(url)
    return urlunsplit(parts._replace(path=f"/{name}"))


@dataclass
class Server:
    """The real web server in a process group of its own."""

    database: Database
    folder: Path
    wsgi: str = "firm.wsgi:application"
    port: str = field(default_factory=lambda: free_port("8123"))
    kills: int = 0
    _process: subprocess.Popen[bytes] | None = None

    @property
    def base(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        log = (self.folder / "web.log").open("ab")
        self._process = subprocess.Popen(
            [
                *(sys.executable, "-m", "gunicorn", self.wsgi),
                *("--bind", f"127.0.0.1:{self.port}", "--no-control-socket"),
                *("--worker-class", "gthread", "--workers", "2", "--threads", "4"),
            ],
            cwd=ROOT,
            env=os.environ
            | self.database.environment()
            | {
                "FIRM_VAR_DIR": str(self.folder),
                "DJANGO_SETTINGS_MODULE": "firm.settings",
            },
            stdout=log,
            stderr=log,
            start_new_session=True,
        )
        self._wait()

    def _wait(self) -> None:
        until = time.monotonic() + READY_WITHIN
        while time.monotonic() < until:
            link = HTTPConnection("127.0.0.1", int(self.port), timeout=2)
            try:
                link.request("GET", "/healthz")
                if link.getresponse().status == 200:
                    return
            except (OSError, HTTPException):
                time.sleep(0.1)
            finally:
                link.close()
        raise RuntimeError("the web server did not come up")

    def kill(self) -> None:
        """End it in mid-work, with no chance to tidy up."""
        if self._process is not None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()
            self._process = None
            self.kills += 1


def copy_database(source: str, target: str) -> None:
    """Make `target` anew as `source` is; nobody may be connected to either."""
    url = _renamed(os.environ["DATABASE_OWNER_URL"], "postgres")
    to, of = sql.Identifier(target), sql.Identifier(source)
    with psycopg.connect(url, autocommit=True) as link:
        _once_alone(link, sql.SQL("drop database if exists {}").format(to))
        _once_alone(link, sql.SQL("create database {} template {}").format(to, of))


def _once_alone(link: psycopg.Connection[Any], statement: sql.Composed) -> None:
    """Run it as soon as what the killed server left behind has gone."""
    until = time.monotonic() + READY_WITHIN
    while True:
        try:
            link.execute(statement)
        except psycopg.errors.ObjectInUse:
            if time.monotonic() > until:
                raise
            time.sleep(0.1)
        else:
            return


class Killer(threading.Thread):
    """Kills the server now and then, and starts it again, until told to stop."""

    def __init__(self, server: Server, seed: int, every: float) -> None:
        super().__init__(daemon=True)
        self.server, self.every = server, every
        self.chance = random.Random(seed)
        self.over = threading.Event()
        self.lock = threading.Lock()

    def run(self) -> None:
        while not self.over.wait(self.every * (0.5 + self.chance.random())):
            with self.lock:
                self.server.kill()
                time.sleep(self.chance.random() * 0.3)
                self.server.start()

    def backup(self) -> None:
        """Copy the database as it is, as a nightly backup would."""
        name = self.server.database.name
        with self.lock:
            self.server.kill()
            connections.close_all()
            copy_database(name, f"{name}_backup")
            self.server.start()

    def restore(self) -> None:
        """Bring back the older database; the server begins another life."""
        name = self.server.database.name
        with self.lock:
            self.server.kill()
            connections.close_all()
            copy_database(f"{name}_backup", name)
            url = _renamed(os.environ["DATABASE_OWNER_URL"], name)
            with psycopg.connect(url, autocommit=True) as link:
                link.execute(
                    "update firm_installation set incarnation = gen_random_uuid()"
                )
            self.server.start()

    def stop(self) -> None:
        self.over.set()
        self.join()


@dataclass(frozen=True)
class World:
    """Who works on which visit, and how they are signed in."""

    cast: Cast
    visit: Visit
    cookie: str
    records: tuple[str, ...]


def make_world(records: int) -> World:
    """Make a firm, a visit and a signed-in inspector, committed."""
    Installation.objects.get_or_create()
    cast = make_committed_cast()
    with bound(cast.northside.pk):
        visit = make_visit(cast.ines)
    client = cast.ines.client()
    name = settings.SESSION_COOKIE_NAME
    ids = tuple(str(uuid4()) for _ in range(records))
    return World(cast, visit, f"{name}={client.cookies[name].value}", ids)


def make_committed_cast() -> Cast:
    with transaction.atomic():
        return make_cast()


def scratch() -> Path:
    return Path(tempfile.mkdtemp(prefix="kingpost-faults-"))


def rows_of(world: World) -> list[dict[str, Any]]:
    """Return the visit's log as the feed would carry it, in version order."""
    with bound(world.cast.northside.pk):
        rows = LogRow.objects.filter(visit=world.visit).order_by("version")
        return [
            {
                "v": row.version,
                "id": str(row.mutation),
                "rec": str(row.rec) if row.rec else None,
                "field": row.field,
                "value": row.value,
                "seen": [str(one) for one in row.seen],
                "status": row.status,
                "release": str(row.releases) if row.releases else None,
            }
            for row in rows
        ]
