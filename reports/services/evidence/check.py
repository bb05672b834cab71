"""Checks a bundle of evidence: Python's standard library, openssl and poppler only.

Use: python3 check.py [FOLDER] [--root FINGERPRINT] [--anchor SEQ:ENTRY]

FOLDER is the unpacked bundle. FINGERPRINT is the SHA-256 of the root certificate, as
the firm's page /verify says it; SEQ:ENTRY is a place in the firm's chain of releases
that you had from elsewhere, such as an earlier message. Nothing is fetched.
Ends with 0 when all of it holds, else with 1 after naming what does not.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import math
import re
import subprocess
import sys
import tempfile
from decimal import Decimal
from pathlib import Path
from typing import Any

RANGES = re.compile(rb"/ByteRange\s*\[\s*(\d+)\s+(\d+)\s+(\d+)\s+(\d+)\s*\]")
LARGEST_WHOLE = 2**53
# ECMAScript writes a number plainly between these powers of ten.
LEAST, MOST = -6, 21


class Wrong(Exception):
    """Something does not hold; the words say what and where."""


def canonical(value: Any) -> str:
    """Return RFC 8785 text: sorted names, no spaces, numbers as ECMAScript has them."""
    if isinstance(value, dict):
        names = sorted(value, key=lambda name: name.encode("utf-16-be"))
        inner = (f"{canonical(name)}:{canonical(value[name])}" for name in names)
        return "{" + ",".join(inner) + "}"
    if isinstance(value, list):
        return "[" + ",".join(canonical(one) for one in value) + "]"
    if isinstance(value, bool) or value is None:
        return json.dumps(value)
    if isinstance(value, (int, float)):
        return number(value)
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    raise Wrong(f"no JSON: {value!r}")


def number(value: float) -> str:
    """Return a number as ECMAScript writes it."""
    if isinstance(value, int):
        if abs(value) >= LARGEST_WHOLE:
            raise Wrong(f"too large a whole number: {value}")
        return str(value)
    if math.isnan(value) or math.isinf(value):
        raise Wrong("no number")
    if value == 0:
        return "0"
    _, digits, exponent = Decimal(repr(abs(value))).normalize().as_tuple()
    text, point = "".join(map(str, digits)), len(digits) + int(exponent)
    minus = "-" if value < 0 else ""
    return minus + placed(text, point)


def placed(digits: str, point: int) -> str:
    """Put the point, or an exponent, where ECMAScript puts it."""
    count = len(digits)
    if count <= point <= MOST:
        return digits + "0" * (point - count)
    if 0 < point <= MOST:
        return digits[:point] + "." + digits[point:]
    if LEAST < point <= 0:
        return "0." + "0" * -point + digits
    rest = "." + digits[1:] if count > 1 else ""
    power = point - 1
    return f"{digits[0]}{rest}e{'+' if power > 0 else '-'}{abs(power)}"


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def run(*command: str, cwd: Path) -> tuple[bool, str]:
    """Run a program; return whether it ended well, and what it said."""
    done = subprocess.run(
        command, cwd=cwd, capture_output=True, check=False, timeout=120
    )
    said = (done.stdout + done.stderr).decode("utf-8", "replace")
    return done.returncode == 0, said


def read(folder: Path, name: str) -> bytes:
    path = folder / name
    if not path.is_file():
        raise Wrong(f"{name} is missing")
    return path.read_bytes()


def read_json(folder: Path, name: str) -> Any:
    try:
        return json.loads(read(folder, name))
    except ValueError as error:
        raise Wrong(f"{name} is not JSON: {error}") from error


def signed(folder: Path, content: bytes, signature: bytes, what: str) -> None:
    """Let openssl say whether the signature over content is good, under the root."""
    with tempfile.TemporaryDirectory() as scratch:
        (Path(scratch) / "content").write_bytes(content)
        (Path(scratch) / "signature").write_bytes(signature)
        good, said = run(
            *("openssl", "cms", "-verify", "-binary", "-inform", "DER"),
            *("-in", "signature", "-content", "content", "-out", "/dev/null"),
            *("-purpose", "any", "-CAfile", str(folder / "root.pem")),
            cwd=Path(scratch),
        )
    if not good:
        last = [line for line in said.splitlines() if line.strip()][-1:]
        raise Wrong(f"{what}: openssl finds the signature not good {last}")


def check_signature(folder: Path, signature: bytes) -> None:
    """Hold that the list is signed with the seal, and the seal hangs under the root."""
    # openssl reads as much of the file as a signature is long, and leaves the rest.
    if signature[1] + 2 != len(signature):
        raise Wrong("manifest.sig is longer or shorter than a signature")
    good, _ = run(
        *("openssl", "verify", "-purpose", "any", "-CAfile", "root.pem", "seal.pem"),
        cwd=folder,
    )
    if not good:
        raise Wrong("seal.pem does not hang under root.pem")
    _, public = run(
        *("openssl", "x509", "-in", "seal.pem", "-noout", "-pubkey"), cwd=folder
    )
    with tempfile.TemporaryDirectory() as scratch:
        (Path(scratch) / "public.pem").write_text(public)
        (Path(scratch) / "signature").write_bytes(signature)
        good, _ = run(
            *("openssl", "dgst", "-sha256", "-verify", "public.pem"),
            *("-signature", "signature", str(folder / "manifest.json")),
            cwd=Path(scratch),
        )
    if not good:
        raise Wrong("manifest.json is not what was signed: see manifest.sig")


def check_manifest(folder: Path) -> str:
    """Every file is there, is the listed one, and the list is signed."""
    raw = read(folder, "manifest.json")
    check_signature(folder, read(folder, "manifest.sig"))
    listed = json.loads(raw)["files"]
    here = {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file()
    } - {"manifest.json", "manifest.sig"}
    for name in sorted(listed.keys() | here):
        if name not in listed:
            raise Wrong(f"{name} is not in the list of the bundle")
        if sha256(read(folder, name)) != listed[name]:
            raise Wrong(f"{name} is not the file that the list names")
    return f"{len(listed)} files are those of the signed list"


def check_root(folder: Path, fingerprint: str) -> str:
    """Compare the root with the fingerprint told elsewhere."""
    good, said = run(
        *("openssl", "x509", "-in", "root.pem", "-noout", "-fingerprint", "-sha256"),
        cwd=folder,
    )
    found = said.strip().rpartition("=")[2].replace(":", "").lower()
    if not good:
        raise Wrong("root.pem is no certificate")
    if fingerprint and fingerprint.lower() != found:
        raise Wrong(f"root.pem is not the root you were told of: {found}")
    told = "as you were told" if fingerprint else "compare it with the page /verify"
    return f"the root certificate is {found}, {told}"


def entry_of(link: dict[str, Any], payload: str) -> str:
    """Return what a link's entry has to be."""
    fields = ("seq", "firm", "kind", "time", "prev")
    told = {name: link[name] for name in fields} | {"payload_hash": payload}
    return sha256(canonical(told).encode())


