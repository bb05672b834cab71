"""Contacts, properties, visits and their agreements."""

from django.contrib.postgres.fields import DateTimeRangeField
from django.db import models

from firm.models import Membership
from firm.tenancy_fields import FirmOwned


class Contact(FirmOwned):
    """A person outside the firm; the roles belong to each visit."""

    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)

    def __str__(self) -> str:
        return f"#{self.pk} {self.name}"


class Property(FirmOwned):
    """A building that is visited."""

    street = models.CharField(max_length=160)
    city = models.CharField(max_length=80)
    state = models.CharField(max_length=2)
    postcode = models.CharField(max_length=12, blank=True)
    time_zone = models.CharField(max_length=60)
    kind = models.CharField(
        max_length=20,
        choices=[
            ("detached", "Detached house"),
            ("townhouse", "Townhouse"),
            ("condominium", "Condominium unit"),
            ("two_to_four", "Two to four units"),
        ],
        default="detached",
    )
    floor_area_ft2 = models.PositiveIntegerField(null=True, blank=True)
    built_from = models.PositiveSmallIntegerField(null=True, blank=True)
    built_to = models.PositiveSmallIntegerField(null=True, blank=True)
    built_source = models.CharField(max_length=20, blank=True)
    note = models.TextField(max_length=1000, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.CheckConstraint(
                name="property_built_range_in_order",
                condition=models.Q(built_from__isnull=True)
                | models.Q(built_to__isnull=True)
                | models.Q(built_to__gte=models.F("built_from")),
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.street}"


class Visit(FirmOwned):
    """A booked inspection, from the first call to its release."""

    class Status(models.TextChoices):
        BOOKED = "BOOKED", "Booked"
        UNDER_WAY = "UNDER_WAY", "Under way"
        HANDED_IN = "HANDED_IN", "With the reviewer"
        WORDS_CHECKED = "WORDS_CHECKED", "Words checked, waiting for the inspector"
        SIGNED = "SIGNED", "Signed by the inspector"
        RELEASED = "RELEASED", "Released"
        ABANDONED = "ABANDONED", "Abandoned"

    number = models.CharField(max_length=20)
    property = models.ForeignKey(
        Property, on_delete=models.PROTECT, related_name="visits"
    )
    inspector = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    purpose = models.CharField(max_length=20, default="purchase")
    scope = models.JSONField(default=list, help_text="Systems, by key; empty: all.")
    pack = models.CharField(max_length=10)
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    # What the database holds against double booking; written with the two above.
    span = DateTimeRangeField()
    agreed_wall_time = models.CharField(
        max_length=40, help_text="The local time that was promised, as said."
    )
    decide_by_at = models.DateTimeField(null=True, blank=True)
    decide_by_source = models.CharField(max_length=120, blank=True)
    agreed_due_at = models.DateTimeField(null=True, blank=True)
    fee_cents = models.PositiveIntegerField(default=0)
    # In full; some states count the report's days from it.
    paid_at = models.DateTimeField(null=True, blank=True)
    access_note = models.TextField(max_length=1000, blank=True)
    referred_by = models.CharField(max_length=120, blank=True)
    status = models.CharField(
        max_length=16, choices=Status.choices, default=Status.BOOKED
    )
    abandoned_because = models.CharField(max_length=300, blank=True)
    handed_in_at = models.DateTimeField(null=True, blank=True)
    # The log's counter: moved only under this row's lock.
    version = models.BigIntegerField(default=0)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "number"], name="visit_number_once_per_firm"
            ),
            models.CheckConstraint(
                name="visit_ends_after_start",
                condition=models.Q(ends_at__gt=models.F("starts_at")),
            ),
        ]
        indexes = [
            models.Index(fields=["firm", "inspector", "starts_at"], name="visit_day"),
            models.Index(fields=["firm", "status", "starts_at"], name="visit_status"),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.number}"


class Companion(FirmOwned):
    """A member who records on a visit beside its inspector, such as a trainee."""

    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, related_name="companions"
    )
    member = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    named_at = models.DateTimeField(auto_now_add=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "member"], name="companion_named_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk}"


class Interest(FirmOwned):
    """A tie of the firm to somebody or something at a visit, told in writing."""

    class Kind(models.TextChoices):
        TIE = "tie", "A business, family or money tie to another party"
        SECOND_PAYER = "second_payer", "Somebody beside the client pays"
        REFERRAL_PAY = "referral_pay", "A benefit for sending the client"
        REPAIR = "repair", "Work for pay at the house by us or an affiliate"
        OTHER = "other", "Something else that may look partial"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="interests")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    text = models.CharField(max_length=500)
    work_on = models.DateField(null=True, blank=True, help_text="Of work for pay.")
    recorded_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    recorded_at = models.DateTimeField()
    told_at = models.DateTimeField(null=True, blank=True)
    told_how = models.CharField(max_length=120, blank=True)
    consent_at = models.DateTimeField(null=True, blank=True)
    consent_how = models.CharField(max_length=120, blank=True)

    def __str__(self) -> str:
        return f"#{self.pk} {self.kind}"


class Hold(FirmOwned):
    """A dispute over a visit: while it stands, nothing of the visit may go."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="holds")
    because = models.CharField(max_length=300)
    placed_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    placed_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_because = models.CharField(max_length=300, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit"],
                condition=models.Q(ended_at__isnull=True),
                name="hold_one_standing",
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk}"


class Party(FirmOwned):
    """A contact's part in one visit."""

    class As(models.TextChoices):
        CLIENT = "CLIENT", "Client"
        AGENT = "AGENT", "Client's agent"
        SELLER = "SELLER", "Seller"
        ACCESS = "ACCESS", "Opens the door"
        READER = "READER", "May read the report"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="parties")
    contact = models.ForeignKey(Contact, on_delete=models.PROTECT, related_name="+")
    part = models.CharField(max_length=8, choices=As.choices)
    position = models.PositiveSmallIntegerField(default=0, help_text="As named.")

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "visit", "contact", "part"], name="party_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.part}"


class Agreement(FirmOwned):
    """The frozen text that every named client signs before the visit."""

    visit = models.OneToOneField(
        Visit, on_delete=models.PROTECT, related_name="agreement"
    )
    text = models.TextField()
    text_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"#{self.pk} {self.text_sha256[:8]}"


class AgreementSignature(FirmOwned):
    """One client's signature, asked for by a link of its own."""

    agreement = models.ForeignKey(
        Agreement, on_delete=models.PROTECT, related_name="signatures"
    )
    party = models.ForeignKey(Party, on_delete=models.PROTECT, related_name="+")
    token_sha256 = models.CharField(max_length=64, unique=True)
    expires_at = models.DateTimeField()
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_name = models.CharField(max_length=120, blank=True)
    signed_text_sha256 = models.CharField(max_length=64, blank=True)
    # On the inspector's phone at the door, or through the client's own link.
    signed_how = models.CharField(max_length=20, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "agreement", "party"], name="agreement_asked_once"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk}"
