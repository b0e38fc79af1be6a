"""Put the guards on the ledger's tables.

The texts come from the guards module instead of being repeated here: whatever a migration leaves behind is
replaced, after each `migrate`, by the newest guards, so a copy here could only be wrong.
"""

from django.db import migrations

from competencies.ledger import guards


def install(apps, schema_editor):
    guards.install(schema_editor.connection)


def remove(apps, schema_editor):
    guards.remove(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("competencies", "0001_initial")]

    operations = [migrations.RunPython(install, remove)]
