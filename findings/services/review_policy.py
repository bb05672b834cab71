"""Setting what the firm wants read before a report leaves."""

from __future__ import annotations

from django.db import transaction

from findings.selectors.review_policy import KEY, Policy
from findings.wording import sentences
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput
from firm.models import Firm, Membership

ALL = 100


@transaction.atomic
def set_policy(*, actor: Actor, policy: Policy) -> None:
    """Write the firm's choice; it holds for reviews that finish from now on."""
    actor.require("review.decide")
    if not 0 <= policy.share <= ALL:
        raise BadInput("A share lies between 0 and 100.", field="share")
    if set(policy.levels) - set(sentences.levels().consequences):
        raise BadInput("Choose one of those listed.", field="levels")
    known = Membership.objects.filter(firm=actor.firm, pk__in=policy.inspectors)
    if known.count() != len(set(policy.inspectors)):
        raise BadInput("Choose one of those listed.", field="inspectors")
    firm = Firm.objects.select_for_update().get(pk=actor.firm.pk)
    before = firm.policy.get(KEY) or {}
    firm.policy = firm.policy | {KEY: policy.as_dict()}
    firm.save(update_fields=["policy"])
    actor.firm.policy = firm.policy
    audit.record(
        actor=actor,
        event="review_policy.set",
        subject=f"firm:{actor.firm.pk}",
        detail={"before": before, "after": policy.as_dict()},
    )
