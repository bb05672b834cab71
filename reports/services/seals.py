"""The firm's seal: made when it is first needed, opened to seal a file."""

from __future__ import annotations

from datetime import datetime
from urllib.parse import urlsplit

from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import load_pem_x509_certificate
from django.conf import settings
from django.db import transaction
from django.utils import timezone

from firm import audit, jobs
from firm.actor import Actor
from firm.models import Firm
from firm.tenancy import bound
from reports.models import Seal, SealRoot
from reports.rendering import certificates, seal


def put_on(*, actor: Actor, pdf: bytes, reason: str) -> bytes:
    """Return the PDF under the firm's seal."""
    return seal.put_on(pdf, current(actor=actor), reason=reason)


def over(*, actor: Actor, content: bytes) -> bytes:
    """Return a bare signature of the firm over any bytes."""
    return seal.over(content, current(actor=actor))


def current_pem(*, actor: Actor) -> str:
    """Return the certificate that `over` signs with."""
    current(actor=actor)
    row = Seal.objects.filter(firm=actor.firm).order_by("-made_at")[0]
    return row.certificate


def current(*, actor: Actor) -> seal.SealKey:
    """Return the firm's seal, opened; its first use makes it."""
    with bound(actor.firm.pk):
        row = Seal.objects.filter(firm=actor.firm).order_by("-made_at").first()
        if row is None:
            row = renew(actor=actor, now=timezone.now())
        root = SealRoot.objects.get()
    try:
        return seal.opened(
            row.key, settings.FIRM_SEAL_SECRET, row.certificate, root.certificate
        )
    except ValueError as error:
        raise jobs.GiveUp(
            "The firm's seal cannot be opened: FIRM_SEAL_SECRET is not the one that it"
            " was made with. Bring that one back, or make a new seal."
        ) from error


@transaction.atomic
def renew(*, actor: Actor, now: datetime) -> Seal:
    """Make a seal for the firm; what older ones sealed stays good."""
    above = _root(now)
    # The firm's row is the lock: two workers at once make one seal.
    firm = Firm.objects.select_for_update().get(pk=actor.firm.pk)
    young = Seal.objects.filter(firm=firm, made_at__gte=now).first()
    if young is not None:
        return young
    made = certificates.seal(
        f"{firm.name}, report seal",
        above=above,
        secret=settings.FIRM_SEAL_SECRET,
        now=now,
    )
    row = Seal.objects.create(
        firm=firm, certificate=made.certificate, key=made.key, made_at=now
    )
    audit.record(
        actor=actor,
        event="seal.made",
        subject=f"seal:{row.pk}",
        detail={"certificate_sha256": certificates.fingerprint(made.certificate)},
    )
    return row


def _root(now: datetime) -> certificates.Made:
    row = SealRoot.objects.first()
    if row is None:
        host = urlsplit(settings.FIRM_BASE_URL).hostname or "this installation"
        made = certificates.root(
            f"Reports of {host}", secret=settings.FIRM_SEAL_SECRET, now=now
        )
        row, _ = SealRoot.objects.get_or_create(
            only=True,
            defaults={
                "certificate": made.certificate,
                "key": made.key,
                "made_at": now,
            },
        )
    return certificates.Made(row.certificate, row.key)


def roots() -> list[bytes]:
    """Return the certificates, as DER, that a seal of this installation hangs under."""
    rows = SealRoot.objects.values_list("certificate", flat=True)
    return [_der(pem) for pem in rows]


def root_pem() -> str:
    """Return the root as people keep it; empty before the first release."""
    row = SealRoot.objects.first()
    return row.certificate if row else ""


def root_fingerprint() -> str:
    pem = root_pem()
    return certificates.fingerprint(pem) if pem else ""


def _der(pem: str) -> bytes:
    return load_pem_x509_certificate(pem.encode()).public_bytes(Encoding.DER)
