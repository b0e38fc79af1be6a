"""What must be learned: tasks, what they ask (terms), and each issue of their procedure (revisions)."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.people import Person
from competencies.models.place import Area, Line, Machine, Plant
from competencies.vocabulary import ChangeClass, Criticality, ScopeKind, YoungWorker


class Task(models.Model):
    """A floor task that a person can be left alone at."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="tasks")
    area = models.ForeignKey(Area, models.PROTECT, related_name="tasks")
    code = models.CharField(_("code"), max_length=20)
    title = models.CharField(_("title"), max_length=160)
    level = models.PositiveSmallIntegerField(_("level"), default=2)
    scope_kind = models.CharField(
        _("one sign-off serves"),
        max_length=10,
        choices=[(k.value, k.value) for k in ScopeKind],
        default=ScopeKind.SITE,
    )
    criticality = models.CharField(
        _("critical for"), max_length=10, choices=[(c.value, c.value) for c in Criticality], default=Criticality.NONE
    )

    is_recognisable = models.BooleanField(_("may rest on evidence from elsewhere"), default=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "code"], name="task_code_once")]

    def __str__(self) -> str:
        """Return code and title."""
        return f"{self.code} {self.title}"


class TaskPlace(models.Model):
    """A place where a line or machine task can be held; a task without places can be held anywhere of its kind."""

    task = models.ForeignKey(Task, models.CASCADE, related_name="places")
    line = models.ForeignKey(Line, models.PROTECT, related_name="task_places")
    machine = models.ForeignKey(Machine, models.PROTECT, null=True, blank=True, related_name="task_places")

    class Meta:
        """Constraints."""

        constraints = [
            models.UniqueConstraint(fields=["task", "line", "machine"], name="task_machine_once"),
            models.UniqueConstraint(
                fields=["task", "line"], condition=models.Q(machine__isnull=True), name="task_line_once"
            ),
        ]

    def __str__(self) -> str:
        """Return line and machine."""
        return f"{self.line_id}/{self.machine_id}"


class TaskTerms(models.Model):
    """What a task asks from a day on. A sign-off keeps the terms it was given under."""

    task = models.ForeignKey(Task, models.CASCADE, related_name="terms")
    effective_on = models.DateField(_("from"))
    recorded_at = models.DateTimeField(_("recorded"))
    runs = models.PositiveSmallIntegerField(_("supervised runs"), default=1)
    distinct_shifts = models.PositiveSmallIntegerField(_("on different shifts"), default=1)
    simulated_max = models.PositiveSmallIntegerField(_("drills that may count"), default=0)
    ranges = models.JSONField(_("range"), default=dict, blank=True)
    validity_months = models.PositiveSmallIntegerField(_("valid for months"), null=True, blank=True)
    young_worker = models.CharField(
        _("young workers"), max_length=15, choices=[(y.value, y.value) for y in YoungWorker], default=YoungWorker.OPEN
    )
    min_age = models.PositiveSmallIntegerField(_("lowest age"), null=True, blank=True)
    grace_days = models.PositiveSmallIntegerField(_("days of grace"), null=True, blank=True)
    recency_days = models.PositiveSmallIntegerField(_("longest gap in days"), null=True, blank=True)
    prerequisites = models.ManyToManyField(Task, related_name="prerequisite_of", blank=True)
    # By the code of a prerequisite, the places ("L1", "L1/F1") at which it must be in force; usually left to the rule.
    prerequisite_places = models.JSONField(_("where a prerequisite is needed"), default=dict, blank=True)
    refreshes = models.ManyToManyField(Task, related_name="refreshed_by", blank=True)
    applies_to_held_on = models.DateField(_("for earlier sign-offs too, from"), null=True, blank=True)
    entry_seq = models.BigIntegerField(_("ledger entry"), null=True, blank=True)

    class Meta:
        """Constraints."""

        verbose_name_plural = "task terms"
        constraints = [models.UniqueConstraint(fields=["task", "effective_on", "recorded_at"], name="terms_once")]

    def __str__(self) -> str:
        """Return the task and the first day."""
        return f"{self.task_id} {self.effective_on}"


