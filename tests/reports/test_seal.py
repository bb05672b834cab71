"""The seal on a PDF, read by three programs that have nothing to do with each other."""

from __future__ import annotations

import io
import subprocess
from datetime import UTC, datetime
from pathlib import Path

import pikepdf
import pytest
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from reports.rendering import certificates, child, seal
from tests.support import reading_pdf, snapshots

SECRET = "a secret for the test alone"
NOW = datetime.now(UTC)


@pytest.fixture(scope="module")
def root():
    return certificates.root("Reports of example", secret=SECRET, now=NOW)


@pytest.fixture(scope="module")
def key(root):
    made = certificates.seal("Stonecrop", above=root, secret=SECRET, now=NOW)
    return seal.opened(made.key, SECRET, made.certificate, root.certificate)


@pytest.fixture(scope="module")
def plain():
    raw = snapshots.canonical_bytes(snapshots.brief())
    return child.render(raw, snapshots.assets(snapshots.brief()))


@pytest.fixture(scope="module")
def sealed(plain, key):
    return seal.put_on(plain, key, reason="Report, issue 1, as released")


def pdfsig(pdf: bytes, folder: Path) -> str:
    path = folder / "report.pdf"
    path.write_bytes(pdf)
    done = subprocess.run(
        ["pdfsig", path], capture_output=True, text=True, check=False, timeout=60
    )
    return done.stdout


def test_pyhanko_finds_one_good_seal_over_every_byte(sealed, key):
    told = seal.read(sealed, [key.root])

    assert (told.by, told.chains) == ("Stonecrop", True)
    assert told.certificate == key.certificate


def test_poppler_says_both_lines(sealed, tmp_path):
    told = pdfsig(sealed, tmp_path)

    assert "Signature is Valid." in told
    assert "Total document signed" in told
    assert "Not total document signed" not in told
    assert "ETSI.CAdES.detached" in told


def test_openssl_finds_the_signature_good_under_the_root(sealed, root, tmp_path):
    """As an outsider would: the signature cut out by the ranges that the PDF names."""
    with pikepdf.open(io.BytesIO(sealed)) as pdf:
        ranges = [int(one) for one in pdf.Root.AcroForm.Fields[0].V.ByteRange]
        signature = bytes(pdf.Root.AcroForm.Fields[0].V.Contents)
    first, length, second, rest = ranges
    signed = sealed[first : first + length] + sealed[second : second + rest]
    (tmp_path / "signed").write_bytes(signed)
    (tmp_path / "cms").write_bytes(signature)
    (tmp_path / "root.pem").write_text(root.certificate)

    def openssl() -> int:
        return subprocess.run(
            [
                *("openssl", "cms", "-verify", "-binary", "-inform", "DER"),
                *("-in", "cms", "-content", "signed", "-CAfile", "root.pem"),
                *("-purpose", "any", "-out", "/dev/null"),
            ],
            cwd=tmp_path,
            capture_output=True,
            check=False,
        ).returncode

    assert openssl() == 0
    (tmp_path / "signed").write_bytes(signed + b" ")
    assert openssl() != 0


def test_what_is_added_after_sealing_shows_in_poppler_only_in_the_second_line(
    sealed, key, tmp_path
):
    writer = IncrementalPdfFileWriter(io.BytesIO(sealed))
    writer.root["/PageMode"] = generic.pdf_name("/FullScreen")
    writer.update_root()
    out = io.BytesIO()
    writer.write(out)
    added = out.getvalue()

    with pytest.raises(seal.BadSeal, match="added after"):
        seal.read(added, [key.root])
    told = pdfsig(added, tmp_path)
    # The guide tells people to read both lines for exactly this.
    assert "Signature is Valid." in told
    assert "Not total document signed" in told


@pytest.mark.parametrize("where", [0.02, 0.3, 0.6, 0.9, 0.999])
def test_one_changed_bit_breaks_the_seal(sealed, key, where):
    changed = bytearray(sealed)
    changed[int(len(changed) * where)] ^= 4

    with pytest.raises(seal.BadSeal):
        seal.read(bytes(changed), [key.root])


def test_a_seal_under_another_root_does_not_chain(sealed, root):
    other = certificates.root("Somebody else", secret=SECRET, now=NOW)
    strange = seal.opened(other.key, SECRET, other.certificate, other.certificate)

    assert seal.read(sealed, [strange.root]).chains is False


def test_a_pdf_without_a_seal_is_refused(plain, key):
    with pytest.raises(seal.BadSeal, match="0 seals"):
        seal.read(plain, [key.root])


def test_the_key_is_kept_encrypted_and_opens_with_its_secret_alone(root):
    assert "ENCRYPTED" in root.key
    with pytest.raises(ValueError, match=r"password|decrypt|PKCS"):
        seal.opened(root.key, "another", root.certificate, root.certificate)


def test_the_seal_leaves_words_tags_and_attachment_as_they_were(sealed, plain):
    assert reading_pdf.pages(sealed) == reading_pdf.pages(plain)
    assert reading_pdf.tags(sealed) == reading_pdf.tags(plain)
    with pikepdf.open(io.BytesIO(sealed)) as pdf:
        field = pdf.Root.AcroForm.Fields[0]
        assert str(field.TU) == seal.SPOKEN
        # Hidden, so that nobody listening meets an empty field.
        assert int(field.F) & 2
        assert pdf.pages[0].Tabs == pikepdf.Name.S
        assert "snapshot.json" in pdf.attachments
