"""One Chromium for each browser test, beside a database that the server shares."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import connections
from playwright.sync_api import Browser

from tests.support.browser import chromium


@pytest.fixture
def browser(monkeypatch: pytest.MonkeyPatch) -> Iterator[Browser]:
    # The browser's loop runs in this thread, and the tests ask the database beside it.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with chromium() as launched:
        yield launched
        # The loop has connections of its own, which would outlive the test.
        connections.close_all()
