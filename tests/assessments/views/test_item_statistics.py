"""Item statistics on the pages and as a file: said in words, nothing undefined shown as a number."""

import csv
import io
import re

import pytest
from django.urls import reverse

from assessments.calculations import calculation
from assessments.statistics.items import Doubt, Pointer, Undefined
from assessments.statistics.reliability import Reliability
from assessments.views.item_words import clock, discrimination_words, reliability_words, signed, told_pointer
from assessments.vocabulary import Verdict
from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.assessments.sat_checks import sat

pytestmark = pytest.mark.django_db
RIGHT, SLIP, OTHER = Verdict.RIGHT, Verdict.SLIP, Verdict.OTHER
SLIPPED = "grain warmth left out"


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def coordinator(floor):
    person = make.make_person(floor.plant, "Hana Morrow")
    make.grant(person, AuthorityKind.COORDINATE)
    return person


def see(client, person, name, *arguments, **query):
    client.force_login(person.user)
    return client.get(reverse(f"assessments:{name}", args=arguments), query)


def words(response):
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("&nbsp;", " ").split())


def test_list_gives_the_figures_of_each_problem(client, floor, coordinator):
    sat(floor.trainee, floor.trainer, [RIGHT, RIGHT, SLIP, RIGHT], slips=[SLIPPED], seconds=75)

    page = words(see(client, coordinator, "item-list"))

    assert "C03-strike" in page
    assert "75 %" in page
    assert "1 min 15 s" in page
    assert f"{SLIPPED} (×1)" in page


def test_item_page_gives_slips_with_advice_and_what_is_undefined(client, floor, coordinator):
    name, advice = next((slip.name, slip.advice) for slip in calculation("C03-strike").slips)
    sat(floor.trainee, floor.trainer, [RIGHT, SLIP], slips=[name])

    page = words(see(client, coordinator, "item", "C03-strike"))

    assert "50 %: 1 of 2; 95 % interval 9 % to 91 %" in page  # Wilson, by hand
    assert "not given: it takes 20 answers" in page
    assert advice in page
    assert "Unit missing 0 (0 %)" in page


def test_item_that_misleads_is_pointed_out_first(client, floor, coordinator):
    sat(floor.trainee, floor.trainer, [RIGHT] * 3, item="C01-volume")
    sat(floor.trainee, floor.trainer, [SLIP] * 5, slips=[SLIPPED], item="C08-volume")

    response = see(client, coordinator, "item-list")

    assert [row[0]["code"] for row in response.context["rows"]] == ["C08-volume", "C01-volume"]
    assert "one slip makes up most mistakes" in words(response)
    assert "5 of 5 wrong answers" in words(see(client, coordinator, "item", "C08-volume"))


def test_nothing_undefined_is_shown_as_a_number(client, floor, coordinator):
    sat(floor.trainee, floor.trainer, [RIGHT])

    for name, arguments in [("item-list", []), ("item", ["C03-strike"])]:
        assert not re.search(r"\bnan\b|\binf\b|\bNone\b", words(see(client, coordinator, name, *arguments)))
    file = see(client, coordinator, "item-list", file="csv").getvalue().decode()
    assert not re.search(r"\bnan\b|\binf\b|\bNone\b", file)
    assert "Undefined: 1 sitting." in words(see(client, coordinator, "item-list"))


def test_pages_without_answers_say_so(client, floor, coordinator):
    assert "No check was finished in this time." in words(see(client, coordinator, "item-list"))
    assert "No finished check asked this" in words(see(client, coordinator, "item", "C03-strike"))
    assert see(client, coordinator, "item", "C99-none").status_code == 404


def test_item_that_the_plant_has_no_longer_still_has_its_figures(client, floor, coordinator):
    sat(floor.trainee, floor.trainer, [RIGHT, OTHER], item="C98-gone")

    assert "50 %: 1 of 2" in words(see(client, coordinator, "item", "C98-gone"))


def test_another_plants_answers_are_not_here(client, floor, coordinator):
    there = make.make_plant("birch-wharf", "Birch Wharf")
    sat(make.make_person(there), make.make_person(there), [RIGHT], item="C08-volume")

    assert "C08-volume" not in words(see(client, coordinator, "item-list"))


