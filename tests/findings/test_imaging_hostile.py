"""Files made to hurt: each is refused in words, and the caller lives on."""

import os
import signal
import threading
import zipfile
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from findings.imaging import child, heic, limits, pool, sniff
from findings.imaging.derive import Refused, derive
from tests.support import pictures

GOOD = pictures.photo(pictures.quarters())
HEIC_HEAD = b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + b"\x00" * 64
AVIF_HEAD = b"\x00\x00\x00\x18ftypavif\x00\x00\x00\x00mif1avif" + b"\x00" * 64
NOT_PICTURES = {
    "nothing": (b"", "empty"),
    "svg": (b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"/>', "SVG"),
    "gif": (pictures.saved(Image.new("P", (9, 9)), "GIF"), "GIF"),
    "tiff": (pictures.saved(Image.new("RGB", (9, 9)), "TIFF"), "TIFF"),
    "pdf": (b"%PDF-1.7\n1 0 obj\n", "PDF"),
    "zip": (b"PK\x03\x04" + b"\x00" * 40, "ZIP"),
    "heic": (HEIC_HEAD, "HEIC"),
    "avif": (AVIF_HEAD, "AVIF"),
    "text": (b"this is no picture at all", "not a picture"),
    "postscript": (b"%!PS-Adobe-3.0 EPSF-3.0\n", "not a picture"),
}


@pytest.mark.parametrize("name", NOT_PICTURES)
def test_what_is_not_a_photo_is_refused_and_named(name: str) -> None:
    data, word = NOT_PICTURES[name]

    with pytest.raises(Refused) as refusal:
        derive(data)

    assert word in refusal.value.reason
    assert refusal.value.reason.endswith(".")


def test_a_fake_jpeg_is_refused() -> None:
    with pytest.raises(Refused, match="damaged"):
        derive(b"\xff\xd8\xff\xe0" + b"<html>not a photo</html>" * 40)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.02, 0.5, 0.97])
def test_a_truncated_picture_is_refused(kind: str, share: float) -> None:
    noise = Image.effect_noise((300, 200), 90).convert("RGB")
    whole = pictures.saved(noise, kind)

    with pytest.raises(Refused):
        derive(whole[: int(len(whole) * share)])


@pytest.mark.parametrize(
    "bomb",
    [pictures.png_bomb(14_200, 14_100), pictures.jpeg_claiming(14_200, 14_100)],
    ids=["png", "jpeg"],
)
def test_a_bomb_of_two_hundred_million_pixels_is_refused(bomb: bytes) -> None:
    assert len(bomb) < 100_000

    with pytest.raises(Refused, match="64 million pixels"):
        derive(bomb)


def test_just_under_the_pixel_limit_is_still_read() -> None:
    derived = derive(pictures.png_bomb(9_000, 7_000))

    assert (derived.large.width, derived.large.height) == (1600, 1244)


def test_a_file_over_the_size_limit_is_refused_before_any_decoding() -> None:
    with pytest.raises(Refused, match="40 MiB"):
        derive(GOOD + b"\x00" * limits.MAX_BYTES)


def test_a_photo_that_is_also_an_archive_and_a_page_is_made_anew() -> None:
    archive = BytesIO()
    with zipfile.ZipFile(archive, "w") as zipped:
        zipped.writestr("evil.html", "<script>alert(1)</script>")
    polyglot = GOOD + b"<script>alert(1)</script>" + archive.getvalue()

    large = derive(polyglot).large.bytes

    assert not zipfile.is_zipfile(BytesIO(large))
    assert b"<script>" not in large
    assert b"PK\x03\x04" not in large
    assert len(large) < len(polyglot)


def test_a_png_named_like_a_photo_is_judged_by_its_bytes() -> None:
    assert sniff.kind_of(pictures.saved(pictures.quarters(), "PNG")) == "png"
    assert sniff.kind_of(GOOD) == "jpeg"
    assert sniff.kind_of(pictures.saved(pictures.quarters(), "WEBP")) == "webp"
    assert sniff.kind_of(HEIC_HEAD) == "heic"


