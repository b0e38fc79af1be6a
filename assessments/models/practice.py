"""Practice, which is the trainee's own."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _

from assessments.vocabulary import TYPED_LENGTH
from competencies.models import Person


class PracticeAttempt(models.Model):
    """One answer in practice. It belongs to the person alone: no page shows it to anybody else.

    `givens` and `answer` are kept as they were shown, so that the attempt can be read when the calculation has
    changed. `token` is that of one showing of the form: what is sent twice is kept once.
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

    class Meta:
        """Constraints and indexes."""

        constraints = [models.UniqueConstraint(fields=["person", "token"], name="attempt_once")]
        indexes = [models.Index(fields=["person", "calculation", "at"], name="attempt_by_person")]

    def __str__(self) -> str:
        """Return the calculation and the mark."""
        return f"{self.calculation} {self.verdict}"
