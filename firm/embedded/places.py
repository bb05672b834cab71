"""Where an embedded instance keeps its data, its secrets and its lock."""

import fcntl
import json
import secrets
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import cast

ROOT = Path(__file__).resolve().parents[2]


class EmbeddedError(Exception):
    """A server could not be prepared, started or stopped; the text says why."""


@dataclass(frozen=True, slots=True)
class Instance:
    """One pair of servers; the one for tests gives up durability for speed."""

    home: Path
    durable: bool

    @property
    def postgres(self) -> Path:
        """Return the directory of the PostgreSQL cluster."""
        return self.home / "postgres"

    @property
    def valkey(self) -> Path:
        """Return the directory of the Valkey server."""
        return self.home / "valkey"

    @property
    def logs(self) -> Path:
        """Return the directory of both servers' log files."""
        return self.home / "log"

    @property
    def facts_file(self) -> Path:
        """Return the file that keeps ports and passwords between starts."""
        return self.home / "embedded.json"


def instance(*, for_tests: bool = False) -> Instance:
    """Return this checkout's instance: var/ or, for tests, var/tests/."""
    var = ROOT / "var"
    return Instance(home=var / "tests" if for_tests else var, durable=not for_tests)


@contextmanager
def locked(place: Instance) -> Iterator[None]:
    """Let one process at a time start or stop this instance."""
    place.home.mkdir(parents=True, exist_ok=True)
    with (place.home / "embedded.lock").open("w") as handle:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def read_facts(place: Instance) -> dict[str, str]:
    """Return the kept ports and passwords; empty before the first start."""
    if not place.facts_file.exists():
        return {}
    return cast("dict[str, str]", json.loads(place.facts_file.read_text()))


def keep_facts(place: Instance, facts: dict[str, str]) -> None:
    """Write ports and passwords so that only this user can read them."""
    fresh = place.facts_file.with_suffix(".new")
    fresh.touch(mode=0o600)
    fresh.write_text(json.dumps(facts, indent=1))
    fresh.replace(place.facts_file)


def fresh_secret() -> str:
    """Return a password that needs no quoting in a URL, a shell or SQL."""
    return secrets.token_hex(20)


def is_free(port: int) -> bool:
    """Tell whether nobody listens on a port of the loopback address."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def free_port(wish: str | None = None) -> str:
    """Return the wished port if it is free, else one the kernel hands out."""
    if wish and is_free(int(wish)):
        return wish
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return str(probe.getsockname()[1])
