"""The firm, its people, and the rows every app leans on."""

from __future__ import annotations

import uuid
from typing import Any, ClassVar, Final

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.db import models
from django.db.models.functions import Lower

from firm.tenancy_fields import FirmOwned

# Least and most pixels of a working copy's long edge, and its JPEG quality. The large
# copy that reports show has 1,600 pixels: a smaller working copy would be enlarged.
PHOTO_LONG_EDGE: Final = (1600, 8000)
PHOTO_QUALITY: Final = (60, 95)


class Installation(models.Model):
    """One row: which life of this database it is. A restore writes a new id."""

    only = models.BooleanField(primary_key=True, default=True)
    incarnation = models.UUIDField(default=uuid.uuid4)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="installation_is_one_row", condition=models.Q(only=True)
            )
        ]

    def __str__(self) -> str:
        return f"#{self.incarnation}"


class Firm(models.Model):
    """A firm of home inspectors: the tenant."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    slug = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=120)
    address = models.TextField(max_length=300, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    state = models.CharField(max_length=2, help_text="State whose pack applies.")
    time_zone = models.CharField(max_length=60, default="America/New_York")
    # Firm-wide choices with their defaults in firm.policy: review, passages, paper.
    policy = models.JSONField(default=dict, blank=True)
    # What a phone sends of a picture: a working copy, and whether the original too.
    photo_originals = models.BooleanField(default=False)
    photo_long_edge = models.PositiveSmallIntegerField(default=2560)
    photo_quality = models.PositiveSmallIntegerField(default=82)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="firm_photo_copy_fit_to_print",
                condition=models.Q(photo_long_edge__range=PHOTO_LONG_EDGE)
                & models.Q(photo_quality__range=PHOTO_QUALITY),
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.name}"


class UserManager(BaseUserManager["User"]):
    """Users are found by e-mail, whatever the case it is typed in."""

    def get_by_natural_key(self, username: str | None) -> User:
        return self.get(email__iexact=username or "")

    def create_user(
        self, email: str, password: str | None = None, **extra: Any
    ) -> User:
        user = self.model(email=self.normalize_email(email), **extra)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def create_superuser(
        self, email: str, password: str | None = None, **extra: Any
    ) -> User:
        return self.create_user(
            email, password, is_staff=True, is_superuser=True, **extra
        )


class User(AbstractBaseUser, PermissionsMixin):
    """A person who signs in; belongs to firms through memberships."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    email = models.EmailField(unique=True)
    name = models.CharField(max_length=120)
    is_active = models.BooleanField(default=True)
    is_staff = models.BooleanField(default=False, help_text="Operator of this host.")
    created_at = models.DateTimeField(auto_now_add=True)

    objects = UserManager()

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    class Meta:
        constraints = [
            models.UniqueConstraint(Lower("email"), name="user_one_per_email")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.email}"


class Role(models.TextChoices):
    """What a member does in the firm; one person may hold several."""

    INSPECTOR = "INSPECTOR", "Inspector"
    TRAINEE = "TRAINEE", "Trainee"
    REVIEWER = "REVIEWER", "Reviewer"
    SCHEDULER = "SCHEDULER", "Scheduling admin"
    OWNER = "OWNER", "Owner"


class Membership(FirmOwned):
    """A person's place in a firm."""

    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    roles = models.JSONField(default=list)
    disabled_at = models.DateTimeField(null=True, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "user"], name="membership_once_per_firm"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.name}"


class Licence(FirmOwned):
    """A member's licence in one state."""

    membership = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="licences"
    )
    state = models.CharField(max_length=2)
    number = models.CharField(max_length=40)
    kind = models.CharField(max_length=60, default="Home inspector")
    valid_from = models.DateField()
    expires_on = models.DateField()

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "state", "number"], name="licence_number_once"
            ),
            models.CheckConstraint(
                name="licence_ends_after_start",
                condition=models.Q(expires_on__gte=models.F("valid_from")),
            ),
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.state} {self.number}"


class Instrument(FirmOwned):
    """A measuring instrument of the firm's register."""

    key = models.CharField(max_length=60)
    kind = models.CharField(max_length=80)
    name = models.CharField(max_length=120)
    serial = models.CharField(max_length=80, blank=True)
    tolerance = models.CharField(max_length=80, blank=True)
    calibrated_until = models.DateField(null=True, blank=True)
    keeper = models.ForeignKey(
        Membership, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["firm", "key"], name="instrument_key_once")
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.name}"


