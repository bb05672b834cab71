"""Sending a photo by tus 1.0.0 (https://tus.io/protocols/resumable-upload)."""

from __future__ import annotations

import base64
import hashlib

from reports.demo.script import Photo
from reports.demo.walk.visitor import Visitor, WalkFailed

VERSION = {"Tus-Resumable": "1.0.0"}
PIECE = 64 * 1024
CREATED, NO_CONTENT = 201, 204


def send(person: Visitor, visit: str, photo: Photo, *, cut: bool = False) -> int:
    """Send a photo in pieces; return how many.

    `cut` acts as if the line broke after the first piece: the phone asks how much
    has arrived and goes on from there.
    """
    path = _create(person, visit, photo)
    pieces, offset = 0, 0
    while offset < len(photo.data):
        offset = _piece(person, path, photo, offset)
        pieces += 1
        if cut and pieces == 1 and offset < len(photo.data):
            head = person.call("HEAD", path, headers=VERSION)
            offset = int(head.headers["Upload-Offset"])
    return pieces


def _create(person: Visitor, visit: str, photo: Photo) -> str:
    said = {"photo": photo.rec, "visit": visit, "sha256": photo.sha256}
    metadata = ",".join(f"{key} {_base64(text.encode())}" for key, text in said.items())
    answer = person.call(
        "POST",
        "/api/sync/v1/photos/",
        status=CREATED,
        headers=VERSION
        | {"Upload-Length": str(len(photo.data)), "Upload-Metadata": metadata},
    )
    return answer.headers["Location"]


def _piece(person: Visitor, path: str, photo: Photo, offset: int) -> int:
    piece = photo.data[offset : offset + PIECE]
    answer = person.call(
        "PATCH",
        path,
        status=NO_CONTENT,
        content=piece,
        headers=VERSION
        | {
            "Content-Type": "application/offset+octet-stream",
            "Upload-Offset": str(offset),
            "Upload-Checksum": f"sha256 {_base64(hashlib.sha256(piece).digest())}",
        },
    )
    reached = int(answer.headers["Upload-Offset"])
    if reached != offset + len(piece):
        raise WalkFailed(f"{photo.name}: {reached} bytes arrived, not all of a piece.")
    return reached


def _base64(raw: bytes) -> str:
    return base64.b64encode(raw).decode()