def check_chain(folder: Path, anchors: list[str]) -> str:
    """Every link follows from the one before."""
    links, prev = read_json(folder, "chain.json")["links"], ""
    for place, link in enumerate(links, 1):
        if link["seq"] != place or link["prev"] != prev:
            raise Wrong(f"chain.json: link {place} does not follow the one before")
        if entry_of(link, link["payload_hash"]) != link["entry"]:
            raise Wrong(f"chain.json: link {place} does not match")
        prev = link["entry"]
    for anchor in anchors:
        seq, _, entry = anchor.partition(":")
        place = int(seq)
        if place > len(links) or links[place - 1]["entry"] != entry:
            raise Wrong(f"chain.json: link {seq} is not the one you were told of")
    return f"the chain holds, 1 to {len(links)}"


def check_issue(folder: Path, issue: int, links: list[dict[str, Any]]) -> str:
    """One issue: its snapshot in the chain, its files in the record of its release."""
    own = folder / f"issue-{issue}"
    raw = read(own, "snapshot.json")
    told = json.loads(raw)
    seq = told["chain"]["seq"]
    link = links[seq - 1] if seq <= len(links) else None
    if link is None or link["payload_hash"] != sha256(raw):
        raise Wrong(f"issue-{issue}/snapshot.json is not what link {seq} stands for")
    if told["chain"]["prev"] != link["prev"] or told["issue"] != issue:
        raise Wrong(f"issue-{issue}/snapshot.json stands for another place")
    if canonical(told).encode() != raw:
        raise Wrong(f"issue-{issue}/snapshot.json is not in canonical form")
    replaced = (told["replaces"] or {"issue": 0})["issue"]
    if replaced != issue - 1:
        raise Wrong(f"issue-{issue} does not say which issue it replaces")
    check_record(own, f"issue-{issue}")
    for photo in told["photos"]:
        name = f"photos/{photo['renditions']['large']['sha256']}.jpg"
        if sha256(read(folder, name)) != photo["renditions"]["large"]["sha256"]:
            raise Wrong(f"{name} is not the photo that issue {issue} names")
    return f"issue {issue}: link {seq} of the chain, {len(told['photos'])} photos"


