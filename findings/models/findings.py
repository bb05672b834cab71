"""What was found, in which words, and how both came to be."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import Visit


class Finding(FirmOwned):
    """Something the report will say, from a used proposal or by hand."""

    class State(models.TextChoices):
        DRAFT = "DRAFT", "Draft"
        IN_REVIEW = "IN_REVIEW", "In review"
        RETURNED = "RETURNED", "Returned with a note"
        WORDS_CHECKED = "WORDS_CHECKED", "Words checked"
        SIGNED = "SIGNED", "Signed"
        WITHDRAWN = "WITHDRAWN", "Withdrawn by the inspector"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="findings")
    # The rule and subject it came from, or the hand-written record's id.
    source_key = models.CharField(max_length=160)
    rule = models.CharField(max_length=80, blank=True)
    rule_version = models.CharField(max_length=20, blank=True)
    # The proposal as it was when it was used: facts, edition, source, trace.
    proposal = models.JSONField(null=True)
    system = models.CharField(max_length=40)
    item = models.CharField(max_length=80, blank=True)
    stop = models.UUIDField(null=True)
    places = models.JSONField(default=list)
    duties = models.JSONField(default=list)
    consequence = models.CharField(max_length=20)
    timing = models.CharField(max_length=20)
    trade = models.CharField(max_length=20)
    level_reason = models.CharField(max_length=300, blank=True)
    age_note = models.TextField(max_length=1000, blank=True)
    passage = models.CharField(max_length=80, blank=True)
    # Whose words they were: "starter 1", or the firm's version "2".
    passage_version = models.CharField(max_length=20, blank=True)
    photos = ArrayField(models.UUIDField(), default=list)
    state = models.CharField(max_length=14, choices=State.choices, default=State.DRAFT)
    author = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    words = models.ForeignKey(
        "Revision", null=True, on_delete=models.PROTECT, related_name="+"
    )
    version = models.PositiveIntegerField(default=1)
    # The firm's policy let library words pass; no person of the review read them.
    passed_unread = models.BooleanField(default=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "source_key"], name="finding_once_per_source"
            )
        ]
        indexes = [
            models.Index(fields=["firm", "visit", "state"], name="finding_state")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.source_key}"


class Revision(FirmOwned):
    """One state of a finding's words, with who wrote it and who had asked."""

    class AskedBy(models.TextChoices):
        NOBODY = "NOBODY", "Nobody"
        CLIENT = "CLIENT", "The client"
        AGENT = "AGENT", "An agent"
        SELLER = "SELLER", "The seller"
        OWN = "OWN", "Our own idea"

    finding = models.ForeignKey(
        Finding, on_delete=models.PROTECT, related_name="revisions"
    )
    number = models.PositiveIntegerField()
    seen = models.TextField(max_length=4000, blank=True)
    matters = models.TextField(max_length=4000, blank=True)
    action = models.TextField(max_length=4000, blank=True)
    when = models.TextField(max_length=1000, blank=True)
    author = models.ForeignKey(
        Membership, null=True, on_delete=models.PROTECT, related_name="+"
    )
    asked_by = models.CharField(
        max_length=8, choices=AskedBy.choices, default=AskedBy.NOBODY
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "finding", "number"], name="revision_number_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.number}"


class SubstanceChange(FirmOwned):
    """A reviewer's change of place, level, trade or limits: waits for the inspector."""

    class Answer(models.TextChoices):
        WAITING = "WAITING", "Waits for the inspector"
        YES = "YES", "Accepted"
        NO = "NO", "Refused"

    finding = models.ForeignKey(
        Finding, on_delete=models.PROTECT, related_name="substance_changes"
    )
    field = models.CharField(max_length=20)
    before = models.CharField(max_length=300)
    after = models.CharField(max_length=300)
    reason = models.CharField(max_length=300)
    asked_by = models.CharField(
        max_length=8, choices=Revision.AskedBy.choices, default="NOBODY"
    )
    author = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    answer = models.CharField(
        max_length=8, choices=Answer.choices, default=Answer.WAITING
    )
    answered_at = models.DateTimeField(null=True, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "finding", "field"],
                condition=models.Q(answer="WAITING"),
                name="substance_change_one_open_per_field",
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.field}"
