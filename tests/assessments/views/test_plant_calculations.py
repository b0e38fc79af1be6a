"""The pages of the plant's own calculations: told, refused at the field, tried, published, withdrawn."""

from dataclasses import replace

import pytest
from django.urls import reverse
from django.utils.html import escape

from assessments.models import PlantCalculation
from assessments.operations.plant_calculations import change_calculation, publish_calculation
from assessments.plant_formulas.described import from_kept
from competencies.vocabulary import AuthorityKind
from tests.assessments.plant_formulas.told import BLEND, INVERTED, WHOLE_TANK, drafted_by
from tests.factories import PIN, WRONG_PIN, at, grant, make_floor, make_person, make_plant, signer, today

pytestmark = pytest.mark.django_db


@pytest.fixture
def coordinator():
    person = make_person(make_floor().plant, with_pin=True)
    grant(person, AuthorityKind.COORDINATE)
    return person


@pytest.fixture
def office(client, coordinator):
    client.force_login(coordinator.user)
    return client


def url(name, *arguments):
    return reverse(f"assessments:{name}", args=arguments)


def rows_of(name, rows):
    """Return what a browser sends of a set of rows."""
    sent = {f"{name}-TOTAL_FORMS": len(rows), f"{name}-INITIAL_FORMS": 0}
    return sent | {f"{name}-{place}-{field}": value for place, row in enumerate(rows) for field, value in row.items()}


GIVENS = [
    {"symbol": "V", "says": "beer in the tank", "unit": "hL", "low": "200", "high": "600", "resolution": "1"},
    {"symbol": "E", "says": "its original extract", "unit": "°P", "low": "14", "high": "16,5", "resolution": "0,1"},
    {
        "symbol": "E_s",
        "says": "extract for sale",
        "unit": "°P",
        "low": "11.0",
        "high": "12.5",
        "resolution": "0.1",
        "is_exact": "on",
    },
]
STEPS = [{"symbol": "W", "says": "blending water", "formula": "V * (E / E_s - 1)", "unit": "hL", "decimals": "0"}]
SLIPS = [
    {"name": each.name, "advice": each.advice, "replaces": "", "formula": each.formula}
    for each in (INVERTED, WHOLE_TANK)
]
WHOLE = {
    "code": "X01",
    "title": BLEND.title,
    "family": BLEND.family.value,
    "asks": BLEND.asks,
    "round_up": "nearest",
    "valid_for": BLEND.valid_for,
    "source": BLEND.source,
    "how_known": BLEND.how_known.value,
    "cautions": ["CO2"],
}


def sent(*, givens=GIVENS, steps=STEPS, slips=SLIPS, **whole):
    blank = dict.fromkeys(GIVENS[0], "")
    return {
        **WHOLE,
        **rows_of("givens", [*givens, blank]),
        **rows_of("steps", steps),
        **rows_of("slips", slips),
        **whole,
    }


def with_changed(rows, place, **changes):
    return [{**row, **changes} if at_place == place else row for at_place, row in enumerate(rows)]


def shown_errors(response):
    """Return every error on the page by where it stands."""
    form = response.context["form"]
    found = {(name,): errors for name, errors in form.whole.errors.items()}
    for name, rows in form.sets.items():
        for place, row in enumerate(rows.forms):
            found |= {(name, place, field): errors for field, errors in row.errors.items()}
    return found


def test_calculation_is_told_and_kept_as_a_draft(office, coordinator):
    response = office.post(url("own-new"), sent())

    row = PlantCalculation.objects.get()
    assert response.url == url("own", row.pk)
    assert (row.plant, row.code, row.version, row.changed_by) == (coordinator.plant, "X01", 1, coordinator)
    assert row.published_at is None
    assert from_kept(row.described, code="X01", version=1) == BLEND


