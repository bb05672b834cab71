"""A device's word that a visit is whole, held against the server's own list."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import IntegrityError

from firm.actor import Actor
from firm.errors import Refusal
from firm.tenancy import bound
from inspections.access import require_recorder
from inspections.models import Device, ManifestProof, Visit
from inspections.selectors.changes import Manifest, manifest
from inspections.services.entries import locked


class ManifestDiffers(Refusal):
    """The device's list is not the server's; read the changes and compare again."""

    code = "manifest-differs"


class PhotosMissing(Refusal):
    """The lists agree, but bytes of pictures are not here yet."""

    code = "photos-missing"


class OtherDevice(Refusal):
    """This device id belongs to somebody else."""

    code = "other-device"


@dataclass(frozen=True, slots=True)
class Compared:
    """What a device worked out from what it holds."""

    device: UUID
    client: str
    count: int
    digest: str


def keep(
    *, actor: Actor, visit_id: UUID, compared: Compared, now: datetime
) -> ManifestProof:
    """Note that a device found the visit whole; the same again gives the first note.

    Raises Http404, NotAllowed, ManifestDiffers, PhotosMissing and OtherDevice.
    """
    with bound(actor.firm.pk):
        visit = locked(actor, visit_id)
        require_recorder(actor, visit)
        held = manifest(actor, visit)
        _require_same(held, compared)
    try:
        with bound(actor.firm.pk):
            return _write(actor, visit, held, compared, now)
    except IntegrityError as taken:
        raise OtherDevice("This device id is not free.") from taken


def _require_same(held: Manifest, compared: Compared) -> None:
    if (held.count, held.digest) != (compared.count, compared.digest):
        raise ManifestDiffers(
            "Your list of this visit is not the server's. Read the changes, then"
            " compare again."
        )
    missing = sum(not photo.stored for photo in held.photos)
    if missing:
        raise PhotosMissing(f"{missing} pictures of this visit are not here yet.")


def _write(
    actor: Actor, visit: Visit, held: Manifest, compared: Compared, now: datetime
) -> ManifestProof:
    device, _ = Device.objects.get_or_create(
        pk=compared.device,
        firm=actor.firm,
        defaults={"membership_id": actor.member_id, "client": compared.client},
    )
    if device.membership_id != actor.member_id:
        raise OtherDevice("This device id belongs to somebody else.")
    row, _ = ManifestProof.objects.get_or_create(
        firm=actor.firm,
        visit=visit,
        device=device,
        digest=held.digest,
        photos=sum(photo.of is None for photo in held.photos),
        defaults={
            "by_id": actor.member_id,
            "at": now,
            "version": held.version,
            "count": held.count,
        },
    )
    return row
