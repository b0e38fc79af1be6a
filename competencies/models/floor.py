"""The plan of the floor: who is asked to do what, who is rostered, who is away, what each line needs."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.framework import Task
from competencies.models.people import Person
from competencies.models.place import Line, Machine, Plant, Shift
from competencies.vocabulary import CoverRuleKind


class Assignment(models.Model):
    """A trainer's request: this person, this task, this day, shift and line, with this supervisor."""

    class State(models.TextChoices):
        """What became of it."""

        PLANNED = "planned", _("planned")
        DONE = "done", _("done")
        DROPPED = "dropped", _("called off")

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="assignments")
    person = models.ForeignKey(Person, models.CASCADE, related_name="assignments")
    task = models.ForeignKey(Task, models.PROTECT, related_name="assignments")
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="assignments")
    machine = models.ForeignKey(Machine, models.PROTECT, null=True, blank=True, related_name="assignments")
    on = models.DateField(_("day"))
    shift = models.ForeignKey(Shift, models.PROTECT, related_name="assignments")
    trainer = models.ForeignKey(Person, models.PROTECT, related_name="assignments_as_trainer")
    note = models.CharField(_("note"), max_length=300, blank=True)
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.PLANNED)
    created_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(_("asked at"))
    done_seq = models.BigIntegerField(_("ledger entry"), null=True, blank=True)

    class Meta:
        """Constraints and indexes."""

        constraints = [
            models.UniqueConstraint(
                fields=["person", "task", "on", "shift"],
                condition=models.Q(state="planned"),
                name="asked_once",
            )
        ]
        indexes = [
            models.Index(fields=["plant", "on"], name="assignment_by_day"),
            models.Index(fields=["person", "on"], name="assignment_by_person"),
        ]

    def __str__(self) -> str:
        """Return person, task and day."""
        return f"{self.person_id} {self.task_id} {self.on}"


class RosterDay(models.Model):
    """A person is rostered for a shift, at a line where the roster says so, and stays longer by the overtime."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="roster_days")
    on = models.DateField(_("day"))
    shift = models.ForeignKey(Shift, models.PROTECT, related_name="roster_days")
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="roster_days")
    overtime_minutes = models.PositiveSmallIntegerField(_("overtime after the shift (minutes)"), default=0)

    class Meta:
        """Constraints and indexes."""

        constraints = [models.UniqueConstraint(fields=["person", "on", "shift"], name="rostered_once")]
        indexes = [models.Index(fields=["on", "shift", "line"], name="roster_by_shift")]

    def __str__(self) -> str:
        """Return person and day."""
        return f"{self.person_id} {self.on}"


class Absence(models.Model):
    """A person is away, both days in. No reason is kept."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="absences")
    from_on = models.DateField(_("first day away"))
    until_on = models.DateField(_("last day away"))

    class Meta:
        """Constraints."""

        constraints = [
            models.CheckConstraint(condition=models.Q(until_on__gte=models.F("from_on")), name="absence_in_order")
        ]

    def __str__(self) -> str:
        """Return person and first day."""
        return f"{self.person_id} {self.from_on}"


class Station(models.Model):
    """A place on a line that must be manned by a person who counts for the task, on every shift the line runs."""

    line = models.ForeignKey(Line, models.CASCADE, related_name="stations")
    task = models.ForeignKey(Task, models.PROTECT, related_name="stations")
    machine = models.ForeignKey(Machine, models.PROTECT, null=True, blank=True, related_name="stations")
    needed = models.PositiveSmallIntegerField(_("people needed"), default=1)

    class Meta:
        """Constraints."""

        constraints = [
            models.UniqueConstraint(fields=["line", "task", "machine"], name="station_machine_once"),
            models.UniqueConstraint(
                fields=["line", "task"], condition=models.Q(machine__isnull=True), name="station_line_once"
            ),
        ]

    def __str__(self) -> str:
        """Return line and task."""
        return f"{self.line_id} {self.task_id}"


class CoverRule(models.Model):
    """What is declared about the stations of a line, from one moment to another; a row is ended, never changed.

    `first` and `second` are a pair that one person may hold together, or that lie next to each other. Of a group,
    each row names one station in `first`, the group in `group` and its part in `role`. Relief names no station.
    """

    KINDS = [(kind.value, kind.value) for kind in CoverRuleKind]

    line = models.ForeignKey(Line, models.CASCADE, related_name="cover_rules")
    kind = models.CharField(_("kind"), max_length=12, choices=KINDS)
    first = models.ForeignKey(Station, models.CASCADE, null=True, blank=True, related_name="+")
    second = models.ForeignKey(Station, models.CASCADE, null=True, blank=True, related_name="+")
    group = models.CharField(_("group"), max_length=60, blank=True)
    role = models.CharField(_("part in the group"), max_length=60, blank=True)
    set_at = models.DateTimeField(_("declared at"))
    set_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    ended_at = models.DateTimeField(_("ended at"), null=True, blank=True)
    ended_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        """Constraints."""

        constraints = [
            models.UniqueConstraint(
                fields=["line", "kind", "first", "second"],
                condition=models.Q(ended_at=None, second__isnull=False),
                name="cover_pair_once",
            ),
            models.UniqueConstraint(
                fields=["first"], condition=models.Q(ended_at=None, kind="group"), name="cover_group_once"
            ),
            models.UniqueConstraint(
                fields=["line"], condition=models.Q(ended_at=None, kind="relief"), name="cover_relief_once"
            ),
        ]

    def __str__(self) -> str:
        """Return line and kind."""
        return f"{self.line_id} {self.kind}"