@pytest.mark.parametrize(
    ("changes", "where", "message"),
    [
        ({"code": ""}, ("code",), "required"),
        ({"code": "C03"}, ("code",), "a code of the library"),
        ({"code": "x 1"}, ("code",), "capital letters"),
        ({"title": " "}, ("title",), "required"),
        ({"title": "t" * 81}, ("title",), "at most 80"),
        ({"family": "potions"}, ("family",), "not one of the available choices"),
        ({"cautions": ["DRAGONS"]}, ("cautions",), "not one of the available choices"),
        ({"givens": with_changed(GIVENS, 0, low="")}, ("givens", 0, "low"), "required"),
        ({"givens": with_changed(GIVENS, 0, low="a few")}, ("givens", 0, "low"), "Enter a number"),
        ({"givens": with_changed(GIVENS, 0, low="nan")}, ("givens", 0, "low"), "Enter a number"),
        ({"givens": with_changed(GIVENS, 0, high="inf")}, ("givens", 0, "high"), "Enter a number"),
        ({"givens": with_changed(GIVENS, 0, high="10^400")}, ("givens", 0, "high"), "Enter a number"),
        ({"givens": with_changed(GIVENS, 0, high="1e400")}, ("givens", 0, "high"), "digits"),
        ({"givens": with_changed(GIVENS, 0, low="600", high="200")}, ("givens", 0, "high"), "must lie below"),
        ({"givens": with_changed(GIVENS, 0, resolution="0")}, ("givens", 0, "resolution"), "above 0"),
        ({"givens": with_changed(GIVENS, 1, symbol="ln")}, ("givens", 1, "symbol"), "means something else"),
        ({"givens": with_changed(GIVENS, 1, symbol="V")}, ("givens", 1, "symbol"), "something else already"),
        ({"givens": with_changed(GIVENS, 1, unit="quux")}, ("givens", 1, "unit"), "not a unit"),
        ({"givens": with_changed(GIVENS, 1, unit="kg")}, ("steps", 0, "formula"), "do not measure the same"),
        ({"givens": []}, ("givens", 0, "symbol"), "at least one given"),
        ({"steps": with_changed(STEPS, 0, formula="")}, ("steps", 0, "formula"), "required"),
        ({"steps": with_changed(STEPS, 0, unit="L")}, ("steps", 0, "formula"), "1 hL is 100 L"),
        ({"steps": with_changed(STEPS, 0, formula="().__class__")}, ("steps", 0, "formula"), "cannot stand"),
        ({"steps": with_changed(STEPS, 0, formula="V" * 201)}, ("steps", 0, "formula"), "at most 200"),
        ({"steps": with_changed(STEPS, 0, formula="(" * 1_000_000)}, ("steps", 0, "formula"), "at most 200"),
        ({"steps": with_changed(STEPS, 0, formula="9^9^9 * V")}, None, ""),
        ({"steps": with_changed(STEPS, 0, decimals="half")}, ("steps", 0, "decimals"), "Enter a whole number"),
        ({"slips": SLIPS[:1]}, ("slips", 0, "name"), "at least two"),
        ({"slips": with_changed(SLIPS, 1, replaces="Z")}, ("slips", 1, "replaces"), "neither given nor found"),
        ({"slips": with_changed(SLIPS, 1, formula="V * <b>")}, ("slips", 1, "formula"), "cannot stand"),
    ],
)
def test_fault_is_said_at_its_field_and_everything_typed_stays(office, changes, where, message):
    posted = sent(**changes)

    response = office.post(url("own-new"), posted)

    if where is None:
        return
    assert response.status_code == 200
    assert message in str(shown_errors(response)[where])
    assert not PlantCalculation.objects.exists()
    content = response.content.decode()
    for name, value in posted.items():
        if isinstance(value, str) and value.strip() and name not in {"family", "round_up", "how_known"}:
            assert escape(value) in content, name


def test_faults_are_named_once_at_the_top_with_links_to_their_fields(office):
    steps = with_changed(STEPS, 0, unit="L")

    content = office.post(url("own-new"), sent(steps=steps)).content.decode()

    assert content.count("error-summary") == 1
    assert '<a href="#id_steps-0-formula">Step 1, Formula: The formula gives hL' in content


def test_rows_left_blank_anywhere_are_no_rows(office):
    blank = dict.fromkeys(GIVENS[0], "")

    office.post(url("own-new"), sent(givens=[blank, GIVENS[0], blank, *GIVENS[1:]]))

    assert [each["symbol"] for each in PlantCalculation.objects.get().described["givens"]] == ["V", "E", "E_s"]


