"""The database itself keeps firms apart."""

import pytest
from django.db import DatabaseError, connection, transaction

from firm import audit
from firm.models import AuditEntry, Licence, Membership
from firm.tenancy import bind, bound
from tests.support.cast import Cast

pytestmark = pytest.mark.django_db


def test_a_bound_firm_sees_only_its_rows(cast: Cast) -> None:
    with bound(cast.elsewhere.pk):
        assert {m.name for m in Membership.objects.all()} == {"Stig Stranger"}

    bind(cast.northside.pk)
    assert "Stig Stranger" not in {m.name for m in Membership.objects.all()}


def test_an_unbound_transaction_sees_nothing(cast: Cast) -> None:
    with connection.cursor() as cursor:
        cursor.execute("select set_config('app.firm', '', true)")

    assert Membership.objects.count() == 0


def test_a_row_cannot_be_written_for_another_firm(cast: Cast) -> None:
    with pytest.raises(DatabaseError), transaction.atomic():
        Membership.objects.create(
            firm=cast.elsewhere, user=cast.ines.user, name="Ines", roles=[]
        )


def test_a_row_cannot_point_to_another_firms_row(cast: Cast) -> None:
    with pytest.raises(DatabaseError), transaction.atomic():
        Licence.objects.create(
            firm=cast.northside,
            membership_id=cast.stranger.member.pk,
            state="NC",
            number="X",
            valid_from="2020-01-01",
            expires_on="2021-01-01",
        )


def test_audit_entries_chain_and_cannot_be_changed(cast: Cast) -> None:
    first = audit.record(actor=cast.owner.actor, event="firm.tried", subject="firm:1")
    second = audit.record(actor=cast.owner.actor, event="firm.tried", subject="firm:2")

    assert second.seq == first.seq + 1
    assert second.prev == first.entry
    assert audit.first_bad_entry(cast.owner.actor) is None
    with pytest.raises(DatabaseError), transaction.atomic():
        AuditEntry.objects.filter(pk=first.pk).update(who="somebody else")
    with pytest.raises(DatabaseError), transaction.atomic():
        AuditEntry.objects.filter(pk=first.pk).delete()