def check_record(own: Path, name: str) -> None:
    """Hold that the record of the release names the very files that are here."""
    record = read_json(own, "record.json")
    payload = sha256(canonical(record["payload"]).encode())
    if entry_of(record, payload) != record["entry"]:
        raise Wrong(f"{name}/record.json does not match its own entry")
    files = {"pdf": "report.pdf", "web": "report.html", "gallery": "gallery.html"}
    for kind, file in files.items():
        if sha256(read(own, file)) != record["payload"]["detail"].get(kind):
            raise Wrong(f"{name}/{file} is not the file that was released")


def check_pdf(folder: Path, issue: int) -> str:
    """Let openssl and poppler look at the seal; compare the snapshot inside."""
    name, own = f"issue-{issue}/report.pdf", folder / f"issue-{issue}"
    pdf = read(own, "report.pdf")
    found = RANGES.findall(pdf)
    if len(found) != 1:
        raise Wrong(f"{name} carries {len(found)} seals in place of one")
    first, length, second, rest = (int(one) for one in found[0])
    if first != 0 or second + rest != len(pdf):
        raise Wrong(f"{name}: something was added after it was sealed")
    hexed = pdf[length:second].strip(b"<>")
    signature = bytes.fromhex(hexed.decode("ascii")).rstrip(b"\0")
    signed(folder, pdf[:length] + pdf[second : second + rest], signature, name)
    _, said = run("pdfsig", "report.pdf", cwd=own)
    if "Signature is Valid." not in said:
        raise Wrong(f"{name}: pdfsig does not find the signature valid")
    if "Total document signed" not in said or "Not total" in said:
        raise Wrong(f"{name}: pdfsig does not find the total document signed")
    with tempfile.TemporaryDirectory() as scratch:
        run("pdfdetach", "-saveall", "-o", scratch, "report.pdf", cwd=own)
        if read(Path(scratch), "snapshot.json") != read(own, "snapshot.json"):
            raise Wrong(f"{name} carries another snapshot than the one beside it")
    return f"{name}: sealed as a whole, with its snapshot in it"


def main() -> int:
    """Check each part in turn, and stop at the first that does not hold."""
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("folder", nargs="?", default=Path(__file__).parent, type=Path)
    reader.add_argument("--root", default="", help="fingerprint of the root")
    reader.add_argument("--anchor", action="append", default=[], help="SEQ:ENTRY")
    asked = reader.parse_args()
    folder = asked.folder.resolve()
    try:
        print("ok:", check_root(folder, asked.root))
        print("ok:", check_manifest(folder))
        print("ok:", check_chain(folder, asked.anchor))
        links = read_json(folder, "chain.json")["links"]
        for issue in read_json(folder, "manifest.json")["issues"]:
            print("ok:", check_issue(folder, issue, links))
            print("ok:", check_pdf(folder, issue))
    except (Wrong, KeyError, ValueError, TypeError, IndexError, OSError) as wrong:
        print("FAILED:", wrong if isinstance(wrong, Wrong) else repr(wrong))
        return 1
    print("Everything in this bundle is as it was released.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
