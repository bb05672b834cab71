"""Binding a firm to the database's own row security."""

from collections.abc import Iterator
from contextlib import contextmanager
from uuid import UUID

from django.db import connection, transaction


def bind(firm_id: UUID | str) -> None:
    """Let the current transaction see one firm's rows, until it ends."""
    _set("app.firm", str(firm_id))


def bind_user(user_id: UUID | str) -> None:
    """Let the current transaction see this user's own memberships."""
    _set("app.user", str(user_id))


@contextmanager
def bound(firm_id: UUID | str) -> Iterator[None]:
    """Open a transaction that sees one firm's rows and no others."""
    with transaction.atomic():
        bind(firm_id)
        yield


def _set(name: str, value: str) -> None:
    # true: local to the transaction, so that a pooled connection forgets it.
    with connection.cursor() as cursor:
        cursor.execute("select set_config(%s, %s, true)", [name, value])
