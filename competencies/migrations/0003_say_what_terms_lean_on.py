from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("competencies", "0002_ledger_guards"),
    ]

    operations = [
        migrations.AddField(
            model_name="task",
            name="is_recognisable",
            field=models.BooleanField(default=True, verbose_name="may rest on evidence from elsewhere"),
        ),
        migrations.AddField(
            model_name="taskrevision",
            name="carries_runs",
            field=models.CharField(blank=True, max_length=9, verbose_name="runs that carry over"),
        ),
        migrations.AddField(
            model_name="taskterms",
            name="prerequisite_places",
            field=models.JSONField(blank=True, default=dict, verbose_name="where a prerequisite is needed"),
        ),
        migrations.AddField(
            model_name="taskterms",
            name="refreshes",
            field=models.ManyToManyField(blank=True, related_name="refreshed_by", to="competencies.task"),
        ),
    ]
