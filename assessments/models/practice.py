"""Practice, which is the trainee's own."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _

from assessments.vocabulary import TYPED_LENGTH, Help
from competencies.models import Person


class PracticeRound(models.Model):
    """Five minutes of practice, which may be broken off and gone on with.

    `calculation`, `seed` and `reason` are the problem that is asked now and why it is; `used_seconds` is the time that
    counted so far.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="practice_rounds")
    started_at = models.DateTimeField(_("started at"))
    used_seconds = models.PositiveIntegerField(_("seconds used"), default=0)
    calculation = models.CharField(_("calculation"), max_length=40)
    seed = models.BigIntegerField(_("seed"))
    reason = models.JSONField(_("why it comes next"))
    ended_at = models.DateTimeField(_("ended at"), null=True, blank=True)

    class Meta:
        """Constraints and indexes."""

        constraints = [
            models.UniqueConstraint(fields=["person"], condition=models.Q(ended_at=None), name="one_open_round")
        ]

    def __str__(self) -> str:
        """Return person and start."""
        return f"{self.person_id} {self.started_at:%Y-%m-%d %H:%M}"


class PracticeAttempt(models.Model):
    """One answer in practice. It belongs to the person alone: no page shows it to anybody else.

    `givens` and `answer` are kept as they were shown, so that the attempt can be read when the calculation has
    changed. `token` is that of one showing of the form: what is sent twice is kept once. `help` tells how much of the
    working was on the page, and `step_answers` what was typed into its blank steps.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="practice_attempts")
    calculation = models.CharField(_("calculation"), max_length=40)
    seed = models.BigIntegerField(_("seed"))
    givens = models.JSONField(_("given"))
    answer = models.CharField(_("right answer"), max_length=80)
    typed = models.CharField(_("typed answer"), max_length=TYPED_LENGTH)
    verdict = models.CharField(_("mark"), max_length=20)
    slips = models.JSONField(_("slips"), default=list, blank=True)
    seconds = models.PositiveIntegerField(_("seconds taken"), null=True, blank=True)
    at = models.DateTimeField(_("answered at"))
    token = models.UUIDField(default=uuid.uuid4, editable=False)
    help = models.CharField(_("working shown"), max_length=10, default=Help.NONE.value)
    step_answers = models.JSONField(_("answers to blank steps"), default=list, blank=True)
    round = models.ForeignKey(
        PracticeRound, models.SET_NULL, null=True, blank=True, related_name="attempts", verbose_name=_("round")
    )

    class Meta:
        """Constraints and indexes."""

        constraints = [models.UniqueConstraint(fields=["person", "token"], name="attempt_once")]
        indexes = [models.Index(fields=["person", "calculation", "at"], name="attempt_by_person")]

    def __str__(self) -> str:
        """Return the calculation and the mark."""
        return f"{self.calculation} {self.verdict}"


class PracticeProgress(models.Model):
    """How far a person is with one kind: what the attempts make of it, kept so that a page need not replay them.

    `stability` (days), `difficulty`, `phase` and `step` are the state of the memory; `stage` and `misses` say how much
    help the next problem gives; `wrong_at` and `slip` tell of a wrong answer with no right one since.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="practice_progress")
    calculation = models.CharField(_("calculation"), max_length=40)
    stability = models.FloatField(_("days until recall is 90 %"))
    difficulty = models.FloatField(_("difficulty, 1 to 10"))
    phase = models.PositiveSmallIntegerField(_("phase of learning"))
    step = models.PositiveSmallIntegerField(_("place in the first minutes"), null=True, blank=True)
    due_at = models.DateTimeField(_("due at"))
    last_at = models.DateTimeField(_("last answered at"))
    stage = models.PositiveSmallIntegerField(_("stage of help"))
    misses = models.PositiveSmallIntegerField(_("wrong running"))
    right_at = models.DateTimeField(_("last right at"), null=True, blank=True)
    wrong_at = models.DateTimeField(_("wrong since, at"), null=True, blank=True)
    slip = models.CharField(_("slip"), max_length=200, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["person", "calculation"], name="progress_once")]

    def __str__(self) -> str:
        """Return person and calculation."""
        return f"{self.person_id} {self.calculation}"


class StepsAsked(models.Model):
    """How many steps of one problem a person asked to see before answering; gone once it is answered."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="practice_steps_asked")
    calculation = models.CharField(_("calculation"), max_length=40)
    seed = models.BigIntegerField(_("seed"))
    steps = models.PositiveSmallIntegerField(_("steps"), default=0)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["person", "calculation", "seed"], name="asked_once_a_problem")]

    def __str__(self) -> str:
        """Return calculation, seed and steps."""
        return f"{self.calculation} {self.seed}: {self.steps}"
