"""What a firm settles about a state's duties, rules and notices."""

from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned


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
