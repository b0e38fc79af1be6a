"""Who was told of a new revision is kept, so that nobody is told twice."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('competencies', '0018_index_cells_of_the_matrix'),
    ]

    operations = [
        migrations.CreateModel(
            name='RevisionNotice',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('told_at', models.DateTimeField(verbose_name='told at')),
                ('mailed_at', models.DateTimeField(blank=True, null=True, verbose_name='e-mail sent at')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='revision_notices', to='competencies.person')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='notices', to='competencies.taskrevision')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('revision', 'person'), name='told_of_revision_once')],
            },
        ),
    ]
