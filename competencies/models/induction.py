"""What a starter goes through in the first days, by area and role. An issue is never edited: a change is a new one."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.framework import Task
from competencies.models.people import Authority, Person
from competencies.models.place import Area, Plant


class InductionIssue(models.Model):
    """One issue of an induction set. It serves whoever starts on `from_on` or later, until a newer one does.

    No area means everybody of the plant; no role, whatever they are entrusted with.
    """

    plant = models.ForeignKey(Plant, models.CASCADE, related_name="induction_issues")
    area = models.ForeignKey(Area, models.PROTECT, null=True, blank=True, related_name="induction_issues")
    role = models.CharField(_("role"), max_length=20, choices=Authority.KINDS, blank=True)
    from_on = models.DateField(_("for whoever starts from"))
    created_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(_("issued at"))

    class Meta:
        """Indexes."""

        indexes = [models.Index(fields=["plant", "from_on"], name="induction_by_plant")]

    def __str__(self) -> str:
        """Return the first day."""
        return f"{self.area_id} {self.role} {self.from_on}"


class InductionTask(models.Model):
    """A task of an induction set: due so many days after the start; a gate comes before any run of other tasks."""

    issue = models.ForeignKey(InductionIssue, models.CASCADE, related_name="tasks")
    task = models.ForeignKey(Task, models.PROTECT, related_name="+")
    due_days = models.PositiveSmallIntegerField(_("due after days"))
    is_gate = models.BooleanField(_("before any other task"), default=False)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["issue", "task"], name="induction_task_once")]

    def __str__(self) -> str:
        """Return the task and the days."""
        return f"{self.task_id} {self.due_days}"
