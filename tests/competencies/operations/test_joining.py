"""Records joined, parted and renamed: what follows, what is refused, and what was known before (R7)."""

from datetime import timedelta

import pytest

from competencies.importing.people import PersonRow
from competencies.ledger.verifying import verify_ledger
from competencies.models import Authority, DifferentPeople, LedgerEntry, LedgerIndex, Person, RosterDay
from competencies.operations.decisions import When
from competencies.operations.holds import HoldCover, set_hold
from competencies.operations.joining import (
    NewRecord,
    RecordError,
    Why,
    join_people,
    keep_apart,
    open_record,
    part_people,
    rename_person,
)
from competencies.operations.people import import_people
from competencies.operations.projection import COMPARED, rebuild_standing
from competencies.operations.recording import RefusedError
from competencies.queries.cover import covers_of
from competencies.queries.facts import facts_of_people, own_facts, rule_of
from competencies.queries.joining import folded, possible_doubles
from competencies.queries.own_data import own_data
from competencies.queries.records import progress_records
from competencies.queries.retention import retention_of
from competencies.queries.standing import standings_at
from competencies.standing.facts import SITE, Assessment
from competencies.vocabulary import AuthorityKind, Criticality, EntryKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def double(floor):
    """Return the trainee's other record."""
    return make.make_person(floor.plant, "Tove  BRANDVOLD", started_on=make.days_ago(700))


def when(ago=0):
    moment = make.at(make.days_ago(ago), "00:00")
    return When(happened_at=moment, on=make.days_ago(ago), now=moment)


def join(kept, other, by, *, confirmed=False):
    why = Why(reason="entered twice when she started", is_confirmed=confirmed)
    return join_people(kept=kept, other=other, by=by, when=when(), why=why)


def part(record, other, entries, by):
    why = Why(reason="two people of like name")
    return part_people(record=record, other=other, entries=entries, by=by, when=when(), why=why)


def counted(person):
    return len(rule_of(person).progress("PK-01", SITE, make.at(make.today(), "01:00")).counted)


def refused(error):
    return {refusal.code for refusal in error.value.refusals}


def rows_of(person):
    found = person.standing_periods.values_list("task", "scope", "known_from", "known_to", *COMPARED)
    return sorted(map(repr, found))


def test_joined_records_are_one_from_now_on_and_two_as_known_before(floor, office, double):
    make.run(floor.trainee, floor.task, floor.trainer, ago=4)
    make.run(double, floor.task, floor.trainer, ago=3)

    join(floor.trainee, double, office)

    now = make.at(make.today(), "01:00")
    assert (counted(floor.trainee), counted(double)) == (2, 0)
    assert [each.period.standing for each in standings_at(people=[floor.trainee.pk], moment=now)] == ["ready"]
    then = make.at(make.days_ago(1))
    assert [each.period.standing for each in standings_at(people=[double.pk], moment=now, known=then)] == ["learning"]
    assert verify_ledger().count == LedgerEntry.objects.count()


def test_the_periods_of_joined_and_parted_records_come_out_the_same_when_rebuilt(floor, office, double):
    seq = make.run(floor.trainee, floor.task, floor.trainer, ago=4).seq
    make.run(double, floor.task, floor.trainer, ago=3)
    join(floor.trainee, double, office)
    part(floor.trainee, double, [seq], office)
    people = [floor.trainee, double]
    rows = [rows_of(person) for person in people]

    rebuild_standing(people=people)

    assert [rows_of(person) for person in people] == rows


def test_the_joined_record_signs_in_no_more_and_is_trusted_with_nothing(floor, office, double):
    make.grant(double, AuthorityKind.TRAIN)
    make.roster(double, ago=-2, line=floor.line)
    make.roster(double, ago=2, line=floor.line)

    join(floor.trainee, double, office)

    double.refresh_from_db()
    assert not double.user.is_active
    assert double.joined_into == floor.trainee
    assert not Authority.objects.in_force(make.today() + timedelta(days=1)).filter(person=double).exists()
    assert LedgerIndex.objects.filter(kind=EntryKind.AUTHORITY_ENDED, person=double.pk).count() == 1
    assert set(RosterDay.objects.filter(on__gt=make.today()).values_list("person", flat=True)) == {floor.trainee.pk}
    assert not Person.objects.single().filter(pk=double.pk).exists()


