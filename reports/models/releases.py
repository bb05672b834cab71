"""What the firm signs and hands out: releases, their chain, their files."""

from django.db import models

from findings.models import SignOff
from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import Visit


class Release(FirmOwned):
    """A frozen report. Its snapshot never changes; a correction is the next issue."""

    class State(models.TextChoices):
        RELEASING = "RELEASING", "Being made"
        RELEASED = "RELEASED", "Released"
        FAILED = "FAILED", "Could not be made"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="releases")
    number = models.CharField(max_length=20)
    issue = models.PositiveIntegerField()
    state = models.CharField(
        max_length=9, choices=State.choices, default=State.RELEASING
    )
    snapshot = models.BinaryField()
    snapshot_sha256 = models.CharField(max_length=64)
    # What the firm keeps of how each finding came about; never shown to a client.
    case_file = models.JSONField(default=dict)
    signature = models.ForeignKey(SignOff, on_delete=models.PROTECT, related_name="+")
    asked_for_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    frozen_at = models.DateTimeField()
    released_at = models.DateTimeField(null=True, blank=True)
    # Names withheld and files gone, once the law's years are over and no hold stands.
    erased_at = models.DateTimeField(null=True, blank=True)
    replaces = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=500, blank=True)
    asked_by = models.CharField(max_length=8, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "issue"], name="release_issue_once"
            ),
            models.UniqueConstraint(
                fields=["firm", "visit"],
                condition=models.Q(state="RELEASING"),
                name="release_one_under_way",
            ),
            models.CheckConstraint(
                name="release_has_its_moment",
                condition=~models.Q(state="RELEASED")
                | models.Q(released_at__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.number}/{self.issue}"


class ReleaseEntry(FirmOwned):
    """One link of the firm's chain of releases. Never changed."""

    release = models.ForeignKey(
        Release, on_delete=models.PROTECT, related_name="entries"
    )
    seq = models.BigIntegerField()
    at = models.DateTimeField()
    payload = models.CharField(max_length=64)
    prev = models.CharField(max_length=64)
    entry = models.CharField(max_length=64)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["firm", "seq"], name="release_entry_seq"),
            models.UniqueConstraint(
                fields=["firm", "release"], name="release_entry_once"
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.seq}"


class Artefact(FirmOwned):
    """A finished file of a release, by its content. Never changed."""

    class Kind(models.TextChoices):
        PDF = "pdf", "PDF"
        WEB = "web", "Web page"
        GALLERY = "gallery", "Gallery"

    release = models.ForeignKey(
        Release, on_delete=models.PROTECT, related_name="artefacts"
    )
    kind = models.CharField(max_length=8, choices=Kind.choices)
    sha256 = models.CharField(max_length=64)
    size = models.PositiveBigIntegerField()
    made_at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "release", "kind"], name="artefact_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.kind}"

    @property
    def storage_key(self) -> str:
        return f"firm/{self.firm_id}/artefact/{self.sha256}"
