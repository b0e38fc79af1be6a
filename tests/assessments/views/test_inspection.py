"""Inspection by eye on the pages: begin, judge, read what came of it, hand in; and that it stays the person's own."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.inspection import INSPECTIONS
from assessments.models import InspectionAnswer, InspectionSeries
from assessments.operations.inspection import hand_in
from competencies.models import LedgerEntry
from competencies.vocabulary import AuthorityKind
from tests.assessments.series import accept, item_in, judge, right, series_for
from tests.factories import grant, make_person, make_plant

pytestmark = pytest.mark.django_db


@pytest.fixture
def trainee(client):
    person = make_person(make_plant(), "Tove Brandvold")
    client.force_login(person.user)
    return person


def trainer_of(plant):
    person = make_person(plant, "Anselm Okafor")
    grant(person, AuthorityKind.TRAIN)
    return person


def url(name, *parts):
    return reverse(f"assessments:inspection-{name}", args=parts)


def body(response):
    return response.content.decode()


def send(client, series, number, **typed):
    page = url("item", series.pk, number)
    shown = client.get(page).context["form"]["shown"].initial
    return client.post(page, {"shown": shown, **typed}, follow=True)


def test_series_is_begun_and_leads_to_its_first_drawing(client, trainee):
    response = client.post(url("list"), {"kind": "label", "length": 10, "close_percent": 80}, follow=True)

    series = InspectionSeries.objects.get()
    assert (series.person, series.kind, series.length, series.close_percent) == (trainee, "label", 10, 80)
    assert response.redirect_chain[-1][0] == url("item", series.pk, 1)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("kind", ""),
        ("kind", "wine"),
        ("length", "10^400"),
        ("length", "-5"),
        ("close_percent", "inf"),
        ("close_percent", "<script>"),
    ],
)
def test_nonsense_begins_nothing_and_is_told_at_the_field(client, trainee, field, value):
    typed = {"kind": "fill", "length": 10, "close_percent": 50, field: value}

    response = client.post(url("list"), typed)

    assert response.status_code == 200
    assert response.context["form"].errors[field]
    assert not InspectionSeries.objects.exists()
    assert "<script>alert" not in body(response)


@pytest.mark.parametrize("kind", INSPECTIONS)
def test_drawing_comes_with_limits_cautions_and_measurements_in_words(client, trainee, kind):
    series = series_for(trainee, kind)
    item = item_in(series, 1)

    page = body(client.get(url("item", series.pk, 1)))

    assert page.count('<svg xmlns="http://www.w3.org/2000/svg"') == 1
    description = re.search(r"<desc[^>]*>(.*?)</desc>", page)[1]
    for measure in item.specimen.measures:
        assert measure.value in description
        assert measure.value in page.split("<details", 1)[1]
    assert "The plant&#x27;s own procedure" in page or "The plant's own procedure" in page
    assert " style=" not in page.split("<main", 1)[1]
    assert "Outside" not in page


def test_right_answer_is_told_with_the_true_measurements(client, trainee):
    series = series_for(trainee)
    item = item_in(series, 1)
    typed = {"verdict": "reject", "fault": item.fault.code} if item.fault else {"verdict": "accept"}

    page = body(send(client, series, 1, **typed))

    answer = InspectionAnswer.objects.get()
    assert (answer.number, answer.rejected, answer.named) == (1, item.fault is not None, typed.get("fault", ""))
    assert answer.seconds == 0
    assert "Right:" in page
    assert item.specimen.held[0].measure.value in page


def numbers_by_truth(series):
    items = {number: item_in(series, number) for number in range(1, series.length + 1)}
    faulty = next(number for number, item in items.items() if item.fault)
    good = next(number for number, item in items.items() if not item.fault)
    return items, faulty, good


def test_fault_let_through_is_named_with_advice(client, trainee):
    series = series_for(trainee, length=20)
    items, faulty, _good = numbers_by_truth(series)
    judge(series, numbers=range(1, faulty))

    page = body(send(client, series, faulty, verdict="accept"))

    assert "Let through: it has a fault." in page
    assert items[faulty].fault.name in page
    assert items[faulty].fault.advice in page
    assert "Outside" in page


def test_good_one_stopped_is_said_to_be_good(client, trainee):
    series = series_for(trainee, length=20)
    _items, _faulty, good = numbers_by_truth(series)
    judge(series, numbers=range(1, good))

    page = body(send(client, series, good, verdict="reject", fault="over"))

    assert "Stopped for nothing: it is good." in page
    assert "Outside" not in page


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({}, "verdict"),
        ({"verdict": "perhaps"}, "verdict"),
        ({"verdict": "reject"}, "fault"),
        ({"verdict": "reject", "fault": "<script>"}, "fault"),
        ({"verdict": "reject", "fault": "crooked"}, "fault"),
    ],
)
def test_answer_that_says_nothing_is_asked_about_at_the_field(client, trainee, typed, field):
    series = series_for(trainee)

    response = send(client, series, 1, **typed)

    assert response.status_code == 200
    assert response.context["form"].errors[field]
    assert not InspectionAnswer.objects.exists()
    if typed.get("verdict") == "reject":
        assert re.search(r'value="reject"[^>]*checked', body(response))


def test_fault_of_what_was_accepted_is_not_kept(client, trainee):
    send(client, series_for(trainee), 1, verdict="accept", fault="over")

    assert InspectionAnswer.objects.get().named == ""


@pytest.mark.parametrize("shown", ["", "nonsense", "1e400"])
def test_answer_without_a_trusted_moment_has_no_time(client, trainee, shown):
    series = series_for(trainee)

    client.post(url("item", series.pk, 1), {"verdict": "accept", "shown": shown})

    assert InspectionAnswer.objects.get().seconds is None


def test_answer_sent_twice_is_kept_once(client, trainee):
    series = series_for(trainee)
    send(client, series, 1, verdict="accept")

    client.post(url("item", series.pk, 1), {"verdict": "reject", "fault": "over"})

    assert InspectionAnswer.objects.get().rejected is False


@pytest.mark.parametrize("number", [3, 0, 11, 10**30])
def test_drawing_out_of_turn_leads_to_the_next_one(client, trainee, number):
    series = judge(series_for(trainee), numbers=[1])

    response = client.get(url("item", series.pk, number), follow=True)

    assert response.redirect_chain[-1][0] == url("item", series.pk, 2)


def test_series_is_gone_on_with_where_it_stopped(client, trainee):
    series = judge(series_for(trainee), numbers=[1, 2, 3])

    assert "3 of 10 judged" in body(client.get(url("list")))
    assert client.get(url("series", series.pk)).url == url("item", series.pk, 4)


def test_series_ended_early_is_summed_up(client, trainee):
    series = judge(series_for(trainee), numbers=[1, 2, 3])

    page = body(client.post(url("series", series.pk), follow=True))

    assert "Drawing 3" in page
    assert "Drawing 4" not in page
    series.refresh_from_db()
    assert series.finished_at is not None


def test_series_ended_without_an_answer_leads_back(client, trainee):
    assert client.post(url("series", series_for(trainee).pk)).url == url("list")


def test_finished_series_says_what_it_means(client, trainee):
    series = judge(series_for(trainee, length=40), accept)
    report = client.get(url("series", series.pk)).context["report"]

    page = body(client.get(url("series", series.pk)))

    assert f"{report.counts.misses} of {report.counts.faulty} faulty ones went through." in page
    assert "No good one was stopped." in page
    assert "Look closer here:" in page


def test_report_without_enough_says_so_instead_of_a_figure(client, trainee):
    judge(series_for(trainee))

    page = body(client.get(url("report")))

    assert "too few yet" in page
    assert "it takes at least 8 faulty and 8 good ones" in page


def test_report_with_enough_gives_figures_with_intervals(client, trainee):
    judge(series_for(trainee, length=40))

    page = body(client.get(url("report")))

    assert "too few yet" not in page
    assert re.search(r"1\.00 \(1\.00 to 1\.00\)", page)
    assert "Good and faulty are told apart surely." in page


def test_report_warns_of_what_cannot_be_told_from_guessing(client, trainee):
    judge(series_for(trainee, length=40), accept)

    page = body(client.get(url("report")))

    assert "So far this cannot be told from guessing." in page
    assert "In doubt it goes through" in page


def test_changed_drawing_shows_what_was_kept(client, trainee):
    series = judge(series_for(trainee), numbers=[1])
    answer = InspectionAnswer.objects.get()
    answer.measures = [["Liquid under the foam, below the rim", "99.9", "mm"]]
    answer.save()

    page = body(client.get(url("item", series.pk, 1)))

    assert "99.9 mm" in page
    assert "has changed since" in page
    assert "<desc" not in page


def test_trainer_sees_nothing_before_it_is_handed_in(client, trainee):
    series = judge(series_for(trainee))
    client.force_login(trainer_of(trainee.plant).user)

    assert "Tove Brandvold" not in body(client.get(url("handed-in")))
    assert client.get(url("series", series.pk)).status_code == 404


def test_trainer_sees_the_sums_of_what_was_handed_in_and_no_answer(client, trainee):
    series = judge(series_for(trainee, length=20))
    client.post(url("hand-in", series.pk))
    client.force_login(trainer_of(trainee.plant).user)

    page = body(client.get(url("handed-in")))

    assert "Tove Brandvold" in page
    assert "No good one was stopped." in page
    for name in ("series", "item"):
        parts = [series.pk] if name == "series" else [series.pk, 1]
        assert url(name, *parts) not in page
        assert client.get(url(name, *parts)).status_code == 404


def test_trainee_takes_back_what_was_handed_in(client, trainee):
    series = judge(series_for(trainee))
    client.post(url("hand-in", series.pk))
    client.post(url("hand-in", series.pk))

    series.refresh_from_db()
    assert series.handed_in_at is None


def test_nobody_hands_in_for_somebody_else(client, trainee):
    series = judge(series_for(trainee))
    client.force_login(trainer_of(trainee.plant).user)

    assert client.post(url("hand-in", series.pk)).status_code == 404
    series.refresh_from_db()
    assert series.handed_in_at is None


def test_unfinished_series_is_not_handed_in(client, trainee):
    series = series_for(trainee)

    page = body(client.post(url("hand-in", series.pk), follow=True))

    assert "Finish the series first." in page
    series.refresh_from_db()
    assert series.handed_in_at is None


def test_peer_may_not_see_what_was_handed_in(client, trainee):
    assert client.get(url("handed-in")).status_code == 403


def test_inspection_leaves_nothing_in_the_ledger(client, trainee):
    before = LedgerEntry.objects.count()

    hand_in(series=judge(series_for(trainee)), now=timezone.now())

    assert LedgerEntry.objects.count() == before


@pytest.mark.parametrize("size", [1, 4])
def test_list_costs_the_same_queries_at_any_size(client, trainee, size, django_assert_num_queries):
    for number in range(size):
        judge(series_for(trainee, seed=number), right)
    series_for(trainee, "label")

    with django_assert_num_queries(QUERIES["list"]):
        response = client.get(url("list"))

    assert len(response.context["rows"]) == size


@pytest.mark.parametrize("size", [1, 4])
def test_handed_in_costs_the_same_queries_at_any_size(client, trainee, size, django_assert_num_queries):
    for _ in range(size):
        hand_in(series=judge(series_for(make_person(trainee.plant))), now=timezone.now())
    client.force_login(trainer_of(trainee.plant).user)

    with django_assert_num_queries(QUERIES["handed-in"]):
        response = client.get(url("handed-in"))

    assert len(response.context["rows"]) == size


@pytest.mark.parametrize("length", [10, 40])
def test_series_costs_the_same_queries_at_any_length(client, trainee, length, django_assert_num_queries):
    series = judge(series_for(trainee, length=length))

    with django_assert_num_queries(QUERIES["series"]):
        response = client.get(url("series", series.pk))

    assert len(response.context["answers"]) == length


QUERIES = {"list": 7, "handed-in": 6, "series": 7}
