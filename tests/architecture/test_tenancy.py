"""Every row belongs to a firm, and the database itself keeps firms apart."""

from typing import Any

import pytest
from django.apps import apps
from django.db import connections, models

from tests.architecture.sources import APPS

# What belongs to no single firm, and why. Everything else must carry its firm.
GLOBAL = {
    "firm.Firm": "the firm itself",
    "firm.User": "a person may work for several firms",
    "firm.Installation": "one row that names this installation to its devices",
    "reports.SealRoot": "one row that the seals of all firms hang under",
} | {
    # Doors: they name a firm, but are asked before any firm is bound.
    "firm.CapabilityDoor": "finds the firm of a token",
    "firm.KnownFile": "finds the firm of a file that anybody holds",
}
DOORS = {"firm.CapabilityDoor", "firm.KnownFile"}

OURS = [model for app in APPS for model in apps.get_app_config(app).get_models()]
TENANT = [model for model in OURS if model._meta.label not in GLOBAL]


def columns(question: str, table: str) -> list[tuple[Any, ...]]:
    with connections["owner"].cursor() as cursor:
        cursor.execute(question, [table])
        return list(cursor.fetchall())


def test_every_model_has_its_firm_or_a_reason_not_to():
    for model in TENANT:
        names = {field.name for field in model._meta.local_fields}
        assert "firm" in names, f"{model._meta.label}: add a firm or a reason"
        field = model._meta.get_field("firm")
        assert isinstance(field, models.ForeignKey)
        assert not field.null
        # No walking from a firm to its rows past selectors and access.
        assert field.remote_field.related_name == "+", model._meta.label


def test_the_list_of_global_models_is_not_stale():
    assert set(GLOBAL) <= {model._meta.label for model in OURS}
    for model in OURS:
        if model._meta.label in GLOBAL:
            names = {field.name for field in model._meta.local_fields}
            assert ("firm" in names) == (model._meta.label in DOORS)


@pytest.mark.django_db(databases=["default", "owner"])
@pytest.mark.parametrize("model", TENANT, ids=lambda model: model._meta.label)
class TestTheDatabase:
    def test_row_security_is_on_and_forced(self, model):
        found = columns(
            "select relrowsecurity, relforcerowsecurity from pg_class "
            "where oid = %s::regclass",
            model._meta.db_table,
        )
        assert found == [(True, True)]

    def test_a_policy_holds_reads_and_writes_to_the_bound_firm(self, model):
        found = columns(
            "select qual, with_check from pg_policies "
            "where tablename = %s and cmd = 'ALL'",
            model._meta.db_table,
        )
        assert len(found) == 1
        for half in found[0]:
            assert "firm_id =" in str(half)
            assert "app.firm" in str(half)

    def test_keys_to_other_rows_of_a_firm_carry_the_firm(self, model):
        mine = {
            field.column
            for field in model._meta.local_fields
            if isinstance(field, models.ForeignKey) and field.related_model in TENANT
        }
        held = columns(
            "select array_agg(a.attname::text) from pg_constraint c "
            "join pg_attribute a on a.attrelid = conrelid and a.attnum = any(conkey) "
            "where c.contype = 'f' and c.conrelid = %s::regclass group by c.oid",
            model._meta.db_table,
        )
        pairs = [set(names) for (names,) in held]
        loose = [column for column in mine if {"firm_id", column} not in pairs]
        assert not loose, f"{model._meta.label}: {loose}"


@pytest.mark.django_db(databases=["default", "owner"])
def test_the_applications_role_cannot_step_around_row_security():
    with connections["default"].cursor() as cursor:
        cursor.execute(
            "select rolsuper, rolbypassrls, rolcreatedb, rolcreaterole "
            "from pg_roles where rolname = current_user"
        )
        assert cursor.fetchone() == (False, False, False, False)
        cursor.execute(
            "select count(*) from pg_class c where pg_get_userbyid(relowner) = "
            "current_user"
        )
        assert cursor.fetchone() == (0,)