def test_nobody_joins_their_own_record_nor_one_twice(floor, office, double):
    with pytest.raises(RefusedError) as own:
        join(floor.trainee, office.person, office)
    with pytest.raises(RefusedError) as same:
        join(floor.trainee, floor.trainee, office)
    join(floor.trainee, double, office)
    with pytest.raises(RefusedError) as again:
        join(floor.trainer, double, office)

    assert refused(own) == {"own_record"}
    assert refused(same) == {"same_record"}
    assert refused(again) == {"already_joined"}


def test_who_coordinates_one_area_does_not_join_a_record_of_another(floor, double):
    syrup = make.make_area(floor.plant, "SY", "Syrup room")
    Person.objects.filter(pk=floor.trainee.pk).update(area=floor.area)
    Person.objects.filter(pk=double.pk).update(area=syrup)
    person = make.make_person(floor.plant)
    make.grant(person, AuthorityKind.COORDINATE, area=floor.area)

    with pytest.raises(RefusedError) as error:
        join(floor.trainee, double, make.signer(person))
    make.grant(person, AuthorityKind.COORDINATE, area=syrup)

    assert [(each.code, dict(each.params)) for each in error.value.refusals] == [("no_authority", {"area": "SY"})]
    assert join(floor.trainee, double, make.signer(person)).seq


def test_both_on_one_shift_at_different_places_is_confirmed_first(floor, office, double):
    make.roster(floor.trainee, ago=5, line=floor.line)
    make.roster(double, ago=5, line=make.make_line(floor.plant, "L2", "Can line 2"))

    with pytest.raises(RefusedError) as error:
        join(floor.trainee, double, office)

    assert refused(error) == {"worked_both"}
    assert join(floor.trainee, double, office, confirmed=True).seq


def test_who_signed_for_each_other_is_not_joined(floor, office):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq

    with pytest.raises(RefusedError) as error:
        join(floor.trainee, floor.trainer, office)

    assert [dict(each.params)["entry"] for each in error.value.refusals] == [str(seq)]


def test_who_signed_one_sign_off_together_is_not_joined():
    floor = make.make_floor(criticality=Criticality.FOOD, asked=make.Asked(runs=0))
    person = make.make_person(floor.plant)
    make.grant(person, AuthorityKind.COORDINATE)
    second = make.office(floor.plant, "39999", "Second Alder").person
    make.hold(floor.trainee, floor.task)

    with pytest.raises(RefusedError) as error:
        join(make.office(floor.plant).person, second, make.signer(person))

    assert "signed_both" in refused(error)


def test_a_record_is_parted_with_what_signs_its_entries():
    floor = make.make_floor(criticality=Criticality.FOOD)
    make.hold(floor.trainee, floor.task)
    [assessment] = [fact for fact in own_facts([floor.trainee.pk])[floor.trainee.pk] if isinstance(fact, Assessment)]
    person = make.make_person(floor.plant)
    make.grant(person, AuthorityKind.COORDINATE)
    new = NewRecord(works_number="7001", name="Tore Brandvold", started_on=make.days_ago(400))
    brother = open_record(plant=floor.plant, new=new, by=make.signer(person), when=when())

    part(floor.trainee, brother, [assessment.seq], make.signer(person))

    now = make.at(make.today(), "01:00")
    assert rule_of(brother).in_force_at("PK-01", SITE, now)
    assert not rule_of(floor.trainee).in_force_at("PK-01", SITE, now)
    assert verify_ledger().count == LedgerEntry.objects.count()


