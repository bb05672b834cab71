"""Put releases under the tenancy rules; what was released never changes."""

from django.db import migrations
from firm.tenancy_sql import SecureTables

# A release under way may still become released or failed; its contents never move.
FROZEN = """
create or replace function kingpost_release_frozen() returns trigger
language plpgsql as $$
begin
    if tg_op = 'DELETE' or old.state = 'RELEASED'
        or new.snapshot is distinct from old.snapshot
        or new.snapshot_sha256 is distinct from old.snapshot_sha256
        or new.issue is distinct from old.issue
        or new.visit_id is distinct from old.visit_id
    then
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
            ],
            append_only=[
                "releaseentry",
                "artefact",
                "linkopening",
                "urgentnotice",
                "urgentfile",
            ],
        ),
        migrations.RunSQL(FROZEN, THAWED),
    ]
