"""Who reads the words: notes, turns, cover, sittings, and who stands for them."""

from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned
from inspections.models import Visit


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