def test_auditor_may_look_and_a_trainer_may_not(client, floor):
    auditor = make.make_person(floor.plant)
    make.grant(auditor, AuthorityKind.AUDIT)

    for name, arguments in [("item-list", []), ("item", ["C03-strike"])]:
        assert see(client, auditor, name, *arguments).status_code == 200
        assert see(client, floor.trainer, name, *arguments).status_code == 403


def test_list_of_checks_leads_there_only_whom_it_concerns(client, floor, coordinator):
    address = reverse("assessments:item-list")

    assert address in see(client, coordinator, "check-list").content.decode()
    assert address not in see(client, floor.trainer, "check-list").content.decode()


def test_file_has_a_row_for_each_problem(client, floor, coordinator):
    sat(floor.trainee, floor.trainer, [RIGHT, SLIP], slips=[SLIPPED])

    response = see(client, coordinator, "item-list", file="csv")
    heads, row = list(csv.reader(io.StringIO(response.getvalue().decode("utf-8-sig"))))
    cells = dict(zip(heads, row, strict=True))

    assert response.headers["Content-Disposition"].startswith('attachment; filename="items-')
    assert (cells["Problem"], cells["Answers"], cells["Share right"]) == ("C03-strike", "2", "0.5")
    assert (cells["Discrimination"], cells["Slips"]) == ("", f"{SLIPPED}: 1")


def test_bad_period_is_said_at_the_field(client, floor, coordinator):
    sat(floor.trainee, floor.trainer, [RIGHT])

    page = words(see(client, coordinator, "item-list", from_on="10^400"))

    assert "Enter a valid date." in page
    assert "C03-strike" in page


@pytest.mark.parametrize("size", [1, 4])
def test_list_costs_the_same_queries_at_any_size(client, floor, coordinator, django_assert_num_queries, size):
    for number in range(size):
        sat(make.make_person(floor.plant), floor.trainer, [RIGHT, OTHER], item=f"C0{number}-made")
    client.force_login(coordinator.user)

    with django_assert_num_queries(6):
        response = client.get(reverse("assessments:item-list"))
    assert len(response.context["rows"]) == size


@pytest.mark.parametrize("reason", list(Undefined))
def test_every_reason_for_no_discrimination_has_words(reason):
    assert discrimination_words(reason).startswith(("not given", "undefined"))


@pytest.mark.parametrize("doubt", list(Doubt))
def test_every_doubt_gives_its_rule_and_what_to_do(doubt):
    told = told_pointer(Pointer(doubt=doubt, slip="rounded down", count=4, total=6, ratio=2.5))

    assert any(point.startswith("Rule: ") for point in told.points)
    assert len(told.points) >= 2
    assert "%(" not in " ".join(told.points)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (Reliability(sittings=30, problems=5, alpha=0.9, error=0.3), "No result lies so near the mark"),
        (Reliability(sittings=30, problems=5, alpha=0.5, error=0.8), "Results from 3 to 4 could fall the other way"),
        (Reliability(sittings=30, problems=5, alpha=-0.2, error=0.8), "The problems do not go together"),
        (Reliability(sittings=3, problems=5, alpha=0.5, error=0.8), "Not firm: 3 sittings, 20 are asked for."),
        (Reliability(sittings=1, problems=5), "Undefined: 1 sitting."),
        (Reliability(sittings=9, problems=1), "Undefined: a single problem"),
        (Reliability(sittings=9, problems=5), "Undefined: every sitting had the same number right."),
    ],
)
def test_reliability_is_said_in_words_for_the_mark(found, said):
    assert said in reliability_words(found, 4)


@pytest.mark.parametrize(("value", "text"), [(0.444, "+0.44"), (-0.12, "−0.12"), (0.001, "0.00"), (-0.004, "0.00")])
def test_correlations_carry_their_sign(value, text):
    assert signed(value) == text


@pytest.mark.parametrize(("seconds", "text"), [(9.4, "9 s"), (59.6, "1 min 00 s"), (135, "2 min 15 s")])
def test_times_carry_their_units(seconds, text):
    assert clock(seconds) == text
