"""What is made of a photo to be looked at."""

from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import PhotoFile, Visit


class Rendition(FirmOwned):
    """A served copy of a photo: upright, without metadata, with its marks drawn."""

    class Size(models.TextChoices):
        LARGE = "large"
        PRINT = "print"
        THUMB = "thumb"

    photo = models.ForeignKey(
        PhotoFile, on_delete=models.PROTECT, related_name="renditions"
    )
    marks_sha256 = models.CharField(max_length=64)
    size = models.CharField(max_length=5, choices=Size.choices)
    sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "photo", "marks_sha256", "size"], name="rendition_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.size}"

    @property
    def storage_key(self) -> str:
        return f"firm/{self.firm_id}/rendition/{self.sha256}.jpg"


class PhotoPreview(FirmOwned):
    """A phone's small copy of a photo that has not arrived; its id is the photo's.

    It lies in the row, not in the file store: it goes when the real copies are made.
    """

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="previews")
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    sent_sha256 = models.CharField(max_length=64)
    content = models.BinaryField()
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    got_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"#{self.pk}"
