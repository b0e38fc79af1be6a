"""The command that makes the projected periods again."""

from io import StringIO

import pytest
from django.core.management import call_command

from competencies.models import StandingPeriod
from tests.factories import make_floor

pytestmark = pytest.mark.django_db


def test_lost_periods_come_back():
    make_floor()
    names = ("person_id", "task_id", "scope", "starts_at", "ends_at", "standing", "known_from", "known_to")
    kept = set(StandingPeriod.objects.values_list(*names))
    StandingPeriod.objects.all().delete()
    out = StringIO()

    call_command("rebuild_standing", stdout=out)

    assert kept
    assert set(StandingPeriod.objects.values_list(*names)) == kept
    assert out.getvalue() == f"Alder Quay: {len(kept)} periods\n"
