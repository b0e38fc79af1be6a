"""Somebody must be first (R4.10): a first trainer may teach and judge for 90 days without an own sign-off."""

import pytest

from competencies.models import LedgerIndex
from competencies.operations.decisions import When
from competencies.operations.initial_trainers import name_initial_trainer
from competencies.operations.recording import OnTask, RefusedError
from competencies.queries.facts import rules_of
from competencies.queries.initial_trainers import first_trainers, named_first
from competencies.standing.facts import SITE, Scope
from competencies.vocabulary import AuthorityKind, EntryKind, Standing
from tests import factories as make
from tests.factories import at, days_ago, signer

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant():
    return make.make_plant()


@pytest.fixture
def task(plant):
    return make.make_task(make.make_area(plant))


@pytest.fixture
def hana(plant):
    person = make.make_person(plant)
    make.grant(person, AuthorityKind.COORDINATE)
    return signer(person)


def named(person, task, by, ago, *, revision=None, scope=SITE):
    moment = at(days_ago(ago))
    when = When(happened_at=moment, on=days_ago(ago), now=moment)
    return name_initial_trainer(
        on_task=OnTask(person=person, task=task, scope=scope), revision=revision, by=by, when=when
    )


def codes(refused):
    return {refusal.code for refusal in refused.value.refusals}


@pytest.mark.parametrize(("ago", "is_in_force"), [(0, True), (90, True), (91, False)])
def test_a_first_trainer_may_teach_for_ninety_days(plant, task, hana, ago, is_in_force):
    newcomer = make.make_person(plant)

    appended = named(newcomer, task, hana, ago)

    timeline = rules_of([newcomer])[newcomer.pk].timeline(task.code, SITE)
    assert (timeline.at(at(days_ago(0), "12:00")).standing is Standing.IN_FORCE) is is_in_force
    assert LedgerIndex.objects.get(pk=appended.seq).kind == EntryKind.INITIAL_TRAINER


def test_nobody_names_themselves(task, hana):
    with pytest.raises(RefusedError) as refused:
        named(hana.person, task, hana, 0)

    assert codes(refused) == {"own"}
    assert not LedgerIndex.objects.filter(kind=EntryKind.INITIAL_TRAINER).exists()


def test_the_coordinator_for_the_area_names(plant, task):
    other = make.make_area(plant, "QC")
    elsewhere, supervisor, newcomer = (make.make_person(plant) for _ in range(3))
    make.grant(elsewhere, AuthorityKind.COORDINATE, area=other)
    make.grant(supervisor, AuthorityKind.SUPERVISE)

    for by in (elsewhere, supervisor):
        with pytest.raises(RefusedError) as refused:
            named(newcomer, task, signer(by), 0)
        assert codes(refused) == {"no_authority"}


def test_nobody_is_named_where_somebody_holds_the_task_by_a_sign_off(plant, task, hana):
    holder, newcomer = make.make_person(plant), make.make_person(plant)
    make.hold(holder, task)

    with pytest.raises(RefusedError) as refused:
        named(newcomer, task, hana, 0)

    assert codes(refused) == {"taught_already"}


def test_a_major_revision_that_nobody_has_shown_may_have_a_first_trainer(plant, task, hana):
    holder, newcomer = make.make_person(plant), make.make_person(plant)
    make.hold(holder, task, assessed=90)
    make.make_revision(task, 2, approved_on=days_ago(5), effective_on=days_ago(-10), touches=(1,))

    named(newcomer, task, hana, 2, revision=2)

    [found] = first_trainers(task, on=days_ago(0))
    assert (found.person, found.revision, found.from_on, found.has_own) == (newcomer, 2, days_ago(2), False)
    assert (found.until_on - found.from_on).days == 90


def test_a_second_naming_is_no_way_around_the_ninety_days(plant, task, hana):
    newcomer = make.make_person(plant)
    named(newcomer, task, hana, 95)

    with pytest.raises(RefusedError) as refused:
        named(newcomer, task, hana, 0)

    assert codes(refused) == {"named_before"}


def test_several_may_be_first_together(plant, task, hana):
    one, other = make.make_person(plant), make.make_person(plant)

    named(one, task, hana, 1)
    named(other, task, hana, 0)

    assert {each.person for each in first_trainers(task, on=days_ago(0))} == {one, other}
    assert [each.task_code for each in named_first(one, on=days_ago(0))] == [task.code]
    assert not named_first(one, on=days_ago(-95))


@pytest.mark.parametrize(
    ("revision", "scope", "code"), [(9, SITE, "unknown_revision"), (None, Scope("L1", "F1"), "wrong_scope")]
)
def test_revision_and_place_must_be_there(plant, task, hana, revision, scope, code):
    with pytest.raises(RefusedError) as refused:
        named(make.make_person(plant), task, hana, 0, revision=revision, scope=scope)

    assert codes(refused) == {code}


@pytest.mark.parametrize("size", [1, 5])
def test_the_list_costs_the_same_queries_at_any_size(plant, task, hana, size, django_assert_num_queries):
    for _ in range(size):
        named(make.make_person(plant), task, hana, 1)
    first_trainers(task, on=days_ago(0))

    with django_assert_num_queries(3):
        found = first_trainers(task, on=days_ago(0))

    assert len(found) == size
