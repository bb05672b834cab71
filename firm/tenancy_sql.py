"""The one migration operation that puts a table under the tenancy rules."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

_POLICY = "nullif(current_setting('app.firm', true), '')::uuid"
_APPEND_ONLY = "kingpost_append_only"


class SecureTables(Operation):
    """Put models under row security, with foreign keys that carry the firm.

    For each model: UNIQUE (firm_id, id); for each foreign key to another model of
    the firm's: FOREIGN KEY (firm_id, x_id); row security enabled and forced with a
    policy for reading and writing. `append_only` tables also refuse UPDATE and
    DELETE, by grant and by trigger.
    """

    reduces_to_sql = True
    reversible = True

    def __init__(self, models: list[str], append_only: list[str] | None = None) -> None:
        self.models = models
        self.append_only = append_only or []

    def deconstruct(self) -> tuple[str, list[Any], dict[str, Any]]:
        return (
            "SecureTables",
            [],
            {"models": self.models, "append_only": self.append_only},
        )

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Nothing changes in the state: the rules live in the database."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,  # noqa: ARG002 - Django passes both
        to_state: ProjectState,
    ) -> None:
        found = [to_state.apps.get_model(app_label, name) for name in self.models]
        for model in found:
            schema_editor.execute(_unique_sql(model))
        for model in found:
            for field in _tenant_keys(model):
                schema_editor.execute(_key_sql(model, field))
            for statement in _policy_sql(model):
                schema_editor.execute(statement, params=None)
        for name in self.append_only:
            for statement in _append_only_sql(to_state.apps.get_model(app_label, name)):
                schema_editor.execute(statement, params=None)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,  # noqa: ARG002 - Django passes both
    ) -> None:
        for name in reversed(self.models):
            table = from_state.apps.get_model(app_label, name)._meta.db_table
            schema_editor.execute(f'drop policy firm_rows on "{table}"')
            schema_editor.execute(
                f'alter table "{table}" no force row level security, '
                "disable row level security"
            )
            schema_editor.execute(
                f'alter table "{table}" drop constraint "{table}_firm_id_id" cascade'
            )
        for name in self.append_only:
            table = from_state.apps.get_model(app_label, name)._meta.db_table
            schema_editor.execute(f'drop trigger append_only on "{table}"')

    def describe(self) -> str:
        return f"Put {', '.join(self.models)} under the tenancy rules"


def _unique_sql(model: type[models.Model]) -> str:
    table = model._meta.db_table
    return (
        f'alter table "{table}" add constraint "{table}_firm_id_id" '
        "unique (firm_id, id)"
    )


def _tenant_keys(model: type[models.Model]) -> list[models.ForeignKey[Any, Any]]:
    return [
        field
        for field in model._meta.local_fields
        if isinstance(field, models.ForeignKey)
        and field.name != "firm"
        and any(f.name == "firm" for f in field.related_model._meta.local_fields)
        and field.related_model._meta.label_lower != "firm.capabilitydoor"
    ]


def _key_sql(model: type[models.Model], field: models.ForeignKey[Any, Any]) -> str:
    table, column = model._meta.db_table, field.column
    target = field.related_model._meta.db_table
    return (
        f'alter table "{table}" add constraint "{table}_{column}_firm" '
        f'foreign key (firm_id, "{column}") references "{target}" (firm_id, id) '
        "deferrable initially immediate"
    )


def _policy_sql(model: type[models.Model]) -> list[str]:
    table = model._meta.db_table
    return [
        f'alter table "{table}" enable row level security, force row level security',
        (
            f'create policy firm_rows on "{table}" using (firm_id = {_POLICY}) '
            f"with check (firm_id = {_POLICY})"
        ),
    ]


def _append_only_sql(model: type[models.Model]) -> list[str]:
    table = model._meta.db_table
    return [
        (
            f"create or replace function {_APPEND_ONLY}() returns trigger "
            "language plpgsql "
            "as $$ begin raise exception '% is append-only', tg_table_name "
            "using errcode = 'restrict_violation'; end $$"
        ),
        (
            f'create trigger append_only before update or delete on "{table}" '
            f"for each row execute function {_APPEND_ONLY}()"
        ),
    ]
