"""The headers of tus 1.0.0 (https://tus.io/protocols/resumable-upload), read."""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
import re
from typing import Any, Final

from firm.errors import BadInput, Refusal
from inspections.log.mutation import as_uuid
from inspections.services.uploads import MAX_BYTES, Announced

VERSION: Final = "1.0.0"
EXTENSIONS: Final = "creation,checksum,expiration,termination"
ALGORITHMS: Final = ("sha256", "sha1")
PIECE_TYPE: Final = "application/offset+octet-stream"
MAX_PIECE: Final = 1024 * 1024
ABOUT_THE_SERVER: Final = {
    "Tus-Version": VERSION,
    "Tus-Extension": EXTENSIONS,
    "Tus-Max-Size": str(MAX_BYTES),
    "Tus-Checksum-Algorithm": ",".join(ALGORITHMS),
}
_SHA256: Final = re.compile("[0-9a-f]{64}")


class OtherVersion(Refusal):
    """The client speaks another version of tus, or did not say which."""

    code = "tus-version"
    status = 412


class WrongType(Refusal):
    """A piece is sent as application/offset+octet-stream."""

    code = "content-type"
    status = 415


class PieceMismatch(Refusal):
    """The piece does not have the checksum sent with it."""

    code = "piece-mismatch"
    status = 460


def require_version(headers: Any) -> None:
    if headers.get("Tus-Resumable") != VERSION:
        raise OtherVersion(f"Send Tus-Resumable: {VERSION}.")


def require_piece_type(headers: Any) -> None:
    if headers.get("Content-Type") != PIECE_TYPE:
        raise WrongType(f"Send a piece as {PIECE_TYPE}.")


def number(headers: Any, name: str) -> int:
    text = headers.get(name, "")
    if not (text.isascii() and text.isdecimal()) or len(text) > 18:  # noqa: PLR2004
        raise BadInput(f"{name}: must be a whole number.", field=name)
    return int(text)


def announced(headers: Any) -> Announced:
    """Read Upload-Length and Upload-Metadata: photo, visit, sha256, perhaps of."""
    size, said = number(headers, "Upload-Length"), _metadata(headers)
    photo, visit = as_uuid(said.get("photo")), as_uuid(said.get("visit"))
    if photo is None or visit is None:
        raise _bad_metadata("photo and visit must be UUIDs.")
    if not _SHA256.fullmatch(said.get("sha256", "")):
        raise _bad_metadata("sha256 must be 64 hexadecimal digits in lower case.")
    of = as_uuid(said.get("of"))
    if "of" in said and of in (None, photo):
        raise _bad_metadata("of must be the UUID of the photo whose original this is.")
    return Announced(photo, visit, said["sha256"], size, of)


def check_piece(headers: Any, piece: bytes) -> None:
    """Hold a piece against its Upload-Checksum, where one was sent."""
    header = headers.get("Upload-Checksum")
    if header is None:
        return
    algorithm, _, encoded = header.partition(" ")
    if algorithm not in ALGORITHMS:
        raise BadInput(
            f"Upload-Checksum: use one of {', '.join(ALGORITHMS)}.",
            field="Upload-Checksum",
        )
    try:
        wanted = base64.b64decode(encoded, validate=True)
    except binascii.Error as error:
        raise BadInput(
            "Upload-Checksum: must be Base64.", field="Upload-Checksum"
        ) from error
    if not hmac.compare_digest(hashlib.new(algorithm, piece).digest(), wanted):
        raise PieceMismatch("The piece was changed on its way. Send it again.")


def _metadata(headers: Any) -> dict[str, str]:
    said = {}
    for pair in headers.get("Upload-Metadata", "").split(","):
        key, _, encoded = pair.strip().partition(" ")
        try:
            said[key] = base64.b64decode(encoded, validate=True).decode()
        except (binascii.Error, UnicodeDecodeError) as error:
            raise _bad_metadata(f"{key or 'it'} must be Base64.") from error
    return said


def _bad_metadata(message: str) -> BadInput:
    return BadInput(f"Upload-Metadata: {message}", field="Upload-Metadata")
