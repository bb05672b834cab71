"""What the firm signs and hands out: releases, their files, links, consents."""

from django.db import models

from findings.models import SignOff
from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import Contact, Visit


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


class Consent(FirmOwned):
    """A client's written yes to letting somebody else read the report."""

    class Scope(models.TextChoices):
        FULL = "FULL", "The whole report"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="consents")
    given_by = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    for_contact = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    scope = models.CharField(max_length=5, choices=Scope.choices)
    wording = models.TextField()
    given_at = models.DateTimeField()
    how = models.CharField(max_length=60)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"#{self.pk} {self.scope}"


class ShareLink(FirmOwned):
    """A revocable door to one visit's reports for one person."""

    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, related_name="share_links"
    )
    contact = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    part = models.CharField(max_length=8)
    consent = models.ForeignKey(
        Consent, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    token_sha256 = models.CharField(max_length=64, unique=True)
    last_four = models.CharField(max_length=4)
    made_by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            # An agent's door opens only with the client's consent behind it.
            models.CheckConstraint(
                name="share_link_agent_has_consent",
                condition=models.Q(part="CLIENT") | models.Q(consent__isnull=False),
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} …{self.last_four}"


class LinkOpening(FirmOwned):
    """What happened at a share link. Never changed."""

    id = models.BigAutoField(primary_key=True)  # type: ignore[assignment]
    link = models.ForeignKey(
        ShareLink, on_delete=models.PROTECT, related_name="openings"
    )
    at = models.DateTimeField()
    action = models.CharField(max_length=10)
    network = models.CharField(max_length=50, help_text="Address, cut to its network.")
    browser = models.CharField(max_length=40)

    def __str__(self) -> str:
        return f"#{self.pk} {self.action}"
