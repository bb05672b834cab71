"""Put releases under the tenancy rules; what was released never changes."""

from django.db import migrations
from firm.tenancy_sql import SecureTables

# A release under way may still become released or failed; its contents never move.
# One change of a released row is known: names are withheld when the law's years are
# over. Digests stay, so the chain still holds, and a standing hold forbids it here too.
FROZEN = """
create or replace function kingpost_release_frozen() returns trigger
language plpgsql as $$
declare
    was jsonb := to_jsonb(old);
    now_is jsonb;
    may_move text[] := array['state', 'released_at'];
begin
    if tg_op = 'DELETE' then
        raise exception 'a release never goes' using errcode = 'restrict_violation';
    end if;
    if old.erased_at is null and new.erased_at is not null then
        if old.state <> 'RELEASED' or exists (
            select 1 from inspections_hold
            where firm_id = old.firm_id and visit_id = old.visit_id
                and ended_at is null
        ) then
            raise exception 'a hold stands, or nothing is released'
                using errcode = 'restrict_violation';
        end if;
        may_move := array['snapshot', 'case_file', 'erased_at'];
    elsif old.state = 'RELEASED' then
        may_move := array[]::text[];
    end if;
    now_is := to_jsonb(new);
    if was - may_move <> now_is - may_move then
        raise exception 'a release never changes' using errcode = 'restrict_violation';
    end if;
    return new;
end $$;
create trigger release_frozen before update or delete on reports_release
for each row execute function kingpost_release_frozen();
"""
THAWED = """
drop trigger release_frozen on reports_release;
drop function kingpost_release_frozen();
"""


class Migration(migrations.Migration):
    dependencies = [
        ("reports", "0001_first"),
        ("findings", "0003_tenancy"),
    ]

    operations = [
        SecureTables(
            models=[
                "release",
                "releaseentry",
                "artefact",
                "urgentnotice",
                "urgentfile",
                "consent",
                "sharelink",
                "linkopening",
                "seal",
            ],
            append_only=[
                "releaseentry",
                "artefact",
                "linkopening",
                "seal",
                "sealroot",
                "urgentnotice",
                "urgentfile",
            ],
        ),
        migrations.RunSQL(FROZEN, THAWED),
    ]
