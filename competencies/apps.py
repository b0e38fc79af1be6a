"""The app of people, tasks, pathways, the ledger, standing and the printed record."""

from django.apps import AppConfig
from django.core import checks


class CompetenciesConfig(AppConfig):
    """Settings of the app."""

    name = "competencies"

    def ready(self) -> None:
        """Let the ledger look after itself (guards, settings, checks), and say whether paper can be made."""
        from competencies.ledger.wiring import wire  # noqa: PLC0415 - the apps are not loaded any earlier
        from competencies.printing.readiness import check_press  # noqa: PLC0415 - the apps are not loaded any earlier

        wire(self)
        checks.register(check_press)