def test_fault_is_said_at_the_row_that_has_it_past_blank_ones(office):
    blank = dict.fromkeys(GIVENS[0], "")
    wrong = {**GIVENS[1], "unit": "quux"}

    response = office.post(url("own-new"), sent(givens=[blank, GIVENS[0], blank, wrong, GIVENS[2]]))

    assert ("givens", 3, "unit") in shown_errors(response)


@pytest.mark.parametrize("name", ["givens", "steps", "slips"])
def test_one_more_row_is_given_without_a_script_and_keeps_what_was_typed(office, name):
    posted = sent(code="not yet", more=name)

    response = office.post(url("own-new"), posted)

    before = int(posted[f"{name}-TOTAL_FORMS"])
    assert len(response.context["form"].sets[name].forms) == before + 1
    assert shown_errors(response) == {}
    content = response.content.decode()
    for value in ("not yet", "16,5", WHOLE["title"], STEPS[0]["formula"], SLIPS[1]["formula"]):
        assert escape(value) in content
    assert 'value="CO2" checked' in " ".join(content.split()) or "checked" in content


def test_rows_do_not_grow_without_end(office):
    many = [{**GIVENS[0], "symbol": letter} for letter in "abcdefgh"]

    response = office.post(url("own-new"), sent(givens=many, more="givens"))

    assert len(response.context["form"].sets["givens"].forms) == 8


@pytest.mark.parametrize("broken", [{}, {"givens-TOTAL_FORMS": "x"}, {"givens-TOTAL_FORMS": "999999"}])
def test_form_that_was_tampered_with_is_refused_without_a_crash(office, broken):
    response = office.post(url("own-new"), {**WHOLE, **broken})

    assert response.status_code == 200
    assert not PlantCalculation.objects.exists()


def test_code_that_is_taken_is_said_at_its_field(office, coordinator):
    drafted_by(coordinator)

    response = office.post(url("own-new"), sent())

    assert "X01 already" in str(shown_errors(response)[("code",)])


def test_draft_is_changed_with_what_was_told_before(office, coordinator):
    row = drafted_by(coordinator)

    shown = office.get(url("own-change", row.pk)).content.decode()
    office.post(url("own-change", row.pk), sent(title="Blending water", code="X77"))

    assert all(escape(text) in shown for text in ("16.5", INVERTED.formula, BLEND.source))
    row.refresh_from_db()
    assert (row.code, row.version, row.described["title"]) == ("X01", 1, "Blending water")


def test_draft_shows_examples_slips_and_what_the_sweep_found(office, coordinator):
    row = drafted_by(coordinator)

    response = office.get(url("own", row.pk), {"example": "3"})

    content = response.content.decode()
    assert "Tried with 208 problems" in content
    assert "example 3" in content
    assert "<math" in content
    assert all(value in content for _, value in response.context["example"].slips)
    assert url("own-publish", row.pk) in content


@pytest.mark.parametrize("typed", ["", "x", "-1", "0", "9" * 400, "٣", "1e3"])
def test_number_of_an_example_may_be_anything(office, coordinator, typed):
    row = drafted_by(coordinator)

    assert office.get(url("own", row.pk), {"example": typed}).status_code == 200


@pytest.mark.parametrize(("answer", "message"), [("right", "Right."), ("slip", INVERTED.advice), ("", "required")])
def test_answer_is_marked_on_trial_and_not_kept(office, coordinator, answer, message):
    row = drafted_by(coordinator)
    example = office.get(url("own", row.pk)).context["example"]
    typed = {"right": example.problem.stated_answer, "slip": example.slips[0][1]}.get(answer, answer)

    response = office.post(url("own", row.pk), {"answer": typed})

    assert message in response.content.decode()


