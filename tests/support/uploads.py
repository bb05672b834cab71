"""A phone's side of an upload, for tests."""

from __future__ import annotations

import base64
import hashlib
from typing import Any
from uuid import UUID, uuid4

from django.test import Client

from inspections.models import Visit
from tests.support.pictures import photo, quarters

PHOTOS = "/api/sync/v1/photos/"
TUS = {"Tus-Resumable": "1.0.0"}


def a_jpeg(width: int = 800) -> bytes:
    return photo(quarters(width, 600))


def metadata(visit: Visit, photo_id: UUID, content: bytes) -> dict[str, str]:
    return {
        "photo": str(photo_id),
        "visit": str(visit.pk),
        "sha256": hashlib.sha256(content).hexdigest(),
    }


def encoded(said: dict[str, str]) -> str:
    return ",".join(
        f"{key} {base64.b64encode(value.encode()).decode()}"
        for key, value in said.items()
    )


def create(
    client: Client,
    visit: Visit,
    content: bytes,
    photo_id: UUID | None = None,
    **more: str,
) -> Any:
    said = metadata(visit, photo_id or uuid4(), content)
    headers = TUS | {
        "Upload-Length": str(len(content)),
        "Upload-Metadata": encoded(said),
    }
    return client.post(PHOTOS, headers=headers | more)


def patch(client: Client, url: str, offset: int, piece: bytes, **more: str) -> Any:
    headers = TUS | {"Upload-Offset": str(offset)} | more
    return client.patch(
        url, piece, content_type="application/offset+octet-stream", headers=headers
    )


def checksum(piece: bytes, algorithm: str = "sha256") -> str:
    digest = hashlib.new(algorithm, piece).digest()
    return f"{algorithm} {base64.b64encode(digest).decode()}"
