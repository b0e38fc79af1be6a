"""The roster says how long somebody stays after the shift, since the limits of hours count overtime."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('competencies', '0012_say_what_a_sheet_explains'),
    ]

    operations = [
        migrations.AddField(
            model_name='rosterday',
            name='overtime_minutes',
            field=models.PositiveSmallIntegerField(default=0, verbose_name='overtime after the shift (minutes)'),
        ),
    ]
