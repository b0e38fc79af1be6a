"""`manage.py test`: every check of the project, or pytest alone when it is given arguments."""

import sys

from django.core.management.base import BaseCommand

from config import gate


class Command(BaseCommand):
    """Takes the place of Django's own command, whose runner knows nothing of pytest."""

    help = "Runs every check of the project; with arguments, runs pytest with them and nothing else."
    requires_system_checks = ()

    def run_from_argv(self, argv: list[str]) -> None:
        """Hand all arguments on as they are, options included, and end with the checks' exit code."""
        arguments = argv[2:]
        sys.exit(gate.run_some(arguments) if arguments else gate.run_all())
