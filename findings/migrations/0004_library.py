"""The firm's library of passages, files brought into it, how words are checked."""

import django.contrib.postgres.fields
import django.db.models.deletion
import uuid
from django.db import migrations, models
from firm.tenancy_sql import SecureTables


class Migration(migrations.Migration):

    dependencies = [
        ('findings', '0003_tenancy'),
        ('firm', '0002_tenancy'),
    ]

    operations = [
        migrations.AddField(
            model_name='finding',
            name='passage_version',
            field=models.CharField(blank=True, max_length=20),
        ),
        migrations.CreateModel(
            name='PassageImport',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=200)),
                ('sha256', models.CharField(max_length=64)),
                ('header', models.JSONField()),
                ('rows', models.JSONField()),
                ('choices', models.JSONField(default=dict)),
                ('state', models.CharField(choices=[('WAITING', 'Waits to be taken over'), ('TAKEN', 'Taken over'), ('LEFT', 'Left aside')], default='WAITING', max_length=7)),
                ('brought_at', models.DateTimeField(auto_now_add=True)),
                ('settled_at', models.DateTimeField(blank=True, null=True)),
                ('brought_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership')),
                ('firm', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='PassageApproval',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('key', models.CharField(max_length=80)),
                ('number', models.PositiveIntegerField()),
                ('starter', models.PositiveIntegerField(default=0)),
                ('approved_at', models.DateTimeField(auto_now_add=True)),
                ('approved_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership')),
                ('firm', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm')),
            ],
            options={
                'abstract': False,
                'constraints': [models.UniqueConstraint(fields=('firm', 'key', 'number', 'starter'), name='passage_approved_once')],
            },
        ),
        migrations.CreateModel(
            name='PassageVersion',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('key', models.CharField(max_length=80)),
                ('number', models.PositiveIntegerField()),
                ('kind', models.CharField(choices=[('WRITTEN', 'Written'), ('RETIRED', 'Taken out of use')], default='WRITTEN', max_length=7)),
                ('content', models.JSONField()),
                ('note', models.TextField(blank=True, max_length=8000)),
                ('origin', models.CharField(choices=[('HAND', 'written here'), ('FILE', 'brought from a file'), ('REVIEW', 'from what review kept changing')], default='HAND', max_length=6)),
                ('reason', models.CharField(max_length=300)),
                ('made_at', models.DateTimeField(auto_now_add=True)),
                ('author', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership')),
                ('brought', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='findings.passageimport')),
                ('firm', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm')),
            ],
            options={
                'abstract': False,
                'constraints': [models.UniqueConstraint(fields=('firm', 'key', 'number'), name='passage_version_number_once'), models.CheckConstraint(condition=models.Q(('reason', ''), _negated=True), name='passage_version_has_a_reason')],
            },
        ),
        migrations.CreateModel(
            name='WordingChoice',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('number', models.PositiveIntegerField()),
                ('off', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=40), blank=True, default=list, size=None)),
                ('grade', models.DecimalField(decimal_places=1, max_digits=3)),
                ('longest_sentence', models.PositiveIntegerField()),
                ('own_words', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=40), blank=True, default=list, size=None)),
                ('metric', models.BooleanField(default=False)),
                ('made_at', models.DateTimeField(auto_now_add=True)),
                ('author', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership')),
                ('firm', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm')),
            ],
            options={
                'abstract': False,
                'constraints': [models.UniqueConstraint(fields=('firm', 'number'), name='wording_choice_number_once')],
            },
        ),
        SecureTables(
            models=[
                "passageimport",
                "passageapproval",
                "passageversion",
                "wordingchoice",
            ],
            append_only=["passageapproval", "passageversion", "wordingchoice"],
        ),
    ]
