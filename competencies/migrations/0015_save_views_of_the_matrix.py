"""A cut of the matrix may be kept under a name, for oneself or for the plant."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('competencies', '0014_make_files_in_the_background'),
    ]

    operations = [
        migrations.CreateModel(
            name='SavedView',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=60, verbose_name='name')),
                ('query', models.TextField(blank=True, verbose_name='what it shows')),
                ('is_shared', models.BooleanField(default=False, verbose_name='shared with the plant')),
                ('saved_at', models.DateTimeField(verbose_name='saved')),
                ('owner', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='saved_views', to='competencies.person')),
                ('plant', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='saved_views', to='competencies.plant')),
            ],
            options={
                'verbose_name_plural': 'saved views of the matrix',
                'constraints': [models.UniqueConstraint(fields=('owner', 'name'), name='saved_view_once')],
            },
        ),
    ]
