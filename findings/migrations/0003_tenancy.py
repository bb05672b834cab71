"""Put findings under the tenancy rules; revisions are written once."""

from django.db import migrations
from firm.tenancy_sql import SecureTables


class Migration(migrations.Migration):
    dependencies = [
        ("findings", "0002_words"),
        ("inspections", "0002_tenancy"),
    ]

    operations = [
        SecureTables(
            models=[
                "finding",
                "revision",
                "substancechange",
                "reviewnote",
                "signoff",
                "reviewturn",
                "reviewcover",
                "reviewsitting",
                "dutycheck",
                "noticetext",
                "rendition",
                "photopreview",
                "ruleruling",
            ],
            append_only=["revision", "noticetext", "ruleruling", "reviewturn"],
        ),
    ]
