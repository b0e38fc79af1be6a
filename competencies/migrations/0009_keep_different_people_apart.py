"""Two records that look like one person and are two."""

import django.db.models.deletion
from django.db import migrations, models

PERSON = "competencies.person"


class Migration(migrations.Migration):
    """Add the table of pairs."""

    dependencies = [("competencies", "0008_join_people")]

    operations = [
        migrations.CreateModel(
            name="DifferentPeople",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("decided_at", models.DateTimeField(verbose_name="decided at")),
                (
                    "decided_by",
                    models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name="+", to=PERSON),
                ),
                (
                    "first",
                    models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="+", to=PERSON),
                ),
                (
                    "second",
                    models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="+", to=PERSON),
                ),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("first", "second"), name="different_once")],
            },
        ),
    ]
