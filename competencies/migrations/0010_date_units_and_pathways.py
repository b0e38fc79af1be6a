"""Versions of units and pathways have their days: first to assess, last to enrol, last to achieve."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Add the days; none is known of what was taken so far."""

    dependencies = [("competencies", "0009_keep_different_people_apart")]

    operations = [
        migrations.AddField(
            model_name="unitstandard",
            name="first_date_for_assessment",
            field=models.DateField(blank=True, null=True, verbose_name="first date for assessment"),
        ),
        migrations.AddField(
            model_name="qualification",
            name="last_date_to_enrol",
            field=models.DateField(blank=True, null=True, verbose_name="last date to enrol"),
        ),
        migrations.AddField(
            model_name="qualification",
            name="last_date_to_achieve",
            field=models.DateField(blank=True, null=True, verbose_name="last date to achieve"),
        ),
    ]
