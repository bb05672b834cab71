"""What seals a firm's reports, and the installation's own root above them."""

from django.db import models

from firm.tenancy_fields import FirmOwned


class SealRoot(models.Model):
    """One row: this installation's own root, above the seals of all its firms."""

    only = models.BooleanField(primary_key=True, default=True)
    certificate = models.TextField()
    key = models.TextField(help_text="PEM, encrypted with FIRM_SEAL_SECRET.")
    made_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="seal_root_is_one_row", condition=models.Q(only=True)
            )
        ]

    def __str__(self) -> str:
        return f"#{self.only} of {self.made_at:%Y-%m-%d}"


class Seal(FirmOwned):
    """What a firm seals its reports with. Never changed: old seals stay readable."""

    certificate = models.TextField()
    key = models.TextField(help_text="PEM, encrypted with FIRM_SEAL_SECRET.")
    made_at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["firm", "made_at"], name="seal_moment_once")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} of {self.made_at:%Y-%m-%d}"
