"""The plant's own calculations: drafted, published, replaced, withdrawn; and where they are found."""

from dataclasses import replace

import pytest
from django.db import DatabaseError, IntegrityError, transaction
from django.utils import timezone

from assessments.calculations import UnknownCalculationError, calculations
from assessments.generation import problem_of
from assessments.models import CheckSitting, PlantCalculation
from assessments.operations.checks import open_check
from assessments.operations.plant_calculations import (
    PlantCalculationError,
    begin_calculation,
    change_calculation,
    discard_draft,
    publish_calculation,
    withdraw_calculation,
)
from assessments.plant_formulas.described import as_kept
from assessments.plant_formulas.faults import DescriptionError
from assessments.queries.library import library_of
from assessments.queries.practice import practice_list
from tests.assessments.plant_formulas.told import BLEND, INVERTED, WATER, WHOLE_TANK
from tests.factories import Asked, make_floor, make_plant, office, signer

pytestmark = pytest.mark.django_db
SECOND = replace(BLEND, version=2, title="Blending water")


@pytest.fixture
def plant():
    return make_plant()


def drafted(plant, told=BLEND):
    return begin_calculation(plant=plant, told=told, by=office(plant).person, now=timezone.now())


def changed(plant, told=SECOND):
    return change_calculation(plant=plant, told=told, by=office(plant).person, now=timezone.now())


def published(plant, draft=None):
    return publish_calculation(draft=draft or drafted(plant), by=office(plant), now=timezone.now())


def withdrawn(plant, row):
    withdraw_calculation(row=row, by=office(plant), now=timezone.now())


def test_draft_is_not_offered(plant):
    drafted(plant)

    assert library_of(plant).current == calculations()


def test_what_is_published_is_offered_beside_the_library(plant):
    row = published(plant)

    library = library_of(plant)
    assert (row.published_by, row.proof) == (office(plant).person, "import")
    assert set(library.current) - set(calculations()) == {"X01-v1"}
    assert [kind.title for kind in library.asked_by("X01")] == [BLEND.title]
    assert problem_of(library.kind("X01-v1"), 7).stated_answer.endswith(" hL")


def test_another_plant_never_sees_it(plant):
    published(plant)

    library = library_of(make_plant("birch-wharf", "Birch Wharf"))

    assert library.current == calculations()
    with pytest.raises(UnknownCalculationError):
        library.kind("X01-v1")


def test_next_version_takes_its_place_and_the_first_stays_readable(plant):
    published(plant)
    second = changed(plant)
    before = library_of(plant).asked_by("X01")
    published(plant, second)

    library = library_of(plant)
    assert [kind.code for kind in before] == ["X01-v1"]
    assert [kind.code for kind in library.asked_by("X01")] == ["X01-v2"]
    assert library.kind("X01-v1").title == BLEND.title
    assert library.kind("X01-v2").title == SECOND.title


def test_change_of_a_draft_makes_no_version(plant):
    first = drafted(plant)

    again = changed(plant)

    assert (again.pk, again.version, again.described["title"]) == (first.pk, 1, SECOND.title)


def test_withdrawn_calculation_is_readable_and_not_offered(plant):
    row = published(plant)
    published(plant, changed(plant))

    withdrawn(plant, row)

    library = library_of(plant)
    assert library.current == calculations()
    assert set(library.earlier) == {"X01-v1", "X01-v2"}
    with pytest.raises(PlantCalculationError, match="not offered any more"):
        withdrawn(plant, row)


def test_withdrawn_calculation_comes_back_as_the_next_version(plant):
    row = published(plant)
    withdrawn(plant, row)

    published(plant, changed(plant))

    assert [kind.code for kind in library_of(plant).asked_by("X01")] == ["X01-v2"]


def test_draft_is_thrown_away_and_what_is_published_is_not(plant):
    row = published(plant)
    draft = changed(plant)

    discard_draft(draft=draft)
    discard_draft(draft=row)

    assert list(PlantCalculation.objects.values_list("version", flat=True)) == [1]


