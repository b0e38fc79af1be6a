"""Taking people: new ones, changed ones, and all or none."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from competencies.importing.people import PersonRow, RoleRow
from competencies.models import Authority, Crew, LedgerIndex, Person
from competencies.operations.people import PeopleError, import_people
from competencies.vocabulary import AuthorityKind, EntryKind
from tests.factories import at, days_ago, make_area, make_plant, office, today

pytestmark = pytest.mark.django_db

ANA = PersonRow(
    row=2,
    works_number="1007",
    name="Ana Tolosa",
    crew="A",
    area="PK",
    started_on=date(2020, 1, 31),
    roles=(RoleRow(AuthorityKind.ASSESS, "PK"), RoleRow(AuthorityKind.SIGN_FOOD)),
)
BEA = PersonRow(row=3, works_number="1008", name="Bea Norling", started_on=date(2021, 3, 1))


@pytest.fixture
def plant():
    plant = make_plant()
    make_area(plant, "PK")
    make_area(plant, "QC", "Quality")
    for code in "AB":
        Crew.objects.create(plant=plant, code=code, title=f"Crew {code}")
    return plant


def take(plant, *rows, ago: int = 10):
    return import_people(plant=plant, rows=rows, by=office(plant), now=at(days_ago(ago)))


def kinds_about(person: Person) -> list[str]:
    return sorted(LedgerIndex.objects.filter(person=person.pk).values_list("kind", flat=True))


def test_new_person_stands_with_employment_and_authorities_in_the_ledger(plant):
    result = take(plant, ANA, BEA)

    ana = Person.objects.get(works_number="1007")
    assert (ana.name, ana.crew.code, ana.area.code, ana.started_on) == ("Ana Tolosa", "A", "PK", date(2020, 1, 31))
    assert ana.user is None
    assert kinds_about(ana) == [EntryKind.AUTHORITY, EntryKind.AUTHORITY, EntryKind.EMPLOYMENT]
    granted = Authority.objects.filter(person=ana).order_by("kind").values_list("kind", "area__code", "from_on")
    assert list(granted) == [("assess", "PK", days_ago(10)), ("sign_food", None, days_ago(10))]
    assert (result.created, result.updated, result.unchanged, result.granted) == (2, 0, 0, 2)


def test_same_people_again_change_nothing(plant):
    take(plant, ANA, BEA)
    entries = LedgerIndex.objects.count()

    result = take(plant, ANA, BEA, ago=5)

    assert (result.created, result.updated, result.unchanged, result.granted) == (0, 0, 2, 0)
    assert LedgerIndex.objects.count() == entries


def test_authority_begins_on_the_first_working_day_where_that_is_to_come(plant):
    first_day = today() + timedelta(days=14)

    take(plant, replace(ANA, started_on=first_day))

    assert set(Authority.objects.values_list("from_on", flat=True)) == {first_day}


def test_changed_name_and_crew_are_taken_and_the_number_stays(plant):
    take(plant, ANA)
    before = Person.objects.get(works_number="1007")

    result = take(plant, replace(ANA, name="Ana Oberlin", crew="B"), ago=5)

    after = Person.objects.get(works_number="1007")
    assert (after.pk, after.name, after.crew.code) == (before.pk, "Ana Oberlin", "B")
    assert (result.updated, kinds_about(after).count(EntryKind.EMPLOYMENT)) == (1, 1)


def test_changed_days_are_a_new_fact_of_employment(plant):
    take(plant, ANA)

    take(plant, replace(ANA, restricted_until=today() + timedelta(days=200)), ago=5)

    assert kinds_about(Person.objects.get(works_number="1007")).count(EntryKind.EMPLOYMENT) == 2


def test_empty_cells_leave_what_is_known(plant):
    take(plant, ANA)

    take(plant, PersonRow(row=2, works_number="1007", name="Ana Tolosa", started_on=None), ago=5)

    ana = Person.objects.get(works_number="1007")
    assert (ana.crew.code, ana.area.code, ana.started_on) == ("A", "PK", date(2020, 1, 31))
    assert ana.authorities.count() == 2


def test_area_that_the_whole_plant_covers_is_not_granted_again(plant):
    take(plant, replace(ANA, roles=(RoleRow(AuthorityKind.ASSESS),)))

    result = take(plant, replace(ANA, roles=(RoleRow(AuthorityKind.ASSESS, "QC"),)), ago=5)

    assert (result.granted, result.unchanged) == (0, 1)


def test_more_roles_are_added(plant):
    take(plant, ANA)

    result = take(plant, replace(ANA, roles=(RoleRow(AuthorityKind.TRAIN, "QC"),)), ago=5)

    assert (result.granted, result.updated, Authority.objects.count()) == (1, 1, 3)


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (replace(BEA, started_on=None), "Row 3: a new person needs a first working day"),
        (replace(BEA, crew="Z"), "no crew Z"),
        (replace(BEA, area="ZZ"), "no area ZZ"),
        (replace(BEA, roles=(RoleRow(AuthorityKind.TRAIN, "ZZ"),)), "no area ZZ"),
    ],
)
def test_one_bad_row_keeps_all_out(plant, row, message):
    with pytest.raises(PeopleError, match=message):
        take(plant, ANA, row)

    assert not Person.objects.filter(works_number__in=["1007", "1008"]).exists()
    assert not Authority.objects.exists()


def test_people_of_another_plant_are_left_alone(plant):
    other = make_plant("other", "Other")
    Person.objects.create(plant=other, works_number="1007", name="Somebody Else", started_on=date(2019, 1, 1))

    take(plant, ANA)

    assert Person.objects.get(plant=other, works_number="1007").name == "Somebody Else"


def test_a_first_day_after_the_last_one_tells_of_a_return(plant):
    take(plant, ANA)
    ana = Person.objects.get(works_number="1007")
    ana.last_day = days_ago(40)
    ana.save(update_fields=["last_day"])

    take(plant, replace(ANA, started_on=days_ago(3)), ago=5)

    ana.refresh_from_db()
    assert (ana.started_on, ana.last_day) == (days_ago(3), None)
    assert kinds_about(ana).count(EntryKind.EMPLOYMENT) == 2


def test_a_last_day_ends_what_a_leaver_is_entrusted_with(plant):
    take(plant, ANA)

    take(plant, replace(ANA, last_day=days_ago(2)), ago=5)
    take(plant, replace(ANA, last_day=days_ago(2)), ago=1)

    ana = Person.objects.get(works_number="1007")
    assert ana.last_day == days_ago(2)
    assert list(ana.authorities.values_list("until_on", flat=True)) == [days_ago(2), days_ago(2)]
    assert kinds_about(ana).count(EntryKind.EMPLOYMENT) == 2


def test_a_last_day_before_the_first_keeps_all_out(plant):
    take(plant, BEA)

    with pytest.raises(PeopleError, match="the last day lies before the first, 2021-03-01"):
        take(plant, replace(BEA, started_on=None, last_day=date(2020, 1, 1)), ago=5)
