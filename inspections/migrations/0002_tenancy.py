"""Put visits and their logs under the tenancy rules; refuse double booking."""

from django.db import migrations
from firm.tenancy_sql import SecureTables

# A range type over ids lets a GiST index compare people without any extension.
DOUBLE_BOOKING = """
create type kingpost_id_range as range (subtype = uuid);
alter table inspections_visit add constraint visit_one_place_at_a_time
exclude using gist (
    kingpost_id_range(inspector_id, inspector_id, '[]') with &&, span with &&
) where (status <> 'ABANDONED');
"""
NO_DOUBLE_BOOKING = """
alter table inspections_visit drop constraint visit_one_place_at_a_time;
drop type kingpost_id_range;
"""


class Migration(migrations.Migration):
    dependencies = [
        ("inspections", "0001_first"),
        ("firm", "0002_tenancy"),
    ]

    operations = [
        SecureTables(
            models=[
                "contact",
                "property",
                "visit",
                "companion",
                "party",
                "agreement",
                "agreementsignature",
                "device",
                "devicecursor",
                "logrow",
                "head",
                "photofile",
                "interest",
                "hold",
                "manifestproof",
            ],
            append_only=["logrow", "manifestproof"],
        ),
        migrations.RunSQL(DOUBLE_BOOKING, NO_DOUBLE_BOOKING),
    ]
