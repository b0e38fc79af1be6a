"""The qualification's parts: unit standards with versions, and the pathway with its groups."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.framework import Task
from competencies.models.people import Person
from competencies.models.place import Plant


class UnitStandard(models.Model):
    """One version of a unit standard."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="unit_standards")
    code = models.CharField(_("code"), max_length=20)
    version = models.PositiveSmallIntegerField(_("version"), default=1)
    title = models.CharField(_("title"), max_length=160)
    level = models.PositiveSmallIntegerField(_("level"))
    credits = models.PositiveSmallIntegerField(_("credits"))
    group = models.CharField(_("group"), max_length=20)
    first_date_for_assessment = models.DateField(_("first date for assessment"), null=True, blank=True)
    last_date_for_assessment = models.DateField(_("last date for assessment"), null=True, blank=True)
    min_age = models.PositiveSmallIntegerField(_("lowest age"), null=True, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "code", "version"], name="unit_version_once")]

    def __str__(self) -> str:
        """Return code, version and title."""
        return f"{self.code} v{self.version} {self.title}"


class UnitOutcome(models.Model):
    """One outcome of a unit; met when every item in it is."""

    unit = models.ForeignKey(UnitStandard, models.CASCADE, related_name="outcomes")
    number = models.PositiveSmallIntegerField(_("outcome"))

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["unit", "number"], name="outcome_number_once")]

    def __str__(self) -> str:
        """Return unit and number."""
        return f"{self.unit_id}.{self.number}"


class OutcomeItem(models.Model):
    """What an outcome asks: a sign-off on a task, or a passed calculation check."""

    outcome = models.ForeignKey(UnitOutcome, models.CASCADE, related_name="items")
    task = models.ForeignKey(Task, models.PROTECT, null=True, blank=True, related_name="outcome_items")
    calculation = models.CharField(_("calculation"), max_length=20, blank=True)

    class Meta:
        """Constraints."""

        constraints = [
            models.CheckConstraint(
                condition=models.Q(task__isnull=False, calculation="")
                | models.Q(task__isnull=True) & ~models.Q(calculation=""),
                name="outcome_item_is_one_thing",
            )
        ]

    def __str__(self) -> str:
        """Return the task or calculation."""
        return self.calculation or str(self.task_id)


class Qualification(models.Model):
    """A pathway: which unit standards, how many credits of which group. Rules as the syllabus file states them."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="qualifications")
    code = models.CharField(_("code"), max_length=20)
    version = models.PositiveSmallIntegerField(_("version"), default=1)
    title = models.CharField(_("title"), max_length=160)
    min_total_credits = models.PositiveSmallIntegerField(_("credits in all"))
    rules = models.JSONField(_("rules"), default=list)
    exclusions = models.JSONField(_("pairs that count once"), default=list, blank=True)
    last_date_to_enrol = models.DateField(_("last date to enrol"), null=True, blank=True)
    last_date_to_achieve = models.DateField(_("last date to achieve"), null=True, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "code", "version"], name="qualification_version_once")]

    def __str__(self) -> str:
        """Return the title."""
        return self.title


class Enrolment(models.Model):
    """A person on one version of a pathway, from a day on, until the day of a later version of the same pathway."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="enrolments")
    qualification = models.ForeignKey(Qualification, models.PROTECT, related_name="enrolments")
    enrolled_on = models.DateField(_("enrolled on"))
    entry_seq = models.BigIntegerField(_("ledger entry"), null=True, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["person", "qualification"], name="enrolled_once")]

    def __str__(self) -> str:
        """Return person and pathway."""
        return f"{self.person_id} {self.qualification_id}"
