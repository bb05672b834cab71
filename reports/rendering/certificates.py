"""Making the two certificates of a seal: the installation's own root, the firm's."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

ROOT_YEARS, SEAL_YEARS = 30, 12
DOCUMENT_SIGNING = x509.ObjectIdentifier("1.3.6.1.5.5.7.3.36")  # RFC 9336
LONGEST_NAME = 64  # X.520: a common name holds no more


@dataclass(frozen=True, slots=True)
class Made:
    """A certificate and its key; the key only as encrypted PEM."""

    certificate: str
    key: str


def root(name: str, *, secret: str, now: datetime) -> Made:
    """Make the installation's own root, which nobody outside vouches for."""
    key = ec.generate_private_key(ec.SECP256R1())
    who = _named(name)
    made = (
        _begun(who, who, key.public_key(), now, ROOT_YEARS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(certifies=True), critical=True)
        .sign(key, hashes.SHA256())
    )
    return _kept(made, key, secret)


def seal(name: str, *, above: Made, secret: str, now: datetime) -> Made:
    """Make a firm's certificate under the root; it seals and certifies nothing."""
    issuer = x509.load_pem_x509_certificate(above.certificate.encode())
    issuing = serialization.load_pem_private_key(above.key.encode(), secret.encode())
    if not isinstance(issuing, ec.EllipticCurvePrivateKey):
        raise TypeError("the root's key is of another kind")
    key = ec.generate_private_key(ec.SECP256R1())
    made = (
        _begun(_named(name), issuer.subject, key.public_key(), now, SEAL_YEARS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(certifies=False), critical=True)
        .add_extension(
            x509.ExtendedKeyUsage(
                [DOCUMENT_SIGNING, ExtendedKeyUsageOID.EMAIL_PROTECTION]
            ),
            critical=False,
        )
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(issuing.public_key()),
            critical=False,
        )
        .sign(issuing, hashes.SHA256())
    )
    return _kept(made, key, secret)


def fingerprint(certificate: str) -> str:
    """Return the SHA-256 by which people compare a certificate."""
    held = x509.load_pem_x509_certificate(certificate.encode())
    return held.fingerprint(hashes.SHA256()).hex()


def _begun(
    subject: x509.Name,
    issuer: x509.Name,
    public: ec.EllipticCurvePublicKey,
    now: datetime,
    years: int,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        # A day back: a reader whose clock is behind must not find it too young.
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=365 * years))
        .add_extension(
            x509.SubjectKeyIdentifier.from_public_key(public), critical=False
        )
    )


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name[:LONGEST_NAME])])


def _usage(*, certifies: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not certifies,
        content_commitment=not certifies,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=certifies,
        crl_sign=certifies,
        encipher_only=False,
        decipher_only=False,
    )


def _kept(
    certificate: x509.Certificate, key: ec.EllipticCurvePrivateKey, secret: str
) -> Made:
    return Made(
        certificate=certificate.public_bytes(serialization.Encoding.PEM).decode(),
        key=key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.BestAvailableEncryption(secret.encode()),
        ).decode(),
    )
