"""What was seen and what it means: findings, their words, notes and signatures."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from findings.models.library import PassageApproval as PassageApproval
from findings.models.library import PassageImport as PassageImport
from findings.models.library import PassageVersion as PassageVersion
from findings.models.library import WordingChoice as WordingChoice
from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import PhotoFile, Visit


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


class ReviewNote(FirmOwned):
    """A reviewer's note on a finding, a photo, a duty or the whole visit."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="notes")
    about = models.CharField(max_length=80)
    text = models.TextField(max_length=2000)
    author = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    answer = models.TextField(max_length=2000, blank=True)
    settled_by = models.ForeignKey(
        Membership, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    settled_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"#{self.pk} {self.about}"


class SignOff(FirmOwned):
    """A person stands for what they did: looked, or checked words."""

    class Kind(models.TextChoices):
        HANDED_IN = "HANDED_IN", "Handed in"
        WORDS_CHECKED = "WORDS_CHECKED", "Words checked"
        SIGNED = "SIGNED", "Signed by the inspector"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="sign_offs")
    kind = models.CharField(max_length=14, choices=Kind.choices)
    membership = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    licence_state = models.CharField(max_length=2, blank=True)
    licence_number = models.CharField(max_length=40, blank=True)
    licence_expires_on = models.DateField(null=True, blank=True)
    # Digest of the contents that were on the screen when it was signed.
    content_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    # The inspector could not sign: who did instead is `membership`, and why.
    standing_in_for = models.ForeignKey(
        Membership, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    stand_in_because = models.CharField(max_length=300, blank=True)
    # A change after signing takes the signature back; the row stays.
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_because = models.CharField(max_length=200, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "kind"],
                condition=models.Q(undone_at__isnull=True),
                name="sign_off_one_standing",
            ),
            models.CheckConstraint(
                name="sign_off_stand_in_says_why",
                condition=models.Q(standing_in_for__isnull=True)
                | ~models.Q(stand_in_because=""),
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.kind}"


class ReviewTurn(FirmOwned):
    """Who is to read one visit; the latest row of a visit counts."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="turns")
    number = models.PositiveIntegerField()
    # Nobody named: whoever is free takes it.
    reviewer = models.ForeignKey(
        Membership, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    because = models.CharField(max_length=300, blank=True)
    given_by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    given_at = models.DateTimeField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "number"], name="review_turn_number_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.number}"


class ReviewCover(FirmOwned):
    """A reviewer is away; what is named for them goes to somebody else meanwhile."""

    away = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    first_day = models.DateField()
    last_day = models.DateField()
    because = models.CharField(max_length=300)
    made_by = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.CheckConstraint(
                name="review_cover_days_in_order",
                condition=models.Q(last_day__gte=models.F("first_day")),
            ),
            models.CheckConstraint(
                name="review_cover_by_somebody_else",
                condition=~models.Q(away=models.F("by")),
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.first_day} to {self.last_day}"


class ReviewSitting(FirmOwned):
    """One person reading one visit without a long pause: who is there, how long."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="sittings")
    reader = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    opened_at = models.DateTimeField()
    seen_at = models.DateTimeField()
    # Time with the page in view; pauses are left out.
    seconds = models.PositiveIntegerField(default=0)

    class Meta(FirmOwned.Meta):
        indexes = [
            models.Index(fields=["firm", "visit", "seen_at"], name="review_sitting")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.seconds} s"


class DutyCheck(FirmOwned):
    """The firm's licensed reader has checked one line of a pack or one rule."""

    what = models.CharField(max_length=100)
    checked_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    checked_on = models.DateField()
    note = models.CharField(max_length=300, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["firm", "what"], name="duty_check_once")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.what}"


class RuleRuling(FirmOwned):
    """What the firm decided about one rule; the latest one of a rule is in force."""

    class Kind(models.TextChoices):
        OFF = "OFF", "Switched off"
        ON = "ON", "Taken as the book has it"
        LEVEL = "LEVEL", "Level set by the firm"
        OWN = "OWN", "Written by the firm"

    rule = models.CharField(max_length=80)
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=5, choices=Kind.choices)
    # Of a level: what is left empty stays as the rule says.
    consequence = models.CharField(max_length=20, blank=True)
    timing = models.CharField(max_length=20, blank=True)
    trade = models.CharField(max_length=20, blank=True)
    # Of a rule of the firm's own: its text, exactly as it was written.
    definition = models.TextField(max_length=8000, blank=True)
    reason = models.CharField(max_length=300)
    author = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "rule", "number"], name="rule_ruling_number_once"
            ),
            models.CheckConstraint(
                name="rule_ruling_has_a_reason", condition=~models.Q(reason="")
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.rule} {self.number} {self.kind}"


class NoticeText(FirmOwned):
    """Words fixed by law that the firm has entered from the official text."""

    pack = models.CharField(max_length=10)
    slot = models.CharField(max_length=60)
    version = models.PositiveIntegerField(default=1)
    text = models.TextField(max_length=4000)
    source = models.CharField(max_length=300)
    entered_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    entered_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "pack", "slot", "version"], name="notice_text_version"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.slot}"


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
