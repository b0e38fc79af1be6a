"""Who was on at a minute, did they count, and what is known now that was not known then (R13)."""

from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from competencies.models import Line, Person, RosterDay, Shift
from competencies.operations.absences import Away, record_absence
from competencies.operations.holds import HoldCover, set_hold
from competencies.queries.frame import frame_of
from competencies.queries.incidents.copying import copy_of, read_copy
from competencies.queries.incidents.finding import Asked, incident_found, shifts_at
from competencies.queries.incidents.kept import since_copy
from competencies.queries.incidents.parts import Way
from competencies.queries.incidents.telling import incident_told
from competencies.standing.facts import SITE, Scope
from competencies.stories.player import play
from competencies.stories.story_file import read_story
from competencies.vocabulary import AuthorityKind, EntryKind, Standing
from tests import factories as make

pytestmark = pytest.mark.django_db
STORY = Path(__file__).parents[2] / "stories" / "15-as-of-after-an-incident.yaml"


@pytest.fixture
def floor():
    floor = make.make_floor()
    make.make_station(floor.line, floor.task)
    return floor


def asked(floor, *, ago=3, shift="day", clock="10:00", now=None):
    day = make.days_ago(ago)
    return Asked(
        line=floor.line,
        shift=make.shift_of(floor.plant, shift),
        on=day,
        moment=make.at(day, clock),
        now=now or make.at(make.today(), "12:00"),
    )


def ways(found):
    return {each.person: each.ways for each in found.present}


@pytest.fixture
def after_the_incident():
    """Return what is found of the night of story 15 (trade rules, section 6), in which Chen was on as well."""
    text = STORY.read_text(encoding="utf-8")
    also = "  - {person: ivo, line: L1, date: 2026-05-13, shift: night}\n"
    assert also in text
    playing = play(read_story(text.replace(also, also + also.replace("ivo", "chen")), STORY.name))
    assert playing.differences == []
    line = Line.objects.select_related("plant").get(code="L1")
    zone = ZoneInfo(line.plant.timezone)
    shift = Shift.objects.get(plant=line.plant, name="night")
    moment = datetime(2026, 5, 14, 2, 20, tzinfo=zone)
    [(running, on)] = shifts_at([shift], frame_of(line.plant), moment)
    assert on.isoformat() == "2026-05-13"
    found = incident_found(
        Asked(line=line, shift=running, on=on, moment=moment, now=datetime(2026, 6, 1, 12, tzinfo=zone))
    )
    return found, line, running


def test_the_night_of_the_incident_has_two_answers(after_the_incident):
    found, _line, _shift = after_the_incident

    [station] = found.stations
    names = dict(Person.objects.values_list("pk", "name"))
    by_name = {names[each.person].split()[0].lower(): each for each in station.people}
    ivo, chen = by_name["ivo"], by_name["chen"]
    assert (ivo.then.counts, ivo.now.counts, ivo.differs) == (False, False, False)
    assert (ivo.now.standing, ivo.now.last_valid_on.isoformat()) == (Standing.LAPSED, "2026-05-13")
    assert (chen.then.counts, chen.now.counts, chen.differs) == (True, False, True)
    assert [each for _station, each in found.differing] == [chen]
    # One who counts covers the only station: so it was thought then, and is not now.
    assert (found.covered_then, found.covered_now) == (True, False)


def test_what_makes_the_difference_is_named_with_who_signed_it(after_the_incident):
    found, line, shift = after_the_incident

    [(_station, chen)] = incident_told(found, line, shift).differing
    [annulment] = chen.between
    assert annulment.entry["kind"] is EntryKind.ANNULMENT
    assert annulment.name.split()[0].lower() == "hana"
    [signed] = chen.signed
    assert signed.assessor.name.split()[0].lower() == "dara"
    assert annulment.entry["of"] == signed.found.seq


def test_the_assessor_was_entitled_as_known_when_it_was_signed(after_the_incident):
    # The story grants Dara the area again, so that only the annulment speaks against the sign-off.
    found, _line, _shift = after_the_incident

    [signed] = found.signed
    assert signed.then == ()


def test_who_was_on_is_told_by_roster_plan_and_ledger(floor):
    helper, away, guest = (make.make_person(floor.plant) for _ in range(3))
    make.roster(floor.assessor, ago=3, line=floor.line)
    make.roster(helper, ago=3)
    make.roster(away, ago=3, line=floor.line)
    supervisor = make.make_person(floor.plant)
    make.grant(supervisor, AuthorityKind.SUPERVISE)
    spell = Away(from_on=make.days_ago(4), until_on=make.days_ago(2))
    record_absence(person=away, away=spell, by=make.signer(supervisor), now=make.at(make.days_ago(5)))
    make.ask(floor.trainee, floor.task, floor.trainer, ago=3, line=floor.line)

    found = incident_found(asked(floor))

    assert ways(found) == {
        floor.assessor.pk: (Way.ROSTER,),
        helper.pk: (Way.ROSTER_ANYWHERE,),
        away.pk: (Way.ROSTER, Way.AWAY),
        floor.trainee.pk: (Way.TRAINEE,),
        floor.trainer.pk: (Way.TRAINER,),
    }
    assert guest.pk not in ways(found)
    [lesson] = found.lessons
    assert (lesson.trainee, lesson.trainer, lesson.task) == (floor.trainee.pk, floor.trainer.pk, "PK-01")


