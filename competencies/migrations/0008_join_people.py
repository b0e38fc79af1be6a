"""A record that is the same person as another says so."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Add which record, and since when."""

    dependencies = [("competencies", "0007_index_the_other_person")]

    operations = [
        migrations.AddField(
            model_name="person",
            name="joined_into",
            field=models.ForeignKey(
                blank=True,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="joined_records",
                to="competencies.person",
            ),
        ),
        migrations.AddField(
            model_name="person", name="joined_at", field=models.DateTimeField(blank=True, editable=False, null=True)
        ),
    ]
