"""A firm's electronic seal: put on a finished PDF, read back from one."""

from __future__ import annotations

import io
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from asn1crypto.keys import PrivateKeyInfo
from asn1crypto.x509 import Certificate
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign import fields, signers
from pyhanko.sign.validation import (
    SignatureCoverageLevel,
    validate_pdf_signature,
)
from pyhanko_certvalidator import ValidationContext
from pyhanko_certvalidator.registry import SimpleCertificateStore

FIELD = "Seal"
# What a screen reader says of the field; it shows nothing and takes no input.
SPOKEN = "Electronic seal of the firm over the whole document"


class BadSeal(ValueError):
    """The PDF carries no seal, or one that does not hold; the words say which."""


R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class SealKey:
    """What a firm seals with, opened: its key and the certificates above it."""

    key: bytes  # PKCS#8, DER
    certificate: bytes  # DER
    root: bytes  # DER


@dataclass(frozen=True, slots=True)
class Sealed:
    """A seal that holds: whose it is, and when its maker's clock says it was set."""

    by: str
    at: datetime | None
    certificate: bytes
    chains: bool


def put_on(pdf: bytes, seal: SealKey, *, reason: str) -> bytes:
    """Return the PDF with the seal over every byte; further changes break it."""
    out = io.BytesIO()
    signer = signers.PdfSigner(
        signers.PdfSignatureMetadata(
            field_name=FIELD,
            reason=reason,
            subfilter=fields.SigSeedSubFilter.PADES,
            certify=True,
            docmdp_permissions=fields.MDPPerm.NO_CHANGES,
        ),
        signer=_signer(seal),
        new_field_spec=_field(),
    )
    _apart(signer.sign_pdf, IncrementalPdfFileWriter(io.BytesIO(pdf)), output=out)
    return out.getvalue()


def _apart(work: Callable[..., R], *given: Any, **named: Any) -> R:
    """Run pyHanko in its own thread: it starts an event loop, and there may be one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(work, *given, **named).result()


def over(content: bytes, seal: SealKey) -> bytes:
    """Return a bare signature (ECDSA, DER) over any bytes.

    Bare, since a wrapped one has parts that nothing covers: a bit changed there would
    not show.
    """
    key = serialization.load_der_private_key(seal.key, None)
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise TypeError("the seal's key is of another kind")
    return key.sign(content, ec.ECDSA(hashes.SHA256()))


def read(pdf: bytes, roots: list[bytes]) -> Sealed:
    """Return the seal of a PDF, checked against these roots. Raises BadSeal.

    A good signature over a part is refused: something was added after sealing.
    """
    context = ValidationContext(
        trust_roots=[Certificate.load(one) for one in roots],
        allow_fetching=False,
        revocation_mode="soft-fail",
    )
    try:
        held = list(PdfFileReader(io.BytesIO(pdf)).embedded_signatures)
        one = len(held) == 1
        told = _apart(validate_pdf_signature, held[0], context) if one else None
    # A changed file can break the parser anywhere, in errors of many kinds; each of
    # them says the same.
    except Exception as error:
        raise BadSeal(f"the file cannot be read: {error}"[:300]) from error
    if told is None:
        raise BadSeal(f"it carries {len(held)} seals in place of one")
    if not (told.intact and told.valid):
        raise BadSeal("its bytes are not those that were sealed")
    if told.coverage != SignatureCoverageLevel.ENTIRE_FILE or not told.docmdp_ok:
        raise BadSeal("something was added after it was sealed")
    subject = told.signing_cert.subject.native
    return Sealed(
        by=str(subject.get("common_name", "")),
        at=told.signer_reported_dt,
        certificate=told.signing_cert.dump(),
        chains=bool(told.trusted),
    )


def _signer(seal: SealKey) -> signers.SimpleSigner:
    own, root = Certificate.load(seal.certificate), Certificate.load(seal.root)
    return signers.SimpleSigner(
        signing_cert=own,
        signing_key=PrivateKeyInfo.load(seal.key),
        cert_registry=_store(root, own),
    )


def _store(*held: Certificate) -> SimpleCertificateStore:
    store = SimpleCertificateStore()  # type: ignore[no-untyped-call]
    for one in held:
        store.register(one)
    return store


def _field() -> fields.SigFieldSpec:
    return fields.SigFieldSpec(
        sig_field_name=FIELD,
        readable_field_name=SPOKEN,
        invis_sig_settings=fields.InvisSigSettings(
            set_print_flag=False, set_hidden_flag=True
        ),
    )


def opened(key: str, secret: str, certificate: str, root: str) -> SealKey:
    """Open a key kept as encrypted PEM. Raises ValueError for another secret."""
    private = serialization.load_pem_private_key(key.encode(), secret.encode())
    return SealKey(
        key=private.private_bytes(
            serialization.Encoding.DER,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        ),
        certificate=_der(certificate),
        root=_der(root),
    )


def _der(pem: str) -> bytes:
    return x509.load_pem_x509_certificate(pem.encode()).public_bytes(
        serialization.Encoding.DER
    )
