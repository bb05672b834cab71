"""Both servers together: started once, however many ask, and stopped again."""

from firm.embedded import postgres, roles, valkey
from firm.embedded.places import (
    EmbeddedError,
    Instance,
    free_port,
    fresh_secret,
    keep_facts,
    locked,
    read_facts,
)

# Between finding a free port and binding it, somebody else may take it.
PORT_TRIES = 3


def start(place: Instance, *, to_stay: bool = True) -> dict[str, str]:
    """Start what does not run yet; return the environment that names both.

    Servers that are to stay run until they are stopped by name.
    """
    with locked(place):
        facts = read_facts(place)
        if not postgres.is_running(place):
            _start_postgres(place, facts)
        if not valkey.is_running(facts):
            _start_valkey(place, facts)
        if to_stay:
            facts["stay"] = "yes"
        facts.setdefault("secret_key", fresh_secret())
        keep_facts(place, facts)
        return environment(facts)


def stop(place: Instance) -> None:
    """Stop both servers; their data stays."""
    with locked(place):
        facts = read_facts(place)
        valkey.stop(place, facts)
        postgres.stop(place)
        if facts.pop("stay", None):
            keep_facts(place, facts)


def status(place: Instance) -> dict[str, bool]:
    """Tell which of the two servers runs."""
    return {
        "PostgreSQL": postgres.is_running(place),
        "Valkey": valkey.is_running(read_facts(place)),
    }


def environment(facts: dict[str, str]) -> dict[str, str]:
    """Return the variables that the settings read."""
    server = postgres.superuser_url(facts)
    return {
        "DATABASE_URL": roles.address(server, roles.APP, facts["app_password"]),
        "DATABASE_OWNER_URL": roles.address(
            server, roles.OWNER, facts["owner_password"]
        ),
        "REDIS_URL": valkey.url(facts),
        "FIRM_SECRET_KEY": facts["secret_key"],
    }


def _start_postgres(place: Instance, facts: dict[str, str]) -> None:
    postgres.ensure_cluster(place, facts)
    facts.setdefault("owner_password", fresh_secret())
    facts.setdefault("app_password", fresh_secret())
    for attempt in range(1, PORT_TRIES + 1):
        facts["postgres_port"] = free_port(facts.get("postgres_port"))
        keep_facts(place, facts)
        try:
            postgres.start(place, facts["postgres_port"])
            break
        except EmbeddedError:
            if attempt == PORT_TRIES:
                raise
            del facts["postgres_port"]
    passwords = roles.Passwords(facts["owner_password"], facts["app_password"])
    roles.prepare(postgres.superuser_url(facts), passwords)


def _start_valkey(place: Instance, facts: dict[str, str]) -> None:
    facts.setdefault("valkey_password", fresh_secret())
    facts["valkey_port"] = free_port(facts.get("valkey_port"))
    keep_facts(place, facts)
    valkey.start(place, facts["valkey_port"], facts["valkey_password"])
