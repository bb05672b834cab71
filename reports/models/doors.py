"""Who may read a report: consents, share links with their keys, what happened there."""

from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import Contact, Visit


class Consent(FirmOwned):
    """A client's written yes to letting somebody else read the report."""

    class Scope(models.TextChoices):
        FULL = "FULL", "The whole report"
        SUMMARY = "SUMMARY", "What matters first, and what could not be seen"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="consents")
    given_by = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    for_contact = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    scope = models.CharField(max_length=8, choices=Scope.choices)
    wording = models.TextField()
    wording_version = models.CharField(max_length=10)
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
    made_by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)
    # A hash of what was told over another channel; empty: no code is asked.
    code = models.CharField(max_length=200, blank=True)
    locked_at = models.DateTimeField(null=True, blank=True)
    renews = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta(FirmOwned.Meta):
        constraints = [
            # An agent's door opens only with the client's consent behind it.
            models.CheckConstraint(
                name="share_link_agent_has_consent",
                condition=models.Q(part="CLIENT") | models.Q(consent__isnull=False),
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.part}"

    @property
    def whole(self) -> bool:
        """Whether this person may read all of the report."""
        return self.consent is None or self.consent.scope == Consent.Scope.FULL


class LinkKey(FirmOwned):
    """One secret address of a share link, by its digest. Never changed.

    A message that was sent twice holds two keys, and both open the same door.
    """

    link = models.ForeignKey(ShareLink, on_delete=models.PROTECT, related_name="keys")
    token_sha256 = models.CharField(max_length=64, unique=True)
    last_four = models.CharField(max_length=4)
    made_at = models.DateTimeField()

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

    class Meta(FirmOwned.Meta):
        indexes = [
            models.Index(fields=["link", "action", "at"], name="link_opening_counts")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.action}"
