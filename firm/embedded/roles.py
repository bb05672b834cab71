"""The two database roles and their database, on any PostgreSQL from 15 on."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlsplit, urlunsplit

import psycopg
from psycopg import sql

OWNER = "kingpost_owner"
APP = "kingpost_app"
DATABASE = "kingpost"
# Django copies template1 for its test databases, so the rights must be there too.
TEMPLATE = "template1"

# The owner makes tables and test databases and sees every firm: migrations, backups.
OWNER_RIGHTS = "LOGIN CREATEDB BYPASSRLS NOSUPERUSER NOCREATEROLE"
# The application is held to row-level security whatever it sends.
APP_RIGHTS = "LOGIN NOCREATEDB NOBYPASSRLS NOSUPERUSER NOCREATEROLE"

Link = psycopg.Connection[tuple[Any, ...]]

DEFAULT_RIGHTS = (
    "GRANT SELECT, INSERT, UPDATE, DELETE ON TABLES TO {app}",
    "GRANT USAGE, SELECT ON SEQUENCES TO {app}",
)


@dataclass(frozen=True, slots=True)
class Passwords:
    """What the two roles sign in with."""

    owner: str
    app: str


def prepare(superuser_url: str, passwords: Passwords) -> None:
    """Make or renew roles, database and default rights; harmless when repeated."""
    with psycopg.connect(superuser_url, autocommit=True) as link:
        _ensure_role(link, OWNER, OWNER_RIGHTS, passwords.owner)
        _ensure_role(link, APP, APP_RIGHTS, passwords.app)
        _ensure_database(link)
    for database in (DATABASE, TEMPLATE):
        with psycopg.connect(with_database(superuser_url, database)) as link:
            for right in DEFAULT_RIGHTS:
                link.execute(
                    sql.SQL(
                        "ALTER DEFAULT PRIVILEGES FOR ROLE {owner} " + right
                    ).format(owner=sql.Identifier(OWNER), app=sql.Identifier(APP))
                )


def _ensure_role(link: Link, name: str, rights: str, password: str) -> None:
    known = link.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [name]).fetchone()
    verb = "ALTER" if known else "CREATE"
    link.execute(
        sql.SQL(f"{verb} ROLE {{role}} WITH {rights} PASSWORD {{password}}").format(
            role=sql.Identifier(name), password=sql.Literal(password)
        )
    )


def _ensure_database(link: Link) -> None:
    known = link.execute(
        "SELECT 1 FROM pg_database WHERE datname = %s", [DATABASE]
    ).fetchone()
    if known:
        return
    link.execute(
        sql.SQL("CREATE DATABASE {database} OWNER {owner} ENCODING 'UTF8'").format(
            database=sql.Identifier(DATABASE), owner=sql.Identifier(OWNER)
        )
    )


def with_database(url: str, database: str) -> str:
    """Return the same server's address for another database."""
    return urlunsplit(urlsplit(url)._replace(path=f"/{database}"))


def address(superuser_url: str, role: str, password: str) -> str:
    """Return the database's address for one of the two roles."""
    parts = urlsplit(with_database(superuser_url, DATABASE))
    server = parts.netloc.rpartition("@")[2]
    return urlunsplit(parts._replace(netloc=f"{role}:{quote(password)}@{server}"))