def test_code_is_taken_once_in_a_plant(plant):
    drafted(plant)
    drafted(make_plant("birch-wharf", "Birch Wharf"))

    with pytest.raises(PlantCalculationError, match="X01 already") as refused:
        drafted(plant)
    assert refused.value.field == "code"


def test_what_makes_no_calculation_is_not_kept(plant):
    with pytest.raises(DescriptionError):
        drafted(plant, replace(BLEND, steps=(replace(WATER, unit="kg"),)))

    assert not PlantCalculation.objects.exists()


def test_slip_that_passes_for_the_answer_keeps_it_from_being_published(plant):
    draft = drafted(plant, replace(BLEND, slips=(INVERTED, replace(WHOLE_TANK, formula="V * E / E_s - V"))))

    with pytest.raises(PlantCalculationError, match="whole range"):
        published(plant, draft)
    draft.refresh_from_db()
    assert draft.published_at is None


def test_nothing_is_published_twice(plant):
    row = published(plant)

    with pytest.raises(PlantCalculationError, match="no draft any more"):
        published(plant, row)


@pytest.mark.parametrize(
    "change",
    [
        {"described": {}},
        {"version": 7},
        {"published_at": None, "published_by": None},
        {"proof": "pin"},
        {"code": "X02"},
    ],
)
def test_database_refuses_to_change_what_was_published(plant, change):
    row = published(plant)

    with pytest.raises(DatabaseError, match="make the next version"), transaction.atomic():
        PlantCalculation.objects.filter(pk=row.pk).update(**change)


def test_database_refuses_to_withdraw_twice(plant):
    row = published(plant)
    withdrawn(plant, row)

    with pytest.raises(DatabaseError, match="make the next version"), transaction.atomic():
        PlantCalculation.objects.filter(pk=row.pk).update(withdrawn_at=None, withdrawn_by=None)


@pytest.mark.parametrize("change", [{"version": 2}, {"version": 1, "published": True}])
def test_database_keeps_one_draft_and_one_of_each_version(plant, change):
    row = drafted(plant)
    is_published = change.pop("published", False)
    who = {"published_at": timezone.now(), "published_by": row.changed_by} if is_published else {}

    with pytest.raises(IntegrityError), transaction.atomic():
        PlantCalculation.objects.create(
            plant=plant,
            code="X01",
            described=as_kept(BLEND),
            changed_at=timezone.now(),
            changed_by=row.changed_by,
            **change,
            **who,
        )


def test_version_that_later_rules_refuse_is_left_out_and_harms_nothing(plant):
    row = drafted(plant)
    kept = {**row.described, "steps": [{**row.described["steps"][0], "unit": "kg"}]}
    PlantCalculation.objects.filter(pk=row.pk).update(
        described=kept, published_at=timezone.now(), published_by=row.changed_by
    )

    assert library_of(plant).current == calculations()


@pytest.mark.parametrize("count", [1, 3])
def test_library_costs_one_query_at_any_size(plant, count, django_assert_num_queries):
    for number in range(count):
        published(plant, drafted(plant, replace(BLEND, code=f"X0{number}")))

    with django_assert_num_queries(1):
        library = library_of(plant)

    assert len(library.current) == len(calculations()) + count


def test_check_of_an_own_calculation_keeps_its_version():
    floor = make_floor(asked=Asked(calculations=("X01",)))
    published(floor.plant)
    sitting = open_check(
        trainee=floor.trainee,
        opened_by=signer(floor.trainer),
        calculation="X01",
        problems=3,
        pass_mark=2,
        now=timezone.now(),
    )
    published(floor.plant, changed(floor.plant))

    kept = CheckSitting.objects.get(pk=sitting.pk).problem_seeds

    assert {code for code, _seed in kept} == {"X01-v1"}
    assert all(problem_of(library_of(floor.plant).kind(code), seed) for code, seed in kept)


def test_task_that_asks_for_it_brings_it_to_practice():
    floor = make_floor(asked=Asked(calculations=("X01",)))
    published(floor.plant)

    found = practice_list(floor.trainee, library_of(floor.plant), now=timezone.now())

    assert "X01-v1" in {entry.calculation.code for _, members in found.families for entry in members}
