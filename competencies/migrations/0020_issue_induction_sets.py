"""What a starter goes through is kept by area and role, an issue at a time."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('competencies', '0019_tell_of_revisions'),
    ]

    operations = [
        migrations.CreateModel(
            name='InductionIssue',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('role', models.CharField(blank=True, choices=[('train', 'train'), ('assess', 'assess'), ('sign_food', 'sign_food'), ('sign_safety', 'sign_safety'), ('supervise', 'supervise'), ('coordinate', 'coordinate'), ('audit', 'audit')], max_length=20, verbose_name='role')),
                ('from_on', models.DateField(verbose_name='for whoever starts from')),
                ('created_at', models.DateTimeField(verbose_name='issued at')),
                ('area', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='induction_issues', to='competencies.area')),
                ('created_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='competencies.person')),
                ('plant', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='induction_issues', to='competencies.plant')),
            ],
        ),
        migrations.CreateModel(
            name='InductionTask',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('due_days', models.PositiveSmallIntegerField(verbose_name='due after days')),
                ('is_gate', models.BooleanField(default=False, verbose_name='before any other task')),
                ('issue', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='tasks', to='competencies.inductionissue')),
                ('task', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='competencies.task')),
            ],
        ),
        migrations.AddIndex(
            model_name='inductionissue',
            index=models.Index(fields=['plant', 'from_on'], name='induction_by_plant'),
        ),
        migrations.AddConstraint(
            model_name='inductiontask',
            constraint=models.UniqueConstraint(fields=('issue', 'task'), name='induction_task_once'),
        ),
    ]