def test_a_run_that_was_signed_at_the_line_tells_who_was_there(floor):
    line_task = make.make_task(floor.area, "PK-09", scope_kind="line")
    make.hold(floor.trainer, line_task, scope=Scope("L1"), assessed=60)
    entry = make.run(floor.trainee, line_task, floor.trainer, ago=3, scope=Scope("L1"))

    found = incident_found(asked(floor))

    assert ways(found) == {floor.trainee.pk: (Way.RUN,), floor.trainer.pk: (Way.WATCHED,)}
    assert {each.entries for each in found.present} == {(entry.seq,)}
    assert incident_found(asked(floor, shift="late", clock="18:00")).present == ()


def test_a_first_run_on_a_later_day_makes_no_difference(floor):
    make.roster(floor.trainee, ago=3, line=floor.line)
    make.run(floor.trainee, floor.task, floor.trainer, ago=1)

    found = incident_found(asked(floor))

    assert [each.person for each in found.present] == [floor.trainee.pk]
    assert [station.people for station in found.stations] == [()]
    assert found.differing == []


def test_the_revision_in_force_is_told_as_known_then(floor):
    make.roster(floor.assessor, ago=3, line=floor.line)

    [station] = incident_found(asked(floor)).stations

    assert (station.revision_then, station.revision_now) == (1, 1)
    [person] = station.people
    assert (person.person, person.now.counts, person.now.rests_on != ()) == (floor.assessor.pk, True, True)


def test_open_holds_over_it_are_named(floor):
    office = make.make_person(floor.plant)
    make.grant(office, AuthorityKind.COORDINATE)
    make.roster(floor.assessor, ago=3, line=floor.line)
    for number, cover in [
        ("I-1", {"people": [floor.assessor]}),
        ("I-2", {"people": [floor.trainee]}),
        ("I-3", {"task": floor.task}),
        ("I-4", {"line": floor.line, "until_on": make.days_ago(9)}),
    ]:
        hold = HoldCover(incident=number, **cover)
        set_hold(plant=floor.plant, cover=hold, by=make.signer(office), now=make.at(make.days_ago(1)))

    assert incident_found(asked(floor)).holds == ("I-1", "I-3")


def test_a_minute_belongs_to_the_shift_that_runs(floor):
    frame = frame_of(floor.plant)
    shifts = list(Shift.objects.filter(plant=floor.plant))
    day = make.days_ago(3)

    assert [(shift.name, on) for shift, on in shifts_at(shifts, frame, make.at(day, "02:20"))] == [
        ("night", day - timedelta(days=1))
    ]
    assert [(shift.name, on) for shift, on in shifts_at(shifts, frame, make.at(day, "06:00"))] == [("day", day)]


def test_the_copy_is_read_back_to_the_same_thing_and_names_nobody(after_the_incident):
    found, _line, _shift = after_the_incident

    text = copy_of(found)

    assert copy_of(read_copy(text)) == text
    assert read_copy(text) == found
    for person in Person.objects.all():
        assert person.name not in text
    with pytest.raises(ValueError, match="not a copy"):
        read_copy('{"format": "something else"}')


def test_what_changed_since_the_copy_is_told(floor):
    make.roster(floor.assessor, ago=3, line=floor.line)
    copy = incident_found(asked(floor))
    assert since_copy(copy, incident_found(asked(floor))).is_nothing

    RosterDay.objects.all().delete()
    make.roster(floor.trainer, ago=3, line=floor.line)
    since = since_copy(copy, incident_found(asked(floor)))

    assert (since.joined, since.gone) == ((floor.trainer.pk,), (floor.assessor.pk,))
    assert {(each.person, each.before is None, each.after is None) for each in since.changes} == {
        (floor.assessor.pk, False, True),
        (floor.trainer.pk, True, False),
    }


@pytest.mark.parametrize("size", [1, 5])
def test_it_costs_the_same_queries_at_any_size(floor, size, django_assert_num_queries):
    for number in range(size):
        person = make.make_person(floor.plant)
        task = make.make_task(floor.area, f"QC-{number}")
        make.make_station(floor.line, task)
        make.hold(person, task, scope=SITE, assessed=30)
        make.roster(person, ago=3, line=floor.line)
    question = asked(floor)
    frame_of(floor.plant)

    with django_assert_num_queries(QUERIES):
        found = incident_found(question)
        told = incident_told(found, floor.line, question.shift)
        assert len([each for station in told.stations for each in station.people]) == size


QUERIES = 38
