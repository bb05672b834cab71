"""Every address, asked by everybody."""

from __future__ import annotations

import pytest
from django.urls import get_resolver, reverse

from tests.access.matrix import ROWS
from tests.access.world import PEOPLE, client_of, ids_of, released_walk, url_patterns
from tests.support.cast import Cast

pytestmark = pytest.mark.django_db


def names() -> list[str]:
    return [str(found.name) for found in url_patterns(get_resolver())]


def parts_of(url_name: str) -> list[str]:
    found = get_resolver().reverse_dict.getlist(url_name)
    return list(found[0][0][0][1])


def test_the_matrix_has_a_row_for_every_address() -> None:
    assert sorted(row.url_name for row in ROWS) == sorted(names())


def test_every_cell_of_the_matrix(cast: Cast) -> None:
    ids = ids_of(released_walk(cast))
    clients = {person: client_of(cast, person) for person in PEOPLE}
    wrong = []
    for row in ROWS:
        parts = {name: ids[name] for name in parts_of(row.url_name)}
        address = reverse(row.url_name, kwargs=parts)
        for person, expected in zip(PEOPLE, row.answers, strict=True):
            answer = clients[person].get(address)
            if answer.streaming:
                answer.getvalue()  # read to its end, or its file stays open
            got = answer.status_code
            if got != expected:
                wrong.append(f"{row.url_name} for {person}: {got}, not {expected}")

    assert not wrong, "\n".join(wrong)
