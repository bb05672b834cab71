"""The visit's append-only log, and what is projected from it."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models.booking import Visit


class Device(FirmOwned):
    """One browser storage of one person; made on the device, never shared."""

    membership = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    first_seen_at = models.DateTimeField(auto_now_add=True)
    client = models.CharField(max_length=40, blank=True)
    # How far the device's clock was off when it last pushed; decides nothing.
    clock_offset_s = models.IntegerField(null=True, blank=True)

    def __str__(self) -> str:
        return f"#{self.pk}"


class DeviceCursor(FirmOwned):
    """The last contiguous number that a device has used on a visit."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")
    last_seq = models.BigIntegerField(default=0)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "device"], name="device_cursor_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.last_seq}"


class LogRow(FirmOwned):
    """One immutable mutation, or the release of one that was set apart."""

    class Status(models.TextChoices):
        OK = "ok", "Applied"
        QUARANTINED = "quarantined", "Kept, needs the office"

    id = models.BigAutoField(primary_key=True)  # type: ignore[assignment]
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="log")
    version = models.BigIntegerField()
    mutation = models.UUIDField()
    device = models.ForeignKey(
        Device, null=True, on_delete=models.PROTECT, related_name="+"
    )
    seq = models.BigIntegerField(null=True)
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    rec = models.UUIDField(null=True)
    field = models.CharField(max_length=60, blank=True)
    value = models.JSONField(null=True)
    seen = ArrayField(models.UUIDField(), default=list)
    schema = models.IntegerField(default=1)
    at = models.CharField(max_length=40, blank=True, help_text="The device's clock.")
    got = models.DateTimeField(help_text="This server's clock.")
    status = models.CharField(max_length=12, choices=Status.choices)
    why = models.CharField(max_length=200, blank=True)
    late = models.BooleanField(default=False)
    content_sha256 = models.CharField(max_length=64)
    # What the columns above could not hold, exactly as it came.
    raw = models.BinaryField(null=True)
    # Set on a row that lets a quarantined mutation in.
    releases = models.UUIDField(null=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "version"], name="log_row_version"
            ),
            models.UniqueConstraint(
                fields=["firm", "mutation"], name="log_row_mutation_once"
            ),
            models.UniqueConstraint(
                fields=["firm", "visit", "device", "seq"], name="log_row_device_seq"
            ),
        ]
        indexes = [
            models.Index(fields=["firm", "visit", "rec", "field"], name="log_row_field")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} v{self.version}"


class ManifestProof(FirmOwned):
    """A device held its list of a visit against the server's and found it whole."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="proofs")
    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(help_text="This server's clock.")
    version = models.BigIntegerField()
    count = models.BigIntegerField()
    photos = models.PositiveIntegerField()
    digest = models.CharField(max_length=64)

    class Meta(FirmOwned.Meta):
        constraints = [
            # The same list with the same pictures is proven once by each device.
            models.UniqueConstraint(
                fields=["firm", "visit", "device", "digest", "photos"],
                name="manifest_proof_once",
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} v{self.version}"


class Head(FirmOwned):
    """A mutation of a field that no later one has covered: a projection."""

    id = models.BigAutoField(primary_key=True)  # type: ignore[assignment]
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="heads")
    rec = models.UUIDField()
    field = models.CharField(max_length=60)
    mutation = models.UUIDField()
    version = models.BigIntegerField()
    value = models.JSONField(null=True)
    seen = ArrayField(models.UUIDField(), default=list)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "mutation"], name="head_once"
            )
        ]
        indexes = [
            models.Index(fields=["firm", "visit", "rec", "field"], name="head_field")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.field}"
