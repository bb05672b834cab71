"""Every address that writes, asked by strangers and by nobody: nothing moves."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.db import connection
from django.urls import get_resolver, reverse

from firm.tenancy import bind
from tests.access.matrix import ROWS
from tests.access.test_matrix import parts_of
from tests.access.world import client_of, ids_of, released_walk, url_patterns
from tests.support.cast import Cast

pytestmark = pytest.mark.django_db

# Open to anybody by design, each with tests of its own.
OPEN = {"sign-in", "sign-out", "healthz", "readyz", "home", "verify", "api-schema"}
OPEN |= {"api-sign-in", "api-sign-out", "robots"}
PUSH = "api-visit-push"
# Behind a secret address or an opened share link.
SECRET = {name for name in (row.url_name for row in ROWS) if name.startswith("share-")}
SECRET = {name for name in SECRET if not name.startswith("share-link")}


def digest_of_rows() -> str:
    """One digest of all rows of the bound firm, but for what reading itself notes."""
    quiet = {"reports_linkopening"}
    tables = sorted(
        model._meta.db_table
        for model in apps.get_models()
        if any(f.name == "firm" for f in model._meta.local_fields)
    )
    parts = []
    with connection.cursor() as cursor:
        for table in tables:
            if table in quiet:
                continue
            cursor.execute(
                "select md5(coalesce(string_agg(t::text, chr(10) order by t::text), "
                f"'')) from \"{table}\" t"
            )
            parts.append(f"{table} {cursor.fetchone()[0]}")
    return "\n".join(parts)


@pytest.mark.parametrize("person", ["stranger", "nobody"])
def test_nobody_from_outside_changes_anything(cast: Cast, person: str) -> None:
    ids = ids_of(released_walk(cast))
    bind(cast.northside.pk)
    before = digest_of_rows()
    client = client_of(cast, person)
    let_in = []
    for found in url_patterns(get_resolver()):
        name = str(found.name)
        if name in OPEN or name in SECRET:
            continue
        address = reverse(name, kwargs={part: ids[part] for part in parts_of(name)})
        for method in ("post", "put", "patch", "delete"):
            status = getattr(client, method)(
                address, data="{}", content_type="application/json"
            ).status_code
            # A push is refused for its form before anybody asks whose visit it is.
            fine = {302, 401, 404, 405, 412} | ({400} if name == PUSH else set())
            if status not in fine:
                let_in.append(f"{method} {name}: {status}")
    bind(cast.northside.pk)

    assert not let_in, "\n".join(let_in)
    assert digest_of_rows() == before
