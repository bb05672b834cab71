"""Put the firm's tables under the tenancy rules; write the installation's row."""

from django.db import migrations
from firm.tenancy_sql import SecureTables

OWN_MEMBERSHIPS = """
create policy own_memberships on firm_membership for select
using (user_id = nullif(current_setting('app.user', true), '')::uuid)
"""


class Migration(migrations.Migration):
    dependencies = [("firm", "0001_first")]

    operations = [
        SecureTables(
            models=[
                "membership",
                "licence",
                "instrument",
                "auditentry",
                "chainhead",
                "job",
                "standardinforce",
            ],
            append_only=["auditentry"],
        ),
        migrations.RunSQL(
            OWN_MEMBERSHIPS, "drop policy own_memberships on firm_membership"
        ),
        migrations.RunSQL(
            'insert into firm_installation ("only", incarnation) '
            "values (true, gen_random_uuid())",
            "delete from firm_installation",
        ),
    ]
