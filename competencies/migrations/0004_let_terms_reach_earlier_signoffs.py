"""Terms may hold for sign-offs given before them, from a day that was decided."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Add the day of the decision; none for what stands."""

    dependencies = [("competencies", "0003_say_what_terms_lean_on")]

    operations = [
        migrations.AddField(
            model_name="taskterms",
            name="applies_to_held_on",
            field=models.DateField(blank=True, null=True, verbose_name="for earlier sign-offs too, from"),
        ),
    ]
