"""The app of people, tasks, pathways, the ledger, standing and the printed record."""

from django.apps import AppConfig


class CompetenciesConfig(AppConfig):
    """Settings of the app."""

    name = "competencies"
