"""The JavaScript reference client gets its files through, cut and resumed at random.

tus-js-client 4.3.1 (npm, MIT) was written by the authors of the tus 1.0.0 text; it lies
in tests/support/vendor as its package holds it and is used for nothing but this.
"""

from __future__ import annotations

import base64
import hashlib
import random
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from playwright.sync_api import Browser, Page, Route

from firm import storage
from firm.models import Installation
from firm.tenancy import bound
from inspections.models import PhotoFile, Visit
from tests.support.browser import page_of
from tests.support.cast import Cast, make_cast
from tests.support.uploads import a_jpeg
from tests.support.visits import make_visit

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]

CLIENT = Path(__file__).parents[1] / "support/vendor/tus-js-client-4.3.1/tus.min.js"
SHA256 = "8cbb1b63fccc3bba0ae73ad1deb160ce046c3750851d0c3e94921ae3ef070eb8"
FILES = 8
SEND = """
async ({files, token, chunk, stops}) => {
  const sent = [];
  for (const [at, file] of files.entries()) {
    const bytes = Uint8Array.from(atob(file.base64), (one) => one.charCodeAt(0));
    const options = (more) => ({
      endpoint: '/api/sync/v1/photos/', headers: {'X-CSRFToken': token},
      chunkSize: chunk,
      retryDelays: [0, 0, 0, 10, 10, 20, 20, 50],
      metadata: file.metadata, storeFingerprintForResuming: false, ...more,
    });
    const run = (more, stopAt) => new Promise((resolve, reject) => {
      const upload = new tus.Upload(new Blob([bytes]), options({...more,
        onError: reject, onSuccess: () => resolve({url: upload.url, whole: true}),
        onChunkComplete: (_, done) => {
          if (stopAt && done >= stopAt && done < bytes.length)
            upload.abort().then(() => resolve({url: upload.url, whole: false}));
        }}));
      upload.start();
    });
    // Stopped once by hand, then gone on with by its address from another Upload.
    const first = await run({}, stops[at]);
    if (!first.whole) await run({uploadUrl: first.url});
    sent.push(first.whole);
  }
  return sent;
}
"""


def test_the_reference_client_is_the_one_that_was_fetched() -> None:
    assert hashlib.sha256(CLIENT.read_bytes()).hexdigest() == SHA256


def opened(browser: Browser, server: str, cast: Cast) -> tuple[Page, str]:
    """A page with the reference client in it, and the token for writing."""
    page = page_of(browser, server, cast.ines, bypass_csp=True)
    # Not the client's own page: its first request would race this one for the cookie
    # that a token for writing belongs to.
    page.goto(f"{server}/healthz")
    page.add_script_tag(path=str(CLIENT))
    session = page.evaluate("fetch('/api/session').then((r) => r.json())")
    return page, str(session["csrf"])


def file_of(content: bytes, visit: Visit) -> dict[str, Any]:
    said = {
        "photo": str(uuid4()),
        "visit": str(visit.pk),
        "sha256": hashlib.sha256(content).hexdigest(),
    }
    return {"base64": base64.b64encode(content).decode(), "metadata": said}


def test_every_file_arrives_whole_though_lines_are_cut_at_random(
    browser: Browser, live_server: Any, transactional_db: None
) -> None:
    seed = random.SystemRandom().randrange(10**6)
    chance = random.Random(seed)
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        visit = make_visit(cast.ines)
    page, token = opened(browser, live_server.url, cast)
    contents = [a_jpeg(chance.randrange(800, 4000)) for _ in range(FILES)]
    cut = {"lines": 0}

    def sometimes(route: Route) -> None:
        if route.request.method in ("PATCH", "HEAD") and chance.random() < 0.25:
            cut["lines"] += 1
            route.abort("connectionreset")
        else:
            route.continue_()

    page.route("**/api/sync/v1/photos/**", sometimes)
    stops = [chance.randrange(1, len(one)) for one in contents]
    files = [file_of(one, visit) for one in contents]
    given = {"token": token, "chunk": 4096, "stops": stops, "files": files}
    whole = page.evaluate(SEND, given)

    with bound(cast.northside.pk):
        rows = PhotoFile.objects.filter(state="STORED")
        stored = sorted(storage.get(row.storage_key) for row in rows)
    assert stored == sorted(contents), f"seed {seed}"
    assert cut["lines"] > 0
    assert not all(whole)  # at least one was stopped in the middle and gone on with
