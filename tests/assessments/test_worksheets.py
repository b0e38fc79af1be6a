"""Worksheets: the same seed makes the same sheet, and the key keeps matching it."""

from dataclasses import replace

import pytest

from assessments.calculations import calculation, calculations
from assessments.generation import problem_of
from assessments.models import Worksheet, WorksheetCopy
from assessments.operations.worksheets import problem_seed
from assessments.printing.worksheets import key_html, sheet_html, within
from assessments.queries.library import Library, library_of
from assessments.queries.worksheets import copies_of, kinds_ahead, problems_on
from tests.assessments.sheets import KINDS, worksheet_for
from tests.factories import Asked, ask, make_floor, make_person, make_task, today

pytestmark = pytest.mark.django_db
ADDRESS = "https://plant.example/worksheets/1/"


@pytest.fixture
def floor():
    return make_floor()


def page(draw, worksheet, library=None, copy=0):
    chosen = copies_of(worksheet)[copy]
    return draw(worksheet, chosen, library or library_of(worksheet.plant), address=ADDRESS, now=worksheet.made_at)


def test_the_same_seed_makes_the_same_sheet(floor):
    first, again, other = (worksheet_for(floor.trainer, seed=seed) for seed in (7, 7, 8))

    problems = [copies_of(each)[0].problems for each in (first, again, other)]
    assert problems[0] == problems[1]
    assert problems[0] != problems[2]


def test_the_seed_of_a_problem_is_the_same_on_every_machine():
    # SHA-256 of "7:1:0", its first 16 bytes modulo 2^31, worked with `printf 7:1:0 | sha256sum`.
    assert problem_seed(7, copy=1, place=0) == int("cdc7a60a6381929f6f00e20cc5586448", 16) % 2**31


def test_kinds_take_turns_and_every_person_has_a_copy(floor):
    people = [floor.trainee, make_person(floor.plant)]

    worksheet = worksheet_for(floor.trainer, people=people, problems=6)

    copies = copies_of(worksheet)
    assert [copy.person for copy in copies] == people
    assert [kept["calculation"] for kept in copies[0].problems] == [*KINDS, *KINDS[:2]]


@pytest.mark.parametrize("own_figures", [True, False])
def test_neighbours_have_figures_of_their_own_when_asked_for(floor, own_figures):
    people = [floor.trainee, make_person(floor.plant)]

    copies = copies_of(worksheet_for(floor.trainer, people=people, own_figures=own_figures))

    assert (copies[0].problems != copies[1].problems) is own_figures


@pytest.mark.parametrize("kinds", [(), ("C03-strike",)])
def test_a_worksheet_without_problems_is_refused(floor, kinds):
    with pytest.raises(ValueError, match="at least one problem"):
        worksheet_for(floor.trainer, kinds=kinds, problems=0)

    assert not Worksheet.objects.exists()


def test_the_sheet_tells_no_answer_and_the_key_tells_every_one(floor):
    # "converted" is offered as an option on the sheet, so only the kinds that are worked out are looked at.
    worksheet = worksheet_for(floor.trainer, kinds=("C03-strike", "C05-pressure"), problems=6)
    answers = [kept["answer"] for kept in copies_of(worksheet)[0].problems]

    sheet, key = page(sheet_html, worksheet), page(key_html, worksheet)

    assert len(set(answers)) > 3
    assert [answer for answer in answers if answer in sheet] == []
    assert [answer for answer in answers if answer not in key] == []


def test_the_key_says_what_each_wrong_answer_means(floor):
    worksheet = worksheet_for(floor.trainer, kinds=("C03-strike",), problems=1)
    kept = copies_of(worksheet)[0].problems[0]
    made = problem_of(calculation("C03-strike"), kept["seed"])

    key = page(key_html, worksheet)

    assert made.slips
    for slip in made.slips:
        assert made.calculation.answer.show(made.slip_value(slip)) in key
        assert slip.name in key


def test_formulas_on_paper_are_pictures_with_words(floor):
    worksheet = worksheet_for(floor.trainer, kinds=("C03-strike",), problems=1)

    key = page(key_html, worksheet)

    # Symbols of the givens, and each step with symbols and with numbers.
    made = problem_of(calculation("C03-strike"), copies_of(worksheet)[0].problems[0]["seed"])
    assert key.count('class="formula-picture"') == len(made.calculation.givens) + 2 * len(made.steps())
    assert "<math" not in key
    for step in made.steps():
        assert f'alt="{step.numbers_text}"' in key


def test_a_changed_calculation_leaves_the_kept_answer_in_the_key(floor):
    worksheet = worksheet_for(floor.trainer, kinds=("C03-strike",), problems=1)
    kept = copies_of(worksheet)[0].problems[0]
    changed = replace(calculation("C03-strike"), work=lambda *givens: 1.0)
    library = Library({**calculations(), "C03-strike": changed})

    key = page(key_html, worksheet, library)

    assert problems_on(copies_of(worksheet)[0], library)[0].problem is None
    assert kept["answer"] in key
    assert "has been changed since" in key


def test_a_calculation_that_is_gone_leaves_the_kept_answer(floor):
    worksheet = worksheet_for(floor.trainer, kinds=("C03-strike",), problems=1)

    found = problems_on(copies_of(worksheet)[0], Library({}))

    assert found[0].problem is None
    assert found[0].answer == WorksheetCopy.objects.get().problems[0]["answer"]


def test_within_is_the_tolerance_to_two_figures():
    made = problem_of(calculation("C05-volumes"), 3)

    said, unit = within(made).split()

    assert unit == "g/L"
    assert float(said) == pytest.approx(made.tolerance, rel=0.06)


def test_only_the_answer_itself_is_right_where_nothing_is_measured():
    assert within(problem_of(calculation("C15-check_digit"), 3)) == ""


def test_kinds_ahead_are_those_of_the_people(django_assert_num_queries):
    floor = make_floor(asked=Asked(calculations=("C03",)))
    make_task(floor.area, "PK-77", asked=Asked(calculations=("C10",)))
    ask(floor.trainee, floor.task, floor.trainer)
    library = library_of(floor.plant)

    def codes(people):
        return {kind.framework_code for kind in kinds_ahead(people, library, plant=floor.plant, on=today())}

    assert codes([floor.trainee]) == {"C03"}
    assert codes([]) == {"C03", "C10"}
    assert codes([make_person(floor.plant)]) == set()


@pytest.mark.parametrize("size", [1, 4])
def test_kinds_ahead_cost_the_same_queries_for_any_crew(size, django_assert_num_queries):
    floor = make_floor(asked=Asked(calculations=("C03",)))
    people = [make_person(floor.plant) for _ in range(size)]
    for person in people:
        ask(person, floor.task, floor.trainer)

    with django_assert_num_queries(5):
        assert kinds_ahead(people, library_of(floor.plant), plant=floor.plant, on=today())
