"""The bytes of photos: what is promised, what has arrived."""

from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models.booking import Visit


class PhotoFile(FirmOwned):
    """One upload; its bytes never change.

    Its id is the photo record's id, or that of an original beside it.
    """

    class State(models.TextChoices):
        RECEIVING = "RECEIVING", "On its way"
        STORED = "STORED", "Stored"
        DROPPED = "DROPPED", "Ended by the device"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="photos")
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    sha256 = models.CharField(max_length=64)
    size = models.PositiveBigIntegerField()
    offset = models.PositiveBigIntegerField(default=0)
    state = models.CharField(
        max_length=9, choices=State.choices, default=State.RECEIVING
    )
    mismatches = models.PositiveSmallIntegerField(default=0)
    media = models.CharField(max_length=40, blank=True)
    # Set on a picture as the camera made it: the photo record whose working copy this
    # firm shows. No copies are made from it.
    original_of = models.UUIDField(null=True, blank=True)
    # Why no copy could be made from the bytes, in words for the firm.
    trouble = models.CharField(max_length=200, blank=True)
    began_at = models.DateTimeField(auto_now_add=True)
    stored_at = models.DateTimeField(null=True, blank=True)
    expires_at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.CheckConstraint(
                name="photo_file_offset_within_size",
                condition=models.Q(offset__lte=models.F("size")),
            )
        ]
        indexes = [models.Index(fields=["firm", "sha256"], name="photo_file_sha256")]

    def __str__(self) -> str:
        return f"#{self.pk} {self.state}"

    @property
    def storage_key(self) -> str:
        """Where the original lies: by content, under the firm, never by name."""
        return f"firm/{self.firm_id}/original/{self.sha256}"
