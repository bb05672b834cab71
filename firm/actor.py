"""Who is doing something: the first argument of every operation and every read."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from firm import capabilities
from firm.errors import NotAllowed
from firm.models import Firm, Membership


@dataclass(frozen=True, slots=True)
class Actor:
    """A member of a firm, the system at work for it, or the holder of a link."""

    firm: Firm
    name: str
    who_id: str
    membership: Membership | None = None
    capabilities: frozenset[str] = frozenset()

    @classmethod
    def member(cls, firm: Firm, membership: Membership) -> Actor:
        return cls(
            firm=firm,
            name=membership.name,
            who_id=f"member:{membership.pk}",
            membership=membership,
            capabilities=capabilities.of(frozenset(membership.roles)),
        )

    @classmethod
    def system(cls, firm: Firm) -> Actor:
        return cls(firm=firm, name="background work", who_id="system")

    @classmethod
    def link(cls, firm: Firm, name: str, link_id: UUID) -> Actor:
        return cls(firm=firm, name=name, who_id=f"link:{link_id}")

    def can(self, capability: str) -> bool:
        if capability not in capabilities.ROLES_WITH:
            raise KeyError(capability)
        return capability in self.capabilities

    def require(self, capability: str) -> None:
        """Raise NotAllowed unless this actor has the capability."""
        if not self.can(capability):
            raise NotAllowed("Your role in this firm does not include this.")

    @property
    def member_id(self) -> UUID:
        """The membership's id; only for operations that a person does."""
        if self.membership is None:
            raise NotAllowed("Only a member of the firm can do this.")
        return self.membership.pk
