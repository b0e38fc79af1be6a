"""Checks, which count."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from assessments.vocabulary import TYPED_LENGTH
from competencies.models import Person, Plant


class CheckSittingQuerySet(models.QuerySet["CheckSitting"]):
    """Questions about sittings."""

    def open(self) -> "CheckSittingQuerySet":
        """Keep those that are neither finished nor called off."""
        return self.filter(finished_at=None, called_off_at=None)


class CheckSitting(models.Model):
    """A check: a trainee works some problems under supervision, and the result goes into the ledger once.

    `calculation` is the framework's code; `problem_seeds` lists for each problem the kind of calculation and its
    seed. `proof` tells how the person who opened it proved who they are.
    """

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="check_sittings")
    trainee = models.ForeignKey(Person, models.PROTECT, related_name="check_sittings")
    opened_by = models.ForeignKey(Person, models.PROTECT, related_name="check_sittings_opened")
    proof = models.CharField(_("proof of the opener"), max_length=10)
    calculation = models.CharField(_("calculation"), max_length=20)
    problems = models.PositiveSmallIntegerField(_("problems"))
    pass_mark = models.PositiveSmallIntegerField(_("right answers to pass"))
    problem_seeds = models.JSONField(_("seeds"))
    opened_at = models.DateTimeField(_("opened at"))
    started_at = models.DateTimeField(_("started at"), null=True, blank=True)
    finished_at = models.DateTimeField(_("finished at"), null=True, blank=True)
    called_off_at = models.DateTimeField(_("called off at"), null=True, blank=True)
    right = models.PositiveSmallIntegerField(_("right answers"), null=True, blank=True)
    entry_seq = models.BigIntegerField(_("ledger entry"), null=True, blank=True)

    objects = CheckSittingQuerySet.as_manager()

    class Meta:
        """Constraints and indexes."""

        constraints = [
            models.UniqueConstraint(
                fields=["trainee", "calculation"],
                condition=models.Q(finished_at=None, called_off_at=None),
                name="one_open_check",
            ),
            models.CheckConstraint(
                condition=models.Q(pass_mark__gte=1, pass_mark__lte=models.F("problems")), name="check_can_be_passed"
            ),
            models.CheckConstraint(
                condition=models.Q(finished_at=None) | models.Q(right__isnull=False, entry_seq__isnull=False),
                name="finished_check_is_in_ledger",
            ),
            models.UniqueConstraint(fields=["entry_seq"], name="check_in_ledger_once"),
        ]
        indexes = [models.Index(fields=["plant", "-opened_at"], name="sitting_by_plant")]

    def __str__(self) -> str:
        """Return trainee and calculation."""
        return f"{self.trainee_id} {self.calculation}"


class CheckAnswer(models.Model):
    """One answer in a check, with its problem as it was shown. It is never changed."""

    sitting = models.ForeignKey(CheckSitting, models.CASCADE, related_name="answers")
    number = models.PositiveSmallIntegerField(_("problem"))
    calculation = models.CharField(_("calculation"), max_length=40)
    seed = models.BigIntegerField(_("seed"))
    givens = models.JSONField(_("given"))
    answer = models.CharField(_("right answer"), max_length=80)
    typed = models.CharField(_("typed answer"), max_length=TYPED_LENGTH)
    verdict = models.CharField(_("mark"), max_length=20)
    slips = models.JSONField(_("slips"), default=list, blank=True)
    seconds = models.PositiveIntegerField(_("seconds taken"))
    at = models.DateTimeField(_("answered at"))

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["sitting", "number"], name="answered_once")]

    def __str__(self) -> str:
        """Return the number and the mark."""
        return f"{self.number} {self.verdict}"
