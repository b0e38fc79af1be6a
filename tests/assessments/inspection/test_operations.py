"""Series begun, answered, ended, handed in and taken back; what they add up to."""

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from assessments.inspection import INSPECTIONS
from assessments.inspection.judgement import Answered, Counts, answered
from assessments.models import InspectionAnswer, InspectionSeries
from assessments.operations.inspection import (
    InspectionError,
    Judged,
    answer_item,
    end_series,
    hand_in,
    start_series,
    take_back,
)
from assessments.queries.inspection import counts_of, handed_in, report_of, report_of_series, series_of
from competencies.models import Person
from competencies.operations.erasing import _erase_reverse_rows
from competencies.queries.own_data import own_data
from tests.assessments.series import accept, item_in, judge, right, series_for
from tests.factories import make_person, make_plant

pytestmark = pytest.mark.django_db


@pytest.fixture
def person():
    return make_person(make_plant(), "Tove Brandvold")


@pytest.mark.parametrize(
    ("truth", "rejected", "named", "expected"),
    [
        pytest.param("", False, "", Answered.PASSED, id="good accepted"),
        pytest.param("", True, "over", Answered.FALSE_ALARM, id="good rejected"),
        pytest.param("over", False, "", Answered.MISSED, id="faulty accepted"),
        pytest.param("over", True, "over", Answered.NAMED, id="fault named"),
        pytest.param("over", True, "under", Answered.MISNAMED, id="another fault named"),
    ],
)
def test_answer_is_held_against_the_truth(truth, rejected, named, expected):
    assert answered(truth, rejected=rejected, named=named) is expected


def test_open_series_of_a_kind_is_gone_on_with(person):
    first = series_for(person)

    assert series_for(person, seed=7) == first
    assert series_for(person, "label") != first


def test_finished_series_gives_way_to_a_new_one(person):
    first = judge(series_for(person))

    assert series_for(person, seed=7) != first


@pytest.mark.parametrize(("length", "close"), [(11, 50), (10, 51)])
def test_series_has_an_offered_length_and_share(person, length, close):
    with pytest.raises(InspectionError):
        start_series(
            person=person, kind=INSPECTIONS["fill"], length=length, close_percent=close, seed=1, now=timezone.now()
        )


def test_last_answer_finishes_the_series(person):
    series = judge(series_for(person), numbers=range(1, 10))
    assert series.finished_at is None

    judge(series, numbers=[10])

    assert series.finished_at is not None


def test_first_answer_to_a_drawing_stays(person):
    series = series_for(person)
    item = item_in(series, 1)
    for rejected in (True, False):
        judged = Judged(rejected=rejected, named="over" if rejected else "")
        answer_item(series=series, number=1, item=item, judged=judged, now=timezone.now())

    assert InspectionAnswer.objects.get().rejected is True


def test_only_the_next_drawing_is_answered(person):
    series = series_for(person)

    with pytest.raises(InspectionError, match="not the next"):
        answer_item(series=series, number=2, item=item_in(series, 2), judged=accept(None), now=timezone.now())


def test_ended_series_takes_no_more_answers(person):
    series = judge(series_for(person), numbers=[1, 2])
    end_series(series=series, now=timezone.now())

    with pytest.raises(InspectionError):
        judge(series, numbers=[3])


def test_series_ended_without_an_answer_goes(person):
    end_series(series=series_for(person), now=timezone.now())

    assert not InspectionSeries.objects.exists()


def test_answer_keeps_what_could_be_measured_and_the_truth(person):
    series = judge(series_for(person))

    for answer in series.answers.all():
        item = item_in(series, answer.number)
        assert [value for _says, value, _unit in answer.measures] == [each.value for each in item.specimen.measures]
        assert (answer.truth, answer.is_close) == (item.planned.fault, item.planned.is_close)
        assert (answer.seed, answer.seconds) == (item.seed, 9)


def test_database_refuses_a_fault_named_for_what_was_accepted(person):
    answer = judge(series_for(person), numbers=[1]).answers.get()

    with pytest.raises(IntegrityError), transaction.atomic():
        InspectionAnswer.objects.filter(pk=answer.pk).update(rejected=False, named="over")


def test_only_a_finished_series_is_handed_in(person):
    series = series_for(person)

    with pytest.raises(InspectionError):
        hand_in(series=series, now=timezone.now())
    hand_in(series=judge(series), now=timezone.now())

    assert list(handed_in(person.plant)) == [series]


def test_series_taken_back_is_shown_no_more(person):
    series = judge(series_for(person))
    hand_in(series=series, now=timezone.now())

    take_back(series=series)

    assert not handed_in(person.plant)


def test_other_plants_see_nothing_that_was_handed_in(person):
    hand_in(series=judge(series_for(person)), now=timezone.now())

    assert not handed_in(make_plant("birch-wharf", "Birch Wharf"))


def test_whoever_accepts_everything_misses_every_fault(person):
    series = judge(series_for(person, length=20), accept)
    faulty = [item for item in (item_in(series, number) for number in range(1, 21)) if item.fault]
    report = report_of_series(series)

    assert report.counts == Counts(misses=len(faulty), right_passes=20 - len(faulty))
    assert {each.fault.code: each.missed for each in report.faults} == {
        code: sum(item.fault.code == code for item in faulty) for code in {item.fault.code for item in faulty}
    }
    assert sum(each.missed_close for each in report.faults) == sum(item.planned.is_close for item in faulty)


def test_wrong_name_counts_as_stopped_but_misnamed(person):
    def misnamed(item):
        other = next(fault.code for fault in item.inspection.faults if fault is not item.fault)
        return Judged(rejected=True, named=other)

    report = report_of_series(judge(series_for(person, length=20), misnamed))

    assert report.counts.misses == report.counts.right_passes == 0
    assert sum(each.misnamed for each in report.faults) == report.counts.hits > 0


def test_report_adds_up_all_series_of_a_kind(person):
    judge(series_for(person, length=20))
    judge(series_for(person, length=10, seed=9), accept)
    judge(series_for(person, "label", length=10))
    judge(series_for(make_person(person.plant), length=10))

    reports = {report.inspection.code: report.counts.seen for report in report_of(person)}

    assert reports == {"fill": 30, "label": 10}


def test_sums_of_the_list_are_those_of_the_report(person):
    series = judge(series_for(person, length=20), accept)

    assert counts_of(series_of(person).get()) == report_of_series(series).counts


@pytest.mark.parametrize("size", [1, 3])
def test_reports_cost_one_query_at_any_size(person, size, django_assert_num_queries):
    for number in range(size):
        for kind in ("fill", "crown"):
            judge(series_for(person, kind, seed=number), right if number else accept)

    with django_assert_num_queries(1):
        assert sum(report.counts.seen for report in report_of(person)) == 2 * 10 * size


def test_own_data_tells_series_and_answers(person):
    judge(series_for(person))

    told = {table.label: len(table.rows) for table in own_data(person, now=timezone.now(), with_private=True).tables}

    assert told["assessments.InspectionSeries"] == 1
    assert told["assessments.InspectionAnswer"] == 10


def test_erasing_a_record_takes_the_series_along(person):
    other = make_person(person.plant)
    judge(series_for(person))
    kept = judge(series_for(other))

    _erase_reverse_rows(Person.objects.get(pk=person.pk))

    assert list(InspectionSeries.objects.all()) == [kept]
    assert InspectionAnswer.objects.count() == 10