def test_bent_bytes_never_reach_the_caller_as_anything_but_a_refusal() -> None:
    refused = 0
    for at in range(2, len(GOOD), max(1, len(GOOD) // 60)):
        bent = bytearray(GOOD)
        bent[at : at + 4] = b"\xff\x00\xfe\x01"
        try:
            derive(bytes(bent))
        except Refused:
            refused += 1
    assert refused > 0
    assert derive(GOOD).large.width == 800


def test_the_decoder_is_replaced_when_it_is_killed_in_mid_work() -> None:
    pool.shut()
    decoder = pool.Decoder(heic=False)
    threading.Timer(0.2, os.kill, (decoder._process.pid, signal.SIGSTOP)).start()
    threading.Timer(0.5, decoder.kill).start()

    def work_on() -> None:
        for _ in range(2000):
            decoder.ask({"ask": "copies", "kind": "jpeg", "marks": []}, GOOD)

    with pytest.raises(pool.Crashed):
        work_on()
    decoder.close()

    assert derive(GOOD).large.width == 800


@pytest.fixture
def in_a_limited_fork() -> object:
    """Run a function where pictures are decoded and hand back what it answers."""

    def run(work: object) -> dict[str, object] | None:
        blob = child._in_a_fork(lambda: (work(), []))  # type: ignore[operator]
        if blob is None:
            return None
        answer = child.read_frame(BytesIO(blob))
        assert answer is not None
        return answer[0]

    return run


def attempt(work: object) -> dict[str, str]:
    try:
        work()  # type: ignore[operator]
    except (OSError, MemoryError) as error:
        return {"stopped": type(error).__name__}
    return {"stopped": "no"}


def test_the_fork_may_not_open_files_or_sockets_or_start_processes(
    in_a_limited_fork: object,
) -> None:
    import socket

    tries = {
        "read": lambda: Path("/etc/hostname").read_bytes(),
        "write": lambda: Path("/tmp/kingpost-probe").write_bytes(b"x"),  # noqa: S108
        "socket": socket.socket,
        "process": os.fork,
        "memory": lambda: bytearray(limits.MEMORY_BYTES),
    }

    for name, work in tries.items():
        answer = in_a_limited_fork(lambda work=work: attempt(work))  # type: ignore[operator]
        assert answer is not None, name
        assert answer["stopped"] != "no", name


def test_the_fork_has_ten_seconds_of_processor_and_no_secrets(
    in_a_limited_fork: object,
) -> None:
    import resource

    answer = in_a_limited_fork(  # type: ignore[operator]
        lambda: {
            "cpu": resource.getrlimit(resource.RLIMIT_CPU)[0],
            "size": resource.getrlimit(resource.RLIMIT_FSIZE)[0],
            "root": os.geteuid() == 0,
        }
    )

    assert answer is not None
    assert (answer["cpu"], answer["size"], answer["root"]) == (10, 0, False)


def test_the_decoder_inherits_nothing_of_our_environment() -> None:
    decoder = pool.Decoder(heic=False)
    decoder.ask({"ask": "facts", "kind": "jpeg"}, GOOD)

    names = Path(f"/proc/{decoder._process.pid}/environ").read_bytes().split(b"\0")
    decoder.close()

    assert sorted(name.split(b"=")[0] for name in names if name) == [
        b"GLIBC_TUNABLES",
        b"LC_ALL",
    ]


def test_a_fork_that_crashes_is_a_refusal(in_a_limited_fork: object) -> None:
    assert in_a_limited_fork(lambda: os.kill(os.getpid(), signal.SIGSEGV)) is None  # type: ignore[operator]


def test_heic_stays_off_below_its_version_floor(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for version, enough in (("1.6.9", False), ("1.7.0", True), ("1.10.0", True)):
        monkeypatch.setattr(heic.metadata, "version", lambda _name, v=version: v)
        assert heic.allowed() is enough
    with pytest.raises(Refused, match="HEIC"):
        derive(HEIC_HEAD)
