"""What readers write and bring: lists, questions, outside papers; and disputes."""

from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import Contact, Hold, Visit
from reports.models.releases import Release


class ListLine(FirmOwned):
    """One line of a client's own list for their agent; theirs to change or strike."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="+")
    contact = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField()
    finding = models.CharField(max_length=40, blank=True, help_text="As in releases.")
    words = models.CharField(max_length=500)
    made_at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "contact", "position"],
                name="list_line_place_once",
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.position}"


class Question(FirmOwned):
    """What a reader asks about a released report; answered in its thread."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="questions")
    contact = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    issue = models.PositiveIntegerField(help_text="The issue that was read.")
    finding = models.CharField(max_length=40, blank=True)
    asked_at = models.DateTimeField()
    # From this issue on it may be answered: the answer changes what the report says.
    waits_for_issue = models.PositiveIntegerField(null=True, blank=True)

    def __str__(self) -> str:
        return f"#{self.pk}"


class ThreadEntry(FirmOwned):
    """One message of a thread, by its reader or by the firm. Never changed."""

    question = models.ForeignKey(
        Question, on_delete=models.PROTECT, related_name="entries"
    )
    member = models.ForeignKey(
        Membership, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    text = models.TextField(max_length=3000)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"#{self.pk}"


class Override(FirmOwned):
    """The owner's word that a report goes although something is still owed."""

    class What(models.TextChoices):
        PAYMENT = "PAYMENT", "the fee is not paid"
        AGREEMENT = "AGREEMENT", "a client has not signed the agreement"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="overrides")
    what = models.CharField(max_length=9, choices=What.choices)
    because = models.CharField(max_length=300)
    due_at = models.DateTimeField(help_text="The date of the law it collides with.")
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "what"], name="override_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.what}"


class TakenBack(FirmOwned):
    """A released issue that no link shows any more; its record stays. Never changed."""

    release = models.ForeignKey(
        Release, on_delete=models.PROTECT, related_name="taken_back"
    )
    because = models.CharField(max_length=300)
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "release"], name="release_taken_back_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk}"


class Complaint(FirmOwned):
    """What somebody holds against a visit, as they said it. Never changed."""

    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, related_name="complaints"
    )
    hold = models.ForeignKey(Hold, on_delete=models.PROTECT, related_name="+")
    received_on = models.DateField()
    said_by = models.CharField(max_length=120)
    how = models.CharField(max_length=60)
    words = models.TextField(max_length=5000)
    insurer_by = models.DateField(null=True, blank=True)
    taken_by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    taken_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"#{self.pk}"


class RecheckItem(FirmOwned):
    """A finding of an earlier report that a re-check visit looks at again."""

    class Outcome(models.TextChoices):
        PUT_RIGHT = "PUT_RIGHT", "Put right, as far as could be seen"
        PARTLY = "PARTLY", "Partly put right"
        NOT_YET = "NOT_YET", "Not put right"
        UNSEEN = "UNSEEN", "Could not be seen"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="rechecks")
    earlier = models.ForeignKey(Release, on_delete=models.PROTECT, related_name="+")
    finding = models.CharField(max_length=40)
    number = models.PositiveSmallIntegerField(help_text="As in the earlier report.")
    outcome = models.CharField(max_length=9, choices=Outcome.choices, blank=True)
    words = models.CharField(max_length=1000, blank=True)
    looked_at = models.DateTimeField(null=True, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "finding"], name="recheck_item_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.number}"


class Attachment(FirmOwned):
    """A paper from outside: opaque bytes, by their content. Never changed."""

    class Scan(models.TextChoices):
        NONE = "NONE", "not scanned: no scanner is set up"
        CLEAN = "CLEAN", "scanned, nothing found"

    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, related_name="attachments"
    )
    title = models.CharField(max_length=120)
    file_name = models.CharField(max_length=120)
    author = models.CharField(max_length=120)
    licence = models.CharField(max_length=60, blank=True)
    sha256 = models.CharField(max_length=64)
    size = models.PositiveBigIntegerField()
    scan = models.CharField(max_length=5, choices=Scan.choices)
    added_by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "sha256"], name="attachment_once_per_visit"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk}"

    @property
    def storage_key(self) -> str:
        return f"firm/{self.firm_id}/attachment/{self.sha256}"