def test_slip_that_passes_for_the_answer_is_told_and_bars_publishing(office, coordinator):
    row = drafted_by(coordinator)
    told = replace(BLEND, slips=(INVERTED, replace(WHOLE_TANK, formula="V * E / E_s - V")))
    change_calculation(plant=row.plant, told=told, by=coordinator, now=at(today()))

    content = office.get(url("own", row.pk)).content.decode()
    refused = office.post(url("own-publish", row.pk), {"pin": PIN})

    assert "passes for the right answer" in content
    assert url("own-publish", row.pk) not in content
    assert "whole range" in refused.content.decode()
    row.refresh_from_db()
    assert row.published_at is None


def test_formula_without_any_answer_is_told(office, coordinator):
    row = drafted_by(coordinator)
    steps = (replace(BLEND.steps[0], formula="V * E / (E_s - E_s)"),)
    change_calculation(plant=row.plant, told=replace(BLEND, steps=steps), by=coordinator, now=at(today()))

    response = office.get(url("own", row.pk))

    assert "there is no answer" in response.content.decode()
    assert response.context["example"] is None


def test_draft_is_published_by_pin_and_practised(office, coordinator):
    row = drafted_by(coordinator)

    refused = office.post(url("own-publish", row.pk), {"pin": WRONG_PIN})
    office.post(url("own-publish", row.pk), {"pin": PIN})

    row.refresh_from_db()
    assert "not the PIN" in refused.content.decode()
    assert (row.published_by, row.proof) == (coordinator, "pin")
    assert office.get(reverse("assessments:practice-next", args=["X01-v1"])).status_code == 302


def test_change_of_what_is_published_is_the_next_version(office, coordinator):
    row = publish_calculation(draft=drafted_by(coordinator), by=signer(coordinator), now=at(today()))

    office.post(url("own-change", row.pk), sent(title="Blending water"))

    titles = PlantCalculation.objects.order_by("version").values_list("version", "described__title")
    assert list(titles) == [(1, BLEND.title), (2, "Blending water")]


def test_published_calculation_is_withdrawn_by_pin(office, coordinator):
    row = publish_calculation(draft=drafted_by(coordinator), by=signer(coordinator), now=at(today()))

    office.post(url("own-withdraw", row.pk), {"pin": PIN})

    row.refresh_from_db()
    assert (row.withdrawn_by, row.withdrawal_proof) == (coordinator, "pin")
    assert "Withdrawn" in office.get(url("own-list")).content.decode()


def test_draft_is_thrown_away(office, coordinator):
    office.post(url("own-discard", drafted_by(coordinator).pk))

    assert not PlantCalculation.objects.exists()


def test_what_is_published_is_not_thrown_away(office, coordinator):
    row = publish_calculation(draft=drafted_by(coordinator), by=signer(coordinator), now=at(today()))

    office.post(url("own-discard", row.pk))

    assert PlantCalculation.objects.count() == 1


@pytest.mark.parametrize("name", ["own-new", "own", "own-change", "own-publish", "own-withdraw", "own-discard"])
def test_trainee_may_do_none_of_it(client, coordinator, name):
    row = drafted_by(coordinator)
    client.force_login(make_person(coordinator.plant).user)

    response = client.post(url(name, *([] if name == "own-new" else [row.pk])), {**sent(code="X02"), "pin": PIN})

    assert response.status_code == 403
    assert list(PlantCalculation.objects.values_list("code", "published_at")) == [("X01", None)]


def test_coordinator_of_another_plant_finds_nothing(client, coordinator):
    row = drafted_by(coordinator)
    stranger = make_person(make_plant("birch-wharf", "Birch Wharf"))
    grant(stranger, AuthorityKind.COORDINATE)
    client.force_login(stranger.user)

    assert client.get(url("own", row.pk)).status_code == 404
    assert client.post(url("own-discard", row.pk)).status_code == 404
    assert BLEND.title not in client.get(url("own-list")).content.decode()


@pytest.mark.parametrize("count", [1, 3])
def test_list_costs_the_same_queries_at_any_size(office, coordinator, count, django_assert_num_queries):
    for number in range(count):
        told = replace(BLEND, code=f"X0{number}")
        change_calculation(plant=coordinator.plant, told=told, by=coordinator, now=at(today()))

    with django_assert_num_queries(6):
        response = office.get(url("own-list"))

    assert len(response.context["rows"]) == count
