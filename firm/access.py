"""Which firms and memberships somebody may see: from ids to rows."""

from uuid import UUID

from django.http import Http404

from firm.actor import Actor
from firm.models import CapabilityDoor, Firm, Membership, User
from firm.tenancy import bind_user
from firm.tokens import digest_of


def firm_by_slug(slug: str) -> Firm | None:
    return Firm.objects.filter(slug=slug).first()


def firm_by_id(firm_id: UUID) -> Firm | None:
    return Firm.objects.filter(pk=firm_id).first()


def firm_behind(token: str) -> Firm | None:
    """Return the firm that a secret address belongs to."""
    door = (
        CapabilityDoor.objects.select_related("firm")
        .filter(token_sha256=digest_of(token))
        .first()
    )
    return door.firm if door else None


def membership_of(firm: Firm, user: User) -> Membership | None:
    """Return the user's live membership; the firm must be bound."""
    return Membership.objects.filter(
        firm=firm, user=user, disabled_at__isnull=True
    ).first()


def memberships_of_user(user: User) -> list[Membership]:
    """Return the user's live memberships in all firms; inside a transaction."""
    bind_user(user.pk)
    return list(
        Membership.objects.filter(user=user, disabled_at__isnull=True)
        .select_related("firm")
        .order_by("firm__name")
    )


def member_to_read(actor: Actor, membership_id: UUID) -> Membership:
    member = Membership.objects.filter(firm=actor.firm, pk=membership_id).first()
    if member is None:
        raise Http404
    return member