class TaskCalculation(models.Model):
    """A calculation that a task asks for, with how many problems a check has and how many must be right."""

    terms = models.ForeignKey(TaskTerms, models.CASCADE, related_name="calculations")
    calculation = models.CharField(_("calculation"), max_length=20)
    problems = models.PositiveSmallIntegerField(_("problems in a check"), default=5)
    pass_mark = models.PositiveSmallIntegerField(_("right answers to pass"), default=4)

    class Meta:
        """Constraints."""

        constraints = [
            models.UniqueConstraint(fields=["terms", "calculation"], name="task_calculation_once"),
            models.CheckConstraint(
                condition=models.Q(pass_mark__lte=models.F("problems"), pass_mark__gte=1), name="pass_mark_in_range"
            ),
        ]

    def __str__(self) -> str:
        """Return the calculation's code."""
        return self.calculation


class TaskRevision(models.Model):
    """One issue of a task's procedure. Never edited: a change is the next number.

    `change` is the class it was issued with; `reclassified_at` is when a minor one was decided to be major after all.
    """

    task = models.ForeignKey(Task, models.PROTECT, related_name="revisions")
    number = models.PositiveIntegerField(_("revision"))
    change = models.CharField(
        _("class of change"),
        max_length=10,
        choices=[(c.value, c.value) for c in ChangeClass],
        default=ChangeClass.MAJOR,
    )
    approved_on = models.DateField(_("approved on"))
    effective_on = models.DateField(_("in force from"))
    recorded_at = models.DateTimeField(_("recorded"))
    approved_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    second_approved_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    change_note = models.TextField(_("what changed"), blank=True)
    hazards = models.JSONField(_("hazards"), default=list, blank=True)
    protective_equipment = models.JSONField(_("protective equipment"), default=list, blank=True)
    evidence = models.TextField(_("where the evidence lies"), blank=True)
    touches = models.JSONField(_("criteria touched"), default=list, blank=True)
    reclassified_at = models.DateTimeField(_("major since"), null=True, blank=True)
    # As "1/2"; empty: the plant's policy says how many runs made on the old revision carry over.
    carries_runs = models.CharField(_("runs that carry over"), max_length=9, blank=True)
    entry_seq = models.BigIntegerField(_("ledger entry"), null=True, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["task", "number"], name="revision_number_once")]

    def __str__(self) -> str:
        """Return task and number."""
        return f"{self.task_id} rev {self.number}"


class Criterion(models.Model):
    """One observable thing that the person does."""

    revision = models.ForeignKey(TaskRevision, models.CASCADE, related_name="criteria")
    number = models.PositiveSmallIntegerField(_("number"))
    text = models.TextField(_("criterion"))
    is_critical = models.BooleanField(_("one miss decides"), default=False)
    is_scope_specific = models.BooleanField(_("differs by machine"), default=False)

    class Meta:
        """Constraints."""

        verbose_name_plural = "criteria"
        constraints = [models.UniqueConstraint(fields=["revision", "number"], name="criterion_number_once")]

    def __str__(self) -> str:
        """Return the text."""
        return self.text


class Reading(models.Model):
    """A quantity the person measures: target, limits, unit; or a result in words (`target_text`)."""

    revision = models.ForeignKey(TaskRevision, models.CASCADE, related_name="readings")
    number = models.PositiveSmallIntegerField(_("number"))
    name = models.CharField(_("reading"), max_length=120)
    unit = models.CharField(_("unit"), max_length=40, blank=True)
    target = models.DecimalField(_("target"), max_digits=14, decimal_places=5, null=True, blank=True)
    target_text = models.CharField(_("target in words"), max_length=80, blank=True)
    low = models.DecimalField(_("low limit"), max_digits=14, decimal_places=5, null=True, blank=True)
    high = models.DecimalField(_("high limit"), max_digits=14, decimal_places=5, null=True, blank=True)
    paired_tolerance = models.DecimalField(
        _("most between trainee and assessor"), max_digits=14, decimal_places=5, null=True, blank=True
    )
    source = models.CharField(_("source"), max_length=20, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["revision", "number"], name="reading_number_once")]

    def __str__(self) -> str:
        """Return the name."""
        return self.name
