"""A phone's saved copy, made by the phone's own code, brought in by the office.

AES-GCM and PBKDF2 on the server are those of the `cryptography` package; on the phone
those of WebCrypto: that each opens what the other sealed is the outside check.
"""

import base64
import hashlib
import json
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid4

import playwright
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from firm import storage
from firm.models import Installation
from inspections.models import LogRow, PhotoFile, Visit
from inspections.selectors.folded import folded
from inspections.services import log
from tests.support.cast import Cast
from tests.support.uploads import a_jpeg
from tests.support.visits import STARTS, make_visit, mutation

pytestmark = pytest.mark.django_db(transaction=True)
ROOT = Path(__file__).resolve().parents[2]
NODE = Path(playwright.__file__).parent / "driver" / "node"
WORDS = "the gray heron stands still"
AT = "2026-11-24T14:05:00Z"


class Phone:
    def __init__(self, cast: Cast, visit: Visit, folder: Path) -> None:
        self.cast, self.visit, self.folder = cast, visit, folder
        self.user, self.device = cast.ines.user, str(uuid4())
        rec, photo = str(uuid4()), str(uuid4())
        self.jpeg = a_jpeg(900)
        digest = hashlib.sha256(self.jpeg).hexdigest()
        fields = [
            (rec, "kind", "note"),
            (rec, "text", "Written without a signal"),
            (photo, "kind", "photo"),
            (photo, "sha256", digest),
        ]
        self.entries = [
            mutation(seq, name, value, rec=on, at=AT)
            for seq, (on, name, value) in enumerate(fields, 1)
        ]
        self.photos = [{"id": photo, "sha256": digest, "size": len(self.jpeg),
                        "base64": base64.b64encode(self.jpeg).decode()}]  # fmt: skip

    def copy(self) -> bytes:
        plan, out = self.folder / "plan.json", self.folder / "copy.kpcopy"
        plan.write_text(
            json.dumps(
                {
                    "visit": str(self.visit.pk), "user": str(self.user.pk),
                    "device": self.device, "entries": self.entries,
                    "photos": self.photos, "words": WORDS,
                }
            )
        )  # fmt: skip
        script = ROOT / "tests/support/saved_copy.mjs"
        subprocess.run(
            [str(NODE), script, ROOT / "static/js/field", plan, out],
            check=True, timeout=60,
        )  # fmt: skip
        return out.read_bytes()

    def send(self) -> None:
        log.push(
            actor=self.cast.ines.actor, visit_id=self.visit.pk,
            device=UUID(self.device), client="test", now=None, mutations=self.entries,
            received_at=datetime(2026, 11, 24, 14, 10, tzinfo=UTC),
        )  # fmt: skip


@pytest.fixture
def phone(cast: Cast, tmp_path: Path) -> Phone:
    Installation.objects.get_or_create()
    with cast.inside():
        visit = make_visit(cast.ines)
    return Phone(cast, visit, tmp_path)


def bring(phone: Phone, data: bytes, words: str = WORDS, who: str = "owner"):
    client = getattr(phone.cast, who).client()
    return client.post(
        f"/f/northside/visits/{phone.visit.pk}/copy/",
        {"file": SimpleUploadedFile("a.kpcopy", data), "words": words},
    )


def texts(phone: Phone) -> list[str]:
    with phone.cast.inside():
        records, _ = folded(phone.cast.ines.actor, phone.visit)
    return [one["text"] for one in records.values() if "text" in one]


def test_what_the_phone_held_is_on_the_server_as_its_inspectors(phone: Phone):
    answer = bring(phone, phone.copy())

    assert answer.status_code == 302
    assert texts(phone) == ["Written without a signal"]
    with phone.cast.inside():
        assert {row.by_id for row in LogRow.objects.all()} == {
            phone.cast.ines.member.pk
        }
        row = PhotoFile.objects.get(state="STORED")
        assert storage.get(row.storage_key) == phone.jpeg


def test_brought_in_twice_and_sent_by_the_phone_as_well_nothing_is_doubled(
    phone: Phone,
):
    copy = phone.copy()
    bring(phone, copy)
    bring(phone, copy)
    phone.send()

    with phone.cast.inside():
        assert LogRow.objects.count() == len(phone.entries)


def test_other_words_open_nothing_and_say_what_to_do(phone: Phone):
    answer = bring(phone, phone.copy(), "the gray heron stands")

    assert answer.status_code == 400
    assert "do not open it" in answer.content.decode()
    assert texts(phone) == []


@pytest.mark.parametrize("at", [0, 10, 30, 60, -1])
def test_a_changed_byte_anywhere_is_noticed(phone: Phone, at: int):
    data = bytearray(phone.copy())
    data[at] ^= 1

    answer = bring(phone, bytes(data))

    assert answer.status_code == 400
    assert texts(phone) == []


@pytest.mark.parametrize("data", [b"", b"KPC1", b"PK\x03\x04", b"KPC1" + b"\xff" * 60])
def test_what_is_no_copy_is_refused_kindly(phone: Phone, data: bytes):
    answer = bring(phone, data)

    assert answer.status_code == 400
    assert texts(phone) == []


def test_a_copy_of_another_visit_is_not_taken(phone: Phone):
    copy = phone.copy()
    with phone.cast.inside():
        later = STARTS + timedelta(days=2)
        phone.visit = make_visit(phone.cast.ines, "R-2026-0009", later)

    answer = bring(phone, copy)

    assert answer.status_code == 400
    assert "another visit" in answer.content.decode()


def test_only_the_visits_inspector_counts_as_its_author(phone: Phone):
    phone.user = phone.cast.omar.user

    answer = bring(phone, phone.copy())

    assert answer.status_code == 400
    assert "does not record on this visit" in answer.content.decode()
