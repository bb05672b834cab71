"""What a firm decides about rules, kept with its reason and never changed."""

import uuid

import django.db.models.deletion
from django.db import migrations, models
from firm.tenancy_sql import SecureTables

KINDS = [
    ("OFF", "Switched off"),
    ("ON", "Taken as the book has it"),
    ("LEVEL", "Level set by the firm"),
    ("OWN", "Written by the firm"),
]


class Migration(migrations.Migration):
    dependencies = [
        ("findings", "0003_tenancy"),
        ("firm", "0002_tenancy"),
    ]

    operations = [
        migrations.CreateModel(
            name="RuleRuling",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=uuid.uuid4,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("rule", models.CharField(max_length=80)),
                ("number", models.PositiveIntegerField()),
                ("kind", models.CharField(choices=KINDS, max_length=5)),
                ("consequence", models.CharField(blank=True, max_length=20)),
                ("timing", models.CharField(blank=True, max_length=20)),
                ("trade", models.CharField(blank=True, max_length=20)),
                ("definition", models.TextField(blank=True, max_length=8000)),
                ("reason", models.CharField(max_length=300)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                (
                    "author",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="firm.membership",
                    ),
                ),
                (
                    "firm",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="firm.firm",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "constraints": [
                    models.UniqueConstraint(
                        fields=("firm", "rule", "number"),
                        name="rule_ruling_number_once",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True),
                        name="rule_ruling_has_a_reason",
                    ),
                ],
            },
        ),
        SecureTables(models=["ruleruling"], append_only=["ruleruling"]),
    ]
