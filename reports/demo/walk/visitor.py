"""One person at a browser: cookies of their own, pages, forms and the API."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Self
from urllib.parse import urljoin

import httpx

from reports.demo.walk.pages import Form, Page, read

OK, FOUND, REFUSED = 200, 302, 409
_PATIENCE = httpx.Timeout(60.0)


class WalkFailed(Exception):
    """A step did not end as it should; the message says what was seen instead."""


class Visitor:
    """Somebody with a browser; every answer that was not expected ends the walk."""

    def __init__(self, address: str, name: str, go_on: Callable[[], None]) -> None:
        self.name = name
        self.address = address
        # Asked before each request: somebody may want to stop, or a server died.
        hooks = {"request": [lambda _request: go_on()]}
        self.http = httpx.Client(
            base_url=address, timeout=_PATIENCE, event_hooks=hooks, trust_env=False
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.http.close()

    def open(self, path: str, *, status: int = OK) -> Page:
        """Open a page, following redirects as a browser does."""
        return self._page(self.http.get(path, follow_redirects=True), status)

    def follow(self, page: Page, says: str = "", *, to: str = "") -> Page:
        """Follow the first link of a page with these words or this end."""
        address = page.link(says, to=to)
        if not address:
            raise WalkFailed(f"{page.url} has no link “{says or to}”: {_short(page)}")
        return self.open(address)

    def send(
        self, page: Page, form: Form | None, *, status: int = OK, **typed: Any
    ) -> Page:
        """Fill in a form of a page and send it; return the page that follows.

        Asked for FOUND, it stays with the answer and does not load what follows.
        """
        if form is None:
            raise WalkFailed(f"{page.url} has no such form. It says: {_short(page)}")
        answer = self.http.post(
            urljoin(page.url, form.action) if form.action else page.url,
            data=_grouped(form.filled(**typed)),
            headers={"Referer": page.url, "Origin": self.address},
            follow_redirects=status != FOUND,
        )
        return self._page(answer, status)

    def sign_in(self, email: str, password: str) -> None:
        """Sign in by the form of the sign-in page."""
        page = self.open("/sign-in/")
        form = page.form("username", "password")
        if form is None:
            raise WalkFailed("The sign-in page has no form to sign in.")
        typed = form.filled(username=email, password=password)
        answer = self.http.post("/sign-in/", data=_grouped(typed))
        if answer.status_code != FOUND:
            page = read(str(answer.url), answer.status_code, answer.text)
            raise WalkFailed(f"{email} could not sign in: {_short(page)}")

    def call(
        self,
        method: str,
        path: str,
        *,
        status: int = OK,
        body: Any = None,
        content: bytes | None = None,
        headers: dict[str, str] | None = None,
    ) -> httpx.Response:
        """Call an operation of the API with the token for writing."""
        answer = self.http.request(
            method,
            path,
            json=body,
            content=content,
            headers={"X-CSRFToken": self.http.cookies.get("csrf") or ""}
            | (headers or {}),
        )
        if answer.status_code != status:
            raise WalkFailed(
                f"{method} {path} answered {answer.status_code} instead of {status}: "
                f"{answer.text[:600]}"
            )
        return answer

    def file(self, path: str, media: str) -> bytes:
        """Load a file and hold it to its kind."""
        answer = self.call("GET", path)
        kind = answer.headers.get("Content-Type", "")
        if not kind.startswith(media):
            raise WalkFailed(f"{path} is {kind or 'of no kind'}, not {media}.")
        return answer.content

    def _page(self, answer: httpx.Response, status: int) -> Page:
        page = read(str(answer.url), answer.status_code, answer.text)
        if answer.status_code != status:
            raise WalkFailed(
                f"{page.url} answered {page.status} instead of {status}: {_short(page)}"
            )
        return page


def _grouped(pairs: list[tuple[str, str]]) -> dict[str, list[str]]:
    grouped: dict[str, list[str]] = {}
    for name, value in pairs:
        grouped.setdefault(name, []).append(value)
    return grouped


def _short(page: Page, most: int = 700) -> str:
    return page.text if len(page.text) <= most else f"{page.text[:most]} …"
