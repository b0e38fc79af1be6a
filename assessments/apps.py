"""The app of worked calculations: formulas, problems, marking, practice and checks."""

from django.apps import AppConfig


class AssessmentsConfig(AppConfig):
    """Settings of the app."""

    name = "assessments"
