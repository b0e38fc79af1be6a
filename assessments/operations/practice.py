"""Attempts kept in practice."""

import uuid
from datetime import datetime

from django.db import transaction

from assessments.models import PracticeAttempt
from assessments.operations.answering import Answered, kept
from competencies.models import Person


@transaction.atomic
def keep_attempt(*, person: Person, answered: Answered, token: uuid.UUID, now: datetime) -> PracticeAttempt:
    """Keep an answer given in practice; the same showing of the form is kept once."""
    attempt, _created = PracticeAttempt.objects.get_or_create(
        person=person, token=token, defaults={**kept(answered), "seconds": answered.seconds, "at": now}
    )
    return attempt