@pytest.mark.parametrize("which", ["none", "of another", "what goes along"])
def test_what_cannot_be_parted_is_refused(which):
    floor = make.make_floor(criticality=Criticality.FOOD)
    signed = make.hold(floor.trainee, floor.task).seq
    person = make.make_person(floor.plant)
    make.grant(person, AuthorityKind.COORDINATE)
    entries, code = {
        "none": ([], "no_entries"),
        "of another": ([signed - 2], "not_of_person"),
        "what goes along": ([signed + 1], "goes_with_another"),
    }[which]

    with pytest.raises(RefusedError) as error:
        part(floor.trainee, make.make_person(floor.plant), entries, make.signer(person))

    assert refused(error) == {code}


def test_a_new_name_leaves_the_old_one_on_what_was_printed_then(floor, office):
    make.hold(floor.trainee, floor.task, assessed=20)

    rename_person(person=floor.trainee, name="Tove Lindqvist", by=office, when=when())

    today = make.today()
    [now] = progress_records([floor.trainee], on=today, known=None)
    [then] = progress_records([floor.trainee], on=make.days_ago(10), known=make.at(make.days_ago(10)))
    assert now.person.name == "Tove Lindqvist"
    assert then.person.name == "Tove Brandvold"
    with pytest.raises(RecordError):
        rename_person(person=floor.trainee, name="Tove Lindqvist", by=office, when=when())


def test_a_past_shift_of_the_joined_record_was_worked_by_the_one_person(floor, office, double):
    make.hold(floor.trainee, floor.task, assessed=20)
    make.make_station(floor.line, floor.task)
    make.roster(double, ago=5, line=floor.line)
    asked = {"lines": [floor.line], "shift": make.shift_of(floor.plant), "on": make.days_ago(5)}

    join(floor.trainee, double, office)

    [now] = covers_of(**asked)
    [then] = covers_of(**asked, known=make.at(make.days_ago(4)))
    assert (now.is_covered, [slot.person for slot in now.slots]) == (True, [floor.trainee])
    assert not then.is_covered


def test_the_record_of_a_joined_person_holds_what_was_on_both(floor, office, double):
    make.run(floor.trainee, floor.task, floor.trainer, ago=4)
    make.run(double, floor.task, floor.trainer, ago=3)

    join(floor.trainee, double, office)

    [record] = progress_records([floor.trainee], on=make.today(), known=None)
    assert len(record.runs) == 2


def test_an_employee_number_that_was_joined_leads_the_import_to_the_one_person(floor, office, double):
    join(floor.trainee, double, office)
    row = PersonRow(
        row=2,
        works_number=double.works_number,
        name="Tove Brandvold",
        crew="",
        area="",
        started_on=None,
        restricted_until=None,
        roles=(),
    )

    result = import_people(plant=floor.plant, rows=[row], by=office, now=make.at(make.today(), "01:00"))

    assert (result.created, result.updated) == (0, 0)


def test_records_that_look_alike_are_told_with_what_they_share(floor, office, double):
    twin = make.make_person(floor.plant, "Iolo Castellán", started_on=make.days_ago(3))

    pairs = {(each.first.name, each.second.name): each for each in possible_doubles(floor.plant)}

    assert ("Iolo Castellan", "Iolo Castellán") in pairs
    assert pairs["Iolo Castellan", "Iolo Castellán"].same_name
    assert {floor.trainee.name, double.name} in [set(pair) for pair in pairs]
    keep_apart(first=floor.trainer, second=twin, by=office, when=when())
    keep_apart(first=twin, second=floor.trainer, by=office, when=when())
    assert DifferentPeople.objects.count() == 1
    assert len(possible_doubles(floor.plant)) == len(pairs) - 1


