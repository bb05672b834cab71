"""Urgent notices: frozen apart from the report, with their files."""

from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import Visit


class UrgentNotice(FirmOwned):
    """What was said on site about an immediate hazard, frozen. Never changed."""

    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, related_name="urgent_notices"
    )
    number = models.PositiveIntegerField()
    # The hazard's record in the visit's log, whose later changes change nothing here.
    record = models.UUIDField()
    contents = models.BinaryField()
    contents_sha256 = models.CharField(max_length=64)
    frozen_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    frozen_at = models.DateTimeField()
    replaces = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=500, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "number"], name="urgent_notice_number_once"
            ),
            models.UniqueConstraint(
                fields=["firm", "replaces"], name="urgent_notice_replaced_once"
            ),
            models.CheckConstraint(
                name="urgent_notice_correction_says_why",
                condition=models.Q(replaces__isnull=True) | ~models.Q(reason=""),
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.number}"


class UrgentFile(FirmOwned):
    """The PDF of an urgent notice, by its content. Never changed."""

    notice = models.ForeignKey(
        UrgentNotice, on_delete=models.PROTECT, related_name="files"
    )
    sha256 = models.CharField(max_length=64)
    size = models.PositiveBigIntegerField()
    made_at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["firm", "notice"], name="urgent_file_once")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.sha256[:8]}"

    @property
    def storage_key(self) -> str:
        return f"firm/{self.firm_id}/artefact/{self.sha256}"