class StandardInForce(FirmOwned):
    """A state's standard pack that the firm has checked and works by."""

    pack = models.CharField(max_length=10)
    version = models.PositiveIntegerField()
    keeper = models.ForeignKey(
        Membership,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Who answers for it and hears of changes.",
    )
    checked_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, related_name="+"
    )
    checked_on = models.DateField()
    on_at = models.DateTimeField()
    off_at = models.DateTimeField(null=True, blank=True)
    off_because = models.CharField(max_length=300, blank=True)
    # What bookings and agreements say of it: the standards' name, the days.
    said = models.JSONField(default=dict)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "pack"],
                condition=models.Q(off_at__isnull=True),
                name="standard_in_force_once",
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.pack} {self.version}"


class AuditEntry(FirmOwned):
    """One link of the firm's chain of what was done, by whom. Never changed."""

    id = models.BigAutoField(primary_key=True)  # type: ignore[assignment]
    seq = models.BigIntegerField()
    at = models.DateTimeField()
    who = models.CharField(max_length=120)
    who_id = models.CharField(max_length=60)
    event = models.CharField(max_length=80)
    subject = models.CharField(max_length=120)
    detail = models.JSONField(default=dict)
    prev = models.CharField(max_length=64)
    entry = models.CharField(max_length=64)

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["firm", "seq"], name="audit_entry_seq")
        ]
        indexes = [models.Index(fields=["firm", "subject"], name="audit_entry_subject")]

    def __str__(self) -> str:
        return f"#{self.seq} {self.event}"


class ChainHead(FirmOwned):
    """The last link of one of the firm's chains; locked while a link is added."""

    class Chain(models.TextChoices):
        AUDIT = "AUDIT"
        RELEASE = "RELEASE"

    chain = models.CharField(max_length=10, choices=Chain.choices)
    seq = models.BigIntegerField(default=0)
    entry = models.CharField(max_length=64, default="")

    class Meta(FirmOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["firm", "chain"], name="chain_head_once_per_firm"
            )
        ]

    def __str__(self) -> str:
        return f"#{self.pk} {self.chain} {self.seq}"


class Job(FirmOwned):
    """Background work: the database is the queue, the broker only the doorbell."""

    class State(models.TextChoices):
        QUEUED = "QUEUED", "Waiting"
        RUNNING = "RUNNING", "Running"
        DONE = "DONE", "Done"
        FAILED = "FAILED", "Failed"

    task = models.CharField(max_length=80)
    key = models.CharField(max_length=160)
    args = models.JSONField(default=dict)
    state = models.CharField(max_length=8, choices=State.choices, default=State.QUEUED)
    attempts = models.PositiveSmallIntegerField(default=0)
    due_at = models.DateTimeField()
    lease_until = models.DateTimeField(null=True, blank=True)
    lease = models.UUIDField(null=True, blank=True)
    progress = models.CharField(max_length=120, blank=True)
    last_error = models.TextField(blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta(FirmOwned.Meta):
        constraints = [
            # The same piece of work is asked for once, however often the click.
            models.UniqueConstraint(
                fields=["firm", "task", "key"], name="job_once_per_key"
            )
        ]
        indexes = [models.Index(fields=["firm", "state", "due_at"], name="job_claim")]

    def __str__(self) -> str:
        return f"#{self.pk} {self.task} {self.state}"


class CapabilityDoor(models.Model):
    """Which firm a secret address belongs to, so that the firm can be bound.

    Only the digest of the secret is kept. Holds nothing else about anybody.
    """

    token_sha256 = models.CharField(max_length=64, primary_key=True)
    firm = models.ForeignKey(Firm, on_delete=models.CASCADE, related_name="+")

    def __str__(self) -> str:
        return f"#{self.token_sha256[:8]}"


class KnownFile(models.Model):
    """The digest of a file that was handed out, so that anybody can ask about it.

    Says only which firm's release it belongs to; nothing of the contents.
    """

    sha256 = models.CharField(max_length=64, primary_key=True)
    firm = models.ForeignKey(Firm, on_delete=models.CASCADE, related_name="+")
    release = models.UUIDField()

    def __str__(self) -> str:
        return f"#{self.sha256[:8]}"
