"""A printed sheet about one standing names the task, the place and the minute that it explains."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('competencies', '0011_declare_cover_rules'),
    ]

    operations = [
        migrations.AddField(
            model_name='printedsheet',
            name='moment',
            field=models.DateTimeField(blank=True, null=True, verbose_name='minute asked about'),
        ),
        migrations.AddField(
            model_name='printedsheet',
            name='scope',
            field=models.CharField(blank=True, max_length=41, verbose_name='place'),
        ),
        migrations.AddField(
            model_name='printedsheet',
            name='task',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='competencies.task'),
        ),
    ]