@pytest.mark.parametrize(
    ("number", "name", "started", "is_asked"),
    [
        pytest.param("7010", "T. Brandvold", 730, True, id="part of the name, same day"),
        pytest.param("70001", "T. Brandvold", 90, True, id="part of the name, a digit too many"),
        pytest.param("0700", "T. Brandvold", 90, True, id="part of the name, two digits swapped"),
        pytest.param("7001", "Ada Worker", 730, False, id="same day and the next number, another name"),
        pytest.param("8123", "T. Brandvold", 90, False, id="part of the name alone"),
    ],
)
def test_what_makes_two_records_worth_a_look(number, name, started, is_asked):
    plant = make.make_plant()
    make.make_person(plant, "Tove Brandvold", works_number="7000")
    make.make_person(plant, name, works_number=number, started_on=make.days_ago(started))

    assert bool(possible_doubles(plant)) == is_asked


@pytest.mark.parametrize("size", [2, 9])
def test_looking_for_doubles_costs_two_queries_at_any_size(floor, size, django_assert_num_queries):
    for _ in range(size):
        make.make_person(floor.plant, "Same Name")

    with django_assert_num_queries(2):
        pairs = possible_doubles(floor.plant)

    assert sum(each.same_name for each in pairs) == size * (size - 1) // 2


@pytest.mark.parametrize("size", [1, 4])
def test_facts_of_joined_records_cost_the_same_queries_at_any_size(floor, office, size, django_assert_num_queries):
    for _ in range(size):
        kept, other = make.make_person(floor.plant), make.make_person(floor.plant)
        make.run(other, floor.task, floor.trainer)
        join(kept, other, office)
    numbers = list(Person.objects.single().values_list("pk", flat=True))

    with django_assert_num_queries(2):
        facts_of_people(numbers)


def test_names_are_folded():
    assert folded("  Óscar  NÚÑEZ ") == "oscar nunez"


def test_a_persons_own_data_holds_what_stands_on_every_record_of_theirs(floor, office, double):
    make.run(floor.trainee, floor.task, floor.trainer, ago=9)
    make.run(double, floor.task, floor.trainer, ago=8)
    join(floor.trainee, double, office)

    data = own_data(floor.trainee, now=make.at(make.today(), "01:00"), with_private=True)

    about = [line for line in data.ledger if line.is_about]
    [records] = [table for table in data.tables if table.label == "competencies.Person" and len(table.rows) > 1]
    assert [line.kind for line in about].count("run") == 2
    assert {row[records.columns.index("name")] for row in records.rows} == {floor.trainee.name, double.name}


def test_entries_that_were_parted_off_are_in_the_other_persons_data(floor, office):
    make.run(floor.trainee, floor.task, floor.trainer, ago=9)
    [run] = facts_of_people([floor.trainee.pk])[floor.trainee.pk]
    other = make.make_person(floor.plant, "Tove Brandvold")
    part(floor.trainee, other, [run.seq], office)

    def runs(person):
        told = own_data(person, now=make.at(make.today(), "01:00"), with_private=True).ledger
        return [line.seq for line in told if line.is_about and line.kind == "run"]

    assert (runs(floor.trainee), runs(other)) == ([], [run.seq])


def test_a_joined_record_is_forgotten_with_the_one_it_was_joined_to(floor, office, double):
    join(floor.trainee, double, office)
    Person.objects.filter(pk=floor.trainee.pk).update(last_day=make.days_ago(4000))

    due = retention_of(floor.plant, on=make.today()).records

    assert {each.person.pk for each in due} == {floor.trainee.pk, double.pk}


def test_a_hold_on_a_person_keeps_the_record_that_was_joined_to_theirs(floor, office, double):
    join(floor.trainee, double, office)
    Person.objects.filter(pk=floor.trainee.pk).update(last_day=make.days_ago(4000))
    set_hold(plant=floor.plant, cover=HoldCover(incident="I-7", people=[floor.trainee]), by=office, now=when().now)

    found = retention_of(floor.plant, on=make.today())

    assert found.records == []
    assert {each.person.pk for each in found.kept_back if each.what == "record"} == {floor.trainee.pk, double.pk}
