"""Readings that agree, on the pages: figures with units, verdicts in words, the drawing and who may see it."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db
HIGH = [("41.9", "40.0"), ("41.8", "40.0"), ("42.0", "40.0")] * 2
ALIKE = [("40.0", "40.1"), ("40.1", "40.0"), ("40.0", "40.0")] * 2
APART = [("41.5", "40.0"), ("38.6", "40.0"), ("40.0", "40.0")] * 2


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def reading(floor):
    return make.add_reading(floor.task)


@pytest.fixture
def coordinator(floor):
    person = make.make_person(floor.plant, "Hana Morrow")
    make.grant(person, AuthorityKind.COORDINATE)
    return person


def runs(floor, pairs, trainee=None):
    for ago, (own, other) in enumerate(pairs, start=2):
        make.run(trainee or floor.trainee, floor.task, floor.trainer, ago=ago, readings=[make.pair(own, other)])


def see(client, person, name, *arguments, **query):
    client.force_login(person.user)
    return client.get(reverse(f"assessments:{name}", args=arguments), query)


def words(response):
    text = re.sub(r"<[^>]+>", " ", response.content.decode())
    return " ".join(text.replace("&nbsp;", " ").replace("&#x27;", "'").replace("&quot;", '"').split())


@pytest.mark.parametrize(
    ("pairs", "said"),
    [
        (HIGH, "Reads 1.90 mm high."),
        ([(other, own) for own, other in HIGH], "Reads 1.90 mm low."),
        (ALIKE, "Agrees. 95 of 100 differences are expected between −0.18 and +0.18 mm."),
        (APART, "Scatters."),
        (HIGH[:5], "Too few pairs to say: 5 of the 6 needed."),
    ],
)
def test_verdict_is_said_in_words_with_its_unit(client, floor, reading, pairs, said):
    runs(floor, pairs)

    assert said in words(see(client, floor.trainee, "agreement-pairs", floor.trainee.pk, reading.pk))


def test_readings_that_are_off_come_with_their_count_and_what_to_go_through(client, floor, reading):
    runs(floor, HIGH)

    page = words(see(client, floor.trainer, "agreement-pairs", floor.trainee.pk, reading.pk))

    assert "6 of 6 pairs lie further apart than 1 mm." in page
    assert "Go through where the gauge is set, and read it straight on." in page
    assert "no repeatability to give" in page


def test_a_task_without_a_limit_is_said_to_have_none(client, floor, reading):
    type(reading).objects.update(paired_tolerance=None)
    runs(floor, HIGH)

    response = see(client, floor.trainee, "agreement-pairs", floor.trainee.pk, reading.pk)

    assert "The task sets no limit." in words(response)
    assert "plot-band" not in response.content.decode()


def test_drawing_has_its_figures_as_text(client, floor, reading):
    runs(floor, HIGH)

    response = see(client, floor.trainee, "agreement-pairs", floor.trainee.pk, reading.pk)
    page = response.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    start = page.index('<svg class="plot-sheet"')
    drawing = page[start : page.index("</svg>", start)]

    assert 'role="img"' in drawing
    assert "fill height: difference of each pair against its mean" in drawing
    assert "Mean difference: +1.90 mm (95 % interval +1.81 to +1.99 mm)" in drawing
    assert drawing.count("plot-beyond") == 3  # three pairs, each twice
    assert drawing.count("×2") == 3
    assert "style=" not in drawing


def test_repeatability_is_given_where_something_was_read_twice(client, floor, reading):
    make.run(floor.trainee, floor.task, floor.trainer, readings=[make.pair("40.0", "40.0"), make.pair("40.4", "40.0")])

    page = words(see(client, floor.trainee, "agreement-pairs", floor.trainee.pk, reading.pk))

    assert "95 of 100 pairs lie within 0.78 mm of each other" in page  # 2.77 * 0.4 / sqrt(2)


def test_every_pair_leads_to_its_entry(client, floor, reading):
    seq = make.run(floor.trainee, floor.task, floor.trainer, readings=[make.pair("41.50", "40.0")]).seq

    response = see(client, floor.trainee, "agreement-pairs", floor.trainee.pk, reading.pk)

    assert reverse("competencies:entry", args=[seq]) in response.content.decode()
    assert "41.50 mm" in words(response)
    assert "+1.50 mm" in words(response)
    assert "Iolo Castellan" in words(response)


def test_person_page_lists_quantities_and_keeps_the_period(client, floor, reading):
    runs(floor, HIGH)
    since = make.days_ago(30).isoformat()

    response = see(client, floor.trainee, "agreement-person", floor.trainee.pk, from_on=since)

    assert "reads high" in words(response)
    address = reverse("assessments:agreement-pairs", args=[floor.trainee.pk, reading.pk])
    assert f"{address}?from_on={since}" in response.content.decode()


def test_watcher_sees_their_own_side(client, floor, reading):
    runs(floor, HIGH)

    assert "As the one who watched" in words(see(client, floor.trainer, "agreement-person", floor.trainer.pk))


def test_pages_without_readings_say_so(client, floor, reading, coordinator):
    assert "Nothing was read by two" in words(see(client, floor.trainee, "agreement-person", floor.trainee.pk))
    pairs = see(client, floor.trainee, "agreement-pairs", floor.trainee.pk, reading.pk)
    assert "Nothing to compare" in words(pairs)
    assert "Nothing to compare" in words(see(client, coordinator, "agreement-quantity", reading.pk))
    assert "No two people read the same thing" in words(see(client, coordinator, "agreement-list"))


def test_quantity_page_names_who_drifts_and_who_watched(client, floor, reading, coordinator):
    runs(floor, HIGH)
    runs(floor, ALIKE, make.make_person(floor.plant, "Ana Brandt"))

    page = words(see(client, coordinator, "agreement-quantity", reading.pk))

    assert page.index("Tove Brandvold") < page.index("Ana Brandt")
    assert "Those who watched" in page


def test_quantity_says_of_all_trainees_together_that_they_read_high(client, floor, reading, coordinator):
    runs(floor, HIGH)

    assert "Trainees read 1.90 mm high." in words(see(client, coordinator, "agreement-quantity", reading.pk))


@pytest.mark.parametrize("kind", [AuthorityKind.COORDINATE, AuthorityKind.AUDIT])
def test_overview_is_for_the_office_and_the_auditor(client, floor, reading, kind):
    person = make.make_person(floor.plant)
    make.grant(person, kind)
    runs(floor, HIGH)

    page = words(see(client, person, "agreement-list"))

    assert "Fill height" in page
    assert "+1.90 mm" in page


def test_trainer_sees_the_trainee_and_neither_overview_nor_quantity(client, floor, reading):
    assert see(client, floor.trainer, "agreement-person", floor.trainee.pk).status_code == 200
    assert see(client, floor.trainer, "agreement-list").status_code == 403
    assert see(client, floor.trainer, "agreement-quantity", reading.pk).status_code == 403


def test_another_trainee_sees_nothing(client, floor, reading):
    peer = make.make_person(floor.plant)

    assert see(client, peer, "agreement-person", floor.trainee.pk).status_code == 403
    assert see(client, peer, "agreement-pairs", floor.trainee.pk, reading.pk).status_code == 403


@pytest.mark.parametrize(
    ("query", "message"),
    [
        ({"from_on": "yesterday"}, "Enter a valid date."),
        ({"from_on": "2026-02-30"}, "Enter a valid date."),
        ({"until_on": "<script>alert(1)</script>"}, "Enter a valid date."),
        ({"from_on": "2026-03-02", "until_on": "2026-03-01"}, "This day is before the first one."),
        ({"from_on": "9" * 400}, "Enter a valid date."),
    ],
)
def test_bad_period_is_said_at_the_field_and_kept(client, floor, reading, query, message):
    runs(floor, ALIKE[:2])

    response = see(client, floor.trainee, "agreement-person", floor.trainee.pk, **query)

    assert message in words(response)
    assert "<script>alert" not in response.content.decode()
    assert response.context["period"].form["from_on"].value() == query.get("from_on")
    assert "Fill height" in words(response)


@pytest.mark.parametrize("query", [{"until_on": "0001-01-01"}, {"from_on": "9999-12-31"}, {"until_on": "9999-12-31"}])
def test_days_at_the_ends_of_the_calendar_are_taken(client, floor, reading, query):
    assert see(client, floor.trainee, "agreement-person", floor.trainee.pk, **query).status_code == 200


def test_long_overview_has_pages(client, floor, coordinator):
    readings = [make.add_reading(floor.task, f"reading {number:02}") for number in range(1, 28)]
    pairs = [make.pair("40", "40", number=each.number) for each in readings]
    make.run(floor.trainee, floor.task, floor.trainer, readings=pairs)

    assert len(see(client, coordinator, "agreement-list").context["rows"]) == 25
    assert len(see(client, coordinator, "agreement-list", page="2").context["rows"]) == 2
    assert len(see(client, coordinator, "agreement-list", page="words").context["rows"]) == 25


@pytest.mark.parametrize("size", [1, 4])
def test_pages_cost_the_same_queries_at_any_size(
    client, floor, reading, coordinator, django_assert_max_num_queries, size
):
    for _ in range(size):
        runs(floor, ALIKE[:2], make.make_person(floor.plant))
    client.force_login(coordinator.user)

    for name, most in [("agreement-list", 8), ("agreement-quantity", 11)]:
        address = reverse(f"assessments:{name}", args=[reading.pk] if name == "agreement-quantity" else [])
        with django_assert_max_num_queries(most) as asked:
            client.get(address)
        assert len(asked) == most


def test_person_page_leads_to_the_agreement(client, floor):
    client.force_login(floor.trainer.user)
    page = client.get(reverse("competencies:person", args=[floor.trainee.pk])).content.decode()

    assert reverse("assessments:agreement-person", args=[floor.trainee.pk]) in page


def test_numbers_of_a_count_stand_without_a_unit(client, floor):
    made = make.add_reading(floor.task, "cans out", unit="count", target=Decimal(0), low=None, high=None)
    make.run(floor.trainee, floor.task, floor.trainer, readings=[make.pair("3", "2", unit="count")])

    assert "Mean difference +1.0 May differ by 1" in words(
        see(client, floor.trainee, "agreement-pairs", floor.trainee.pk, made.pk)
    )
