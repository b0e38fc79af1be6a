"""The stations of a line that one person may hold together, that lie side by side, that are a group; relief."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('competencies', '0010_date_units_and_pathways'),
    ]

    operations = [
        migrations.CreateModel(
            name='CoverRule',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('combinable', 'combinable'), ('neighbours', 'neighbours'), ('group', 'group'), ('relief', 'relief')], max_length=12, verbose_name='kind')),
                ('group', models.CharField(blank=True, max_length=60, verbose_name='group')),
                ('role', models.CharField(blank=True, max_length=60, verbose_name='part in the group')),
                ('set_at', models.DateTimeField(verbose_name='declared at')),
                ('ended_at', models.DateTimeField(blank=True, null=True, verbose_name='ended at')),
                ('ended_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='competencies.person')),
                ('first', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='competencies.station')),
                ('line', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='cover_rules', to='competencies.line')),
                ('second', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='competencies.station')),
                ('set_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='competencies.person')),
            ],
            options={
                'constraints': [models.UniqueConstraint(condition=models.Q(('ended_at', None), ('second__isnull', False)), fields=('line', 'kind', 'first', 'second'), name='cover_pair_once'), models.UniqueConstraint(condition=models.Q(('ended_at', None), ('kind', 'group')), fields=('first',), name='cover_group_once'), models.UniqueConstraint(condition=models.Q(('ended_at', None), ('kind', 'relief')), fields=('line',), name='cover_relief_once')],
            },
        ),
    ]
