"""The same day of loading tells the same story."""

from datetime import date, timedelta

import pytest
from django.db import transaction

from competencies.demo.history import HISTORY_DAYS
from competencies.demo.story import tell
from competencies.ledger.reading import facts_of
from competencies.models import LedgerEntry, Person, StandingPeriod
from competencies.queries.facts import ledger_kept_in_memory

pytestmark = pytest.mark.django_db

TODAY = date(2027, 3, 30)
FIRST_WEEKS = TODAY - timedelta(days=HISTORY_DAYS - 12)


def told():
    """Return the facts, people and number of periods of the plant's first days, and take it all back."""
    with transaction.atomic(), ledger_kept_in_memory():
        tell(today=TODAY, until=FIRST_WEEKS)
        facts = facts_of(LedgerEntry.objects.order_by("seq"))
        people = list(Person.objects.order_by("pk").values_list("pk", "works_number", "name", "started_on"))
        periods = StandingPeriod.objects.count()
        transaction.set_rollback(True)
    return facts, people, periods


def test_the_same_day_tells_the_same_story():
    first, second = told(), told()

    assert len(first[0]) > 300
    assert first == second
