"""The app of worked calculations: formulas, problems, marking, practice and checks."""

from django.apps import AppConfig


class AssessmentsConfig(AppConfig):
    """Settings of the app."""

    name = "assessments"

    def ready(self) -> None:
        """Let the demo plant work real problems."""
        from assessments.demo import DemoQuizzes  # noqa: PLC0415 - models are not there before
        from competencies.demo import quizzes  # noqa: PLC0415 - models are not there before

        quizzes.register(DemoQuizzes())
