"""Somebody must be first (R4.10): a first trainer may teach and judge for 90 days without an own sign-off."""

import pytest

from competencies.models import LedgerIndex
from competencies.operations.decisions import When
from competencies.operations.initial_trainers import name_initial_trainer
from competencies.operations.recording import OnTask
from competencies.operations.rights import RightsError
from competencies.queries.facts import rules_of
from competencies.standing.facts import SITE
from competencies.vocabulary import EntryKind, Standing
from tests.factories import at, days_ago, make_floor, make_person, office, signer

pytestmark = pytest.mark.django_db


def named(person, task, by, ago):
    moment = at(days_ago(ago))
    when = When(happened_at=moment, on=days_ago(ago), now=moment)
    return name_initial_trainer(on_task=OnTask(person=person, task=task, scope=SITE), by=by, when=when)


@pytest.mark.parametrize(("ago", "is_in_force"), [(0, True), (90, True), (91, False)])
def test_a_first_trainer_may_teach_for_ninety_days(ago, is_in_force):
    floor = make_floor()
    newcomer = make_person(floor.plant)

    appended = named(newcomer, floor.task, office(floor.plant), ago)

    timeline = rules_of([newcomer])[newcomer.pk].timeline(floor.task.code, SITE)
    assert (timeline.at(at(days_ago(0), "12:00")).standing is Standing.IN_FORCE) is is_in_force
    assert LedgerIndex.objects.get(pk=appended.seq).kind == EntryKind.INITIAL_TRAINER


def test_nobody_names_themselves():
    floor = make_floor()

    with pytest.raises(RightsError, match="themselves"):
        named(floor.trainer, floor.task, signer(floor.trainer), 0)

    assert not LedgerIndex.objects.filter(kind=EntryKind.INITIAL_TRAINER).exists()
