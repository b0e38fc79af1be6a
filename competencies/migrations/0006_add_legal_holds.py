"""Legal holds: what must not be erased while something is looked into."""

import django.db.models.deletion
from django.db import migrations, models

PERSON, NOBODY = "competencies.person", {"blank": True, "null": True}


class Migration(migrations.Migration):
    """Add the table of holds."""

    dependencies = [("competencies", "0005_reclassify_revisions")]

    operations = [
        migrations.CreateModel(
            name="LegalHold",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("incident", models.CharField(max_length=40, verbose_name="incident number")),
                ("from_on", models.DateField(**NOBODY, verbose_name="from")),
                ("until_on", models.DateField(**NOBODY, verbose_name="until")),
                ("set_at", models.DateTimeField(verbose_name="set")),
                ("entry_seq", models.BigIntegerField(verbose_name="ledger entry")),
                ("ended_at", models.DateTimeField(**NOBODY, verbose_name="ended")),
                ("ended_entry_seq", models.BigIntegerField(**NOBODY, verbose_name="ledger entry that ended it")),
                (
                    "ended_by",
                    models.ForeignKey(
                        **NOBODY, on_delete=django.db.models.deletion.PROTECT, related_name="+", to=PERSON
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(
                        **NOBODY,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="legal_holds",
                        to="competencies.line",
                    ),
                ),
                ("people", models.ManyToManyField(blank=True, related_name="legal_holds", to=PERSON)),
                (
                    "plant",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="legal_holds",
                        to="competencies.plant",
                    ),
                ),
                (
                    "set_by",
                    models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name="+", to=PERSON),
                ),
                (
                    "task",
                    models.ForeignKey(
                        **NOBODY,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="legal_holds",
                        to="competencies.task",
                    ),
                ),
            ],
            options={
                "indexes": [models.Index(fields=["plant", "ended_at"], name="hold_by_plant")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("from_on", None))
                        | models.Q(("until_on", None))
                        | models.Q(("until_on__gte", models.F("from_on"))),
                        name="hold_in_order",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("ended_by", None)) | ~models.Q(("ended_by", models.F("set_by"))),
                        name="hold_ended_by_another",
                    ),
                ],
            },
        ),
    ]
