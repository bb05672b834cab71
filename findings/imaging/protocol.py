"""The frames that parent and decoding process exchange over a pipe."""

import json
import struct
from typing import Any, BinaryIO

FRAME = struct.Struct(">II")  # length of the JSON head, length of the bytes after it


def read_frame(stream: BinaryIO) -> tuple[dict[str, Any], bytes] | None:
    """Read one frame, or None when the other side has gone."""
    lengths = stream.read(FRAME.size)
    if len(lengths) < FRAME.size:
        return None
    head_length, body_length = FRAME.unpack(lengths)
    head, body = stream.read(head_length), stream.read(body_length)
    return (json.loads(head), body) if len(body) == body_length else None


def frame(head: dict[str, Any], parts: list[bytes]) -> bytes:
    """Pack a head and its bytes."""
    text = json.dumps({**head, "sizes": [len(part) for part in parts]}).encode()
    body = b"".join(parts)
    return FRAME.pack(len(text), len(body)) + text + body
