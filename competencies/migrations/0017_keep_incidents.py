"""Incidents: what was found about a minute on a line, kept as it was."""

import django.db.models.deletion
from django.db import migrations, models

PROTECT = django.db.models.deletion.PROTECT


class Migration(migrations.Migration):
    """Add the table of incidents."""

    dependencies = [("competencies", "0016_tell_each_thing_once")]

    operations = [
        migrations.CreateModel(
            name="Incident",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("number", models.CharField(max_length=40, verbose_name="incident number")),
                ("on", models.DateField(verbose_name="day on which the shift started")),
                ("moment", models.DateTimeField(verbose_name="minute asked about")),
                ("copy", models.TextField(verbose_name="what was found")),
                ("digest", models.CharField(max_length=64, verbose_name="digest")),
                ("opened_at", models.DateTimeField(verbose_name="opened")),
                (
                    "hold",
                    models.OneToOneField(
                        on_delete=PROTECT, related_name="opened_with", to="competencies.legalhold"
                    ),
                ),
                (
                    "line",
                    models.ForeignKey(on_delete=PROTECT, related_name="incidents", to="competencies.line"),
                ),
                (
                    "opened_by",
                    models.ForeignKey(on_delete=PROTECT, related_name="+", to="competencies.person"),
                ),
                (
                    "plant",
                    models.ForeignKey(on_delete=PROTECT, related_name="incidents", to="competencies.plant"),
                ),
                ("shift", models.ForeignKey(on_delete=PROTECT, related_name="+", to="competencies.shift")),
            ],
            options={"indexes": [models.Index(fields=["plant", "opened_at"], name="incident_by_plant")]},
        ),
    ]
