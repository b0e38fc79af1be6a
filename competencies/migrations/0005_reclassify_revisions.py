"""A minor revision may be decided to be a major one after all."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Add the moment of the decision; none for what stands."""

    dependencies = [("competencies", "0004_let_terms_reach_earlier_signoffs")]

    operations = [
        migrations.AddField(
            model_name="taskrevision",
            name="reclassified_at",
            field=models.DateTimeField(blank=True, null=True, verbose_name="major since"),
        ),
    ]
