"""What readers write and bring: keys, lists, questions, papers; and disputes."""

import django.db.models.deletion
import uuid
from django.db import migrations, models

from firm.tenancy_sql import SecureTables


class Migration(migrations.Migration):

    dependencies = [
        ('firm', '0002_tenancy'),
        ('inspections', '0002_tenancy'),
        ('reports', '0002_tenancy'),
    ]

    operations = [
        migrations.CreateModel(
            name='Attachment',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('title', models.CharField(max_length=120)),
                ('file_name', models.CharField(max_length=120)),
                ('author', models.CharField(max_length=120)),
                ('licence', models.CharField(blank=True, max_length=60)),
                ('sha256', models.CharField(max_length=64)),
                ('size', models.PositiveBigIntegerField()),
                ('scan', models.CharField(choices=[('NONE', 'not scanned: no scanner is set up'), ('CLEAN', 'scanned, nothing found')], max_length=5)),
                ('added_at', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Complaint',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('received_on', models.DateField()),
                ('said_by', models.CharField(max_length=120)),
                ('how', models.CharField(max_length=60)),
                ('words', models.TextField(max_length=5000)),
                ('insurer_by', models.DateField(blank=True, null=True)),
                ('taken_at', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='LinkKey',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('token_sha256', models.CharField(max_length=64, unique=True)),
                ('last_four', models.CharField(max_length=4)),
                ('made_at', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='ListLine',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('position', models.PositiveSmallIntegerField()),
                ('finding', models.CharField(blank=True, help_text='As in releases.', max_length=40)),
                ('words', models.CharField(max_length=500)),
                ('made_at', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Override',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('what', models.CharField(choices=[('PAYMENT', 'the fee is not paid'), ('AGREEMENT', 'a client has not signed the agreement')], max_length=9)),
                ('because', models.CharField(max_length=300)),
                ('due_at', models.DateTimeField(help_text='The date of the law it collides with.')),
                ('at', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Question',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('issue', models.PositiveIntegerField(help_text='The issue that was read.')),
                ('finding', models.CharField(blank=True, max_length=40)),
                ('asked_at', models.DateTimeField()),
                ('waits_for_issue', models.PositiveIntegerField(blank=True, null=True)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='RecheckItem',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('finding', models.CharField(max_length=40)),
                ('number', models.PositiveSmallIntegerField(help_text='As in the earlier report.')),
                ('outcome', models.CharField(blank=True, choices=[('PUT_RIGHT', 'Put right, as far as could be seen'), ('PARTLY', 'Partly put right'), ('NOT_YET', 'Not put right'), ('UNSEEN', 'Could not be seen')], max_length=9)),
                ('words', models.CharField(blank=True, max_length=1000)),
                ('looked_at', models.DateTimeField(blank=True, null=True)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='TakenBack',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('because', models.CharField(max_length=300)),
                ('at', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='ThreadEntry',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('text', models.TextField(max_length=3000)),
                ('at', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddIndex(
            model_name='linkopening',
            index=models.Index(fields=['link', 'action', 'at'], name='link_opening_counts'),
        ),
        migrations.AddField(
            model_name='attachment',
            name='added_by',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership'),
        ),
        migrations.AddField(
            model_name='attachment',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='attachment',
            name='visit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='attachments', to='inspections.visit'),
        ),
        migrations.AddField(
            model_name='complaint',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='complaint',
            name='hold',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='inspections.hold'),
        ),
        migrations.AddField(
            model_name='complaint',
            name='taken_by',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership'),
        ),
        migrations.AddField(
            model_name='complaint',
            name='visit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='complaints', to='inspections.visit'),
        ),
        migrations.AddField(
            model_name='linkkey',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='linkkey',
            name='link',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='keys', to='reports.sharelink'),
        ),
        migrations.AddField(
            model_name='listline',
            name='contact',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='inspections.contact'),
        ),
        migrations.AddField(
            model_name='listline',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='listline',
            name='visit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to='inspections.visit'),
        ),
        migrations.AddField(
            model_name='override',
            name='by',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership'),
        ),
        migrations.AddField(
            model_name='override',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='override',
            name='visit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='overrides', to='inspections.visit'),
        ),
        migrations.AddField(
            model_name='question',
            name='contact',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='inspections.contact'),
        ),
        migrations.AddField(
            model_name='question',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='question',
            name='visit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='questions', to='inspections.visit'),
        ),
        migrations.AddField(
            model_name='recheckitem',
            name='earlier',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='reports.release'),
        ),
        migrations.AddField(
            model_name='recheckitem',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='recheckitem',
            name='visit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rechecks', to='inspections.visit'),
        ),
        migrations.AddField(
            model_name='takenback',
            name='by',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership'),
        ),
        migrations.AddField(
            model_name='takenback',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='takenback',
            name='release',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='taken_back', to='reports.release'),
        ),
        migrations.AddField(
            model_name='threadentry',
            name='firm',
            field=models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='firm.firm'),
        ),
        migrations.AddField(
            model_name='threadentry',
            name='member',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='firm.membership'),
        ),
        migrations.AddField(
            model_name='threadentry',
            name='question',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='reports.question'),
        ),
        migrations.AddConstraint(
            model_name='attachment',
            constraint=models.UniqueConstraint(fields=('firm', 'visit', 'sha256'), name='attachment_once_per_visit'),
        ),
        migrations.AddConstraint(
            model_name='listline',
            constraint=models.UniqueConstraint(fields=('firm', 'visit', 'contact', 'position'), name='list_line_place_once'),
        ),
        migrations.AddConstraint(
            model_name='override',
            constraint=models.UniqueConstraint(fields=('firm', 'visit', 'what'), name='override_once'),
        ),
        migrations.AddConstraint(
            model_name='recheckitem',
            constraint=models.UniqueConstraint(fields=('firm', 'visit', 'finding'), name='recheck_item_once'),
        ),
        migrations.AddConstraint(
            model_name='takenback',
            constraint=models.UniqueConstraint(fields=('firm', 'release'), name='release_taken_back_once'),
        ),
        SecureTables(
            models=[
                "linkkey",
                "listline",
                "question",
                "threadentry",
                "override",
                "takenback",
                "complaint",
                "recheckitem",
                "attachment",
            ],
            append_only=[
                "linkkey",
                "threadentry",
                "override",
                "takenback",
                "complaint",
                "attachment",
            ],
        ),
    ]
