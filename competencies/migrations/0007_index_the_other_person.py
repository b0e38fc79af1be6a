"""The search rows of the ledger find the second person that an entry tells of."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Add the number and its index; no entry written so far tells of a second person."""

    dependencies = [("competencies", "0006_add_legal_holds")]

    operations = [
        migrations.AddField(model_name="ledgerindex", name="other", field=models.BigIntegerField(null=True)),
        migrations.AddIndex(
            model_name="ledgerindex", index=models.Index(fields=["other", "kind"], name="ledger_index_other")
        ),
    ]
