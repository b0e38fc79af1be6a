"""One index holds all that a cell of the matrix shows, in the place of the one by person; one counts by task."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('competencies', '0017_keep_incidents'),
    ]

    operations = [
        migrations.RemoveIndex(
            model_name='standingperiod',
            name='period_by_person',
        ),
        migrations.AddIndex(
            model_name='standingperiod',
            index=models.Index(
                fields=[
                    'person',
                    'task',
                    'known_to',
                    'starts_at',
                    'ends_at',
                    'known_from',
                    'scope',
                    'standing',
                    'counts',
                ],
                name='period_of_cell',
            ),
        ),
        migrations.AddIndex(
            model_name='standingperiod',
            index=models.Index(
                condition=models.Q(('counts', True)),
                fields=['task', 'person', 'known_to', 'starts_at', 'ends_at', 'known_from', 'scope'],
                name='period_that_counts',
            ),
        ),
    ]
