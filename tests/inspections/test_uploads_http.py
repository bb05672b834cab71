"""Uploads over real connections: another tus client, and lines that are cut.

The other client is tuspy (https://pypi.org/project/tuspy/), written by others to the
tus 1.0.0 text: that it gets its files through is the outside check of this server.
"""

import random
import socket
import threading
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from tusclient.client import TusClient

from firm import storage
from firm.tenancy import bound
from inspections.models import PhotoFile, Visit
from tests.support.cast import Cast, Person
from tests.support.uploads import PHOTOS, TUS, a_jpeg, create, metadata

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]


def signed_in(person: Person) -> dict[str, str]:
    """The headers a browser would send: session, and the token for writing."""
    client = person.client()
    token = client.get("/api/session").json()["csrf"]
    cookies = {name: morsel.value for name, morsel in client.cookies.items()}
    return {
        "Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items()),
        "X-CSRFToken": token,
    }


def stored(cast: Cast) -> list[bytes]:
    with bound(cast.northside.pk):
        found = PhotoFile.objects.filter(state="STORED")
        return [storage.get(row.storage_key) for row in found]


@pytest.mark.parametrize("upload_checksum", [False, True])
def test_another_client_sends_a_photo(
    live_server: Any,
    committed: Cast,
    committed_visit: Visit,
    asked_for: list[str],
    *,
    upload_checksum: bool,
) -> None:
    content = a_jpeg(2000)
    client = TusClient(live_server.url + PHOTOS, headers=signed_in(committed.ines))

    client.uploader(
        file_stream=BytesIO(content),
        chunk_size=10_000,
        retries=0,
        metadata=metadata(committed_visit, uuid4(), content),
        upload_checksum=upload_checksum,
    ).upload()

    assert stored(committed) == [content]
    assert len(asked_for) == 1


def test_another_client_resumes_where_it_stopped(
    live_server: Any, committed: Cast, committed_visit: Visit, asked_for: list[str]
) -> None:
    content = a_jpeg(2000)
    headers = signed_in(committed.ines)
    said = metadata(committed_visit, uuid4(), content)
    first = TusClient(live_server.url + PHOTOS, headers=headers).uploader(
        file_stream=BytesIO(content), chunk_size=5_000, metadata=said
    )
    first.upload(stop_at=10_000)

    second = TusClient(live_server.url + PHOTOS, headers=headers).uploader(
        file_stream=BytesIO(content), chunk_size=5_000, url=first.url
    )
    assert second.get_offset() == 10_000
    second.upload()

    assert stored(committed) == [content]


def test_lines_cut_at_any_byte_cost_nothing_but_time(
    live_server: Any, committed: Cast, committed_visit: Visit, asked_for: list[str]
) -> None:
    seed = random.randrange(2**32)
    dice = random.Random(seed)
    content = a_jpeg(1600)
    client = committed.ines.client()
    url = create(client, committed_visit, content)["Location"]
    headers = signed_in(committed.ines)
    cuts = 0
    for _ in range(60):
        offset = int(client.head(url, headers=TUS)["Upload-Offset"])
        if offset == len(content):
            break
        piece = content[offset : offset + 6_000]
        keep = dice.choice([len(piece), dice.randrange(0, len(piece))])
        cuts += keep < len(piece)
        _send_and_cut(live_server, url, headers, offset, piece, keep)

    assert stored(committed) == [content], f"seed {seed}, {cuts} cuts"


def test_the_same_bytes_from_two_phones_at_once_are_stored_once(
    live_server: Any, committed: Cast, committed_visit: Visit, asked_for: list[str]
) -> None:
    content = a_jpeg()
    failures: list[Exception] = []
    start = threading.Barrier(4)

    def send() -> None:
        try:
            uploader = TusClient(live_server.url + PHOTOS, headers=headers).uploader(
                file_stream=BytesIO(content),
                chunk_size=len(content) // 2 + 1,
                metadata=metadata(committed_visit, uuid4(), content),
            )
            start.wait(timeout=20)
            uploader.upload()
        except Exception as error:  # noqa: BLE001  (shown below, not in a thread)
            failures.append(error)

    headers = signed_in(committed.ines)
    threads = [threading.Thread(target=send) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)

    assert failures == []
    assert stored(committed) == [content] * 4


def _send_and_cut(
    live_server: Any,
    url: str,
    headers: dict[str, str],
    offset: int,
    piece: bytes,
    keep: int,
) -> None:
    """Send a PATCH but only `keep` bytes of its body, then close the line."""
    host, port = live_server.thread.host, live_server.thread.port
    lines = [f"PATCH {url} HTTP/1.1", f"Host: {host}:{port}"]
    lines += [f"{name}: {value}" for name, value in (TUS | headers).items()]
    lines += [
        "Content-Type: application/offset+octet-stream",
        f"Upload-Offset: {offset}",
        f"Content-Length: {len(piece)}",
        "Connection: close",
        "",
        "",
    ]
    with socket.create_connection((host, port), timeout=10) as line:
        line.sendall("\r\n".join(lines).encode() + piece[:keep])
        if keep == len(piece):
            while line.recv(4096):
                pass
