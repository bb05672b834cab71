"""Asking a virus scanner, where one is set up: clamd's stream over a socket."""

import socket
import struct

from django.conf import settings

PIECE = 64 * 1024
SECONDS = 30


class ScannerDown(Exception):
    """A scanner is set up and does not answer: hold the file, do not accept it."""


def is_clean(content: bytes) -> bool | None:
    """Return the scanner's word; None where no scanner is set up."""
    if not settings.FIRM_CLAMD:
        return None
    host, _, port = settings.FIRM_CLAMD.rpartition(":")
    try:
        with socket.create_connection((host, int(port)), SECONDS) as line:
            line.sendall(b"zINSTREAM\0")
            for start in range(0, len(content), PIECE):
                piece = content[start : start + PIECE]
                line.sendall(struct.pack("!L", len(piece)) + piece)
            line.sendall(struct.pack("!L", 0))
            answer = _answer(line)
    except OSError as error:
        raise ScannerDown(str(error)) from error
    if answer.endswith("FOUND"):
        return False
    if answer.endswith("OK"):
        return True
    raise ScannerDown(answer[:100] or "no answer")


def _answer(line: socket.socket) -> str:
    found = b""
    while not found.endswith(b"\0") and (more := line.recv(1024)):
        found += more
    return found.rstrip(b"\0").decode("utf-8", "replace").strip()
