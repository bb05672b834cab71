"""The firm's own words: passages by version, their approval, files brought in."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned


class PassageImport(FirmOwned):
    """A file of passages as it was read, until it is taken over whole or left."""

    class State(models.TextChoices):
        WAITING = "WAITING", "Waits to be taken over"
        TAKEN = "TAKEN", "Taken over"
        LEFT = "LEFT", "Left aside"

    name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    # The cells as they stood in the file, so that nothing of it is lost.
    header = models.JSONField()
    rows = models.JSONField()
    # What the person said its columns and words mean.
    choices = models.JSONField(default=dict)
    state = models.CharField(max_length=7, choices=State.choices, default=State.WAITING)
    brought_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    brought_at = models.DateTimeField(auto_now_add=True)
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta(FirmOwned.Meta):
        pass

    def __str__(self) -> str:
        return f"#{self.pk} {self.name}"


class PassageVersion(FirmOwned):
    """One version of a passage, written once; it drafts nothing before its approval."""

    class Kind(models.TextChoices):
        WRITTEN = "WRITTEN", "Written"
        RETIRED = "RETIRED", "Taken out of use"

    class Origin(models.TextChoices):
        HAND = "HAND", "written here"
        FILE = "FILE", "brought from a file"
        REVIEW = "REVIEW", "from what review kept changing"

    key = models.CharField(max_length=80)
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=7, choices=Kind.choices, default=Kind.WRITTEN)
    content = models.JSONField()
    # What a file held beside the passage: "Column: value", a line each.
    note = models.TextField(max_length=8000, blank=True)
    origin = models.CharField(max_length=6, choices=Origin.choices, default=Origin.HAND)
    brought = models.ForeignKey(
        PassageImport, null=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=300)
    author = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "key", "number"], name="passage_version_number_once"
            ),
            models.CheckConstraint(
                name="passage_version_has_a_reason", condition=~models.Q(reason="")
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.key} {self.number}"


class PassageApproval(FirmOwned):
    """Somebody approved one version; number 0 is the starter's, of this version."""

    key = models.CharField(max_length=80)
    number = models.PositiveIntegerField()
    starter = models.PositiveIntegerField(default=0)
    approved_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    approved_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "key", "number", "starter"],
                name="passage_approved_once",
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.key} {self.number}"


class WordingChoice(FirmOwned):
    """How a firm has its words checked; the latest row counts."""

    number = models.PositiveIntegerField()
    off = ArrayField(models.CharField(max_length=40), default=list, blank=True)
    grade = models.DecimalField(max_digits=3, decimal_places=1)
    longest_sentence = models.PositiveIntegerField()
    own_words = ArrayField(models.CharField(max_length=40), default=list, blank=True)
    metric = models.BooleanField(default=False)
    author = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "number"], name="wording_choice_number_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.number}"
