"""What was told becomes a calculation like any other, or every fault in it is named at its place."""

from dataclasses import replace

import pytest

from assessments.generation import problem_of
from assessments.marking import mark
from assessments.plant_formulas.compiling import compiled
from assessments.plant_formulas.described import as_kept, from_kept
from assessments.plant_formulas.faults import DescriptionError
from assessments.vocabulary import AnswerKind, Verdict
from tests.assessments.plant_formulas.told import BLEND, EXTRACT, INVERTED, VOLUME, WANTED, WATER, WHOLE_TANK, blend


def faults_of(**changes):
    """Return where the faults lie, and what is said there."""
    with pytest.raises(DescriptionError) as refused:
        blend(**changes)
    return {fault.where: str(fault) for fault in refused.value.faults}


def given(**changes):
    return (replace(VOLUME, **changes), EXTRACT, WANTED)


def step(**changes):
    return (replace(WATER, **changes),)


def slip(**changes):
    return (INVERTED, replace(WHOLE_TANK, **changes))


def test_calculation_is_worked_by_its_formula():
    kind = blend()

    # 400 hL of 15 °P for sale at 12 °P: 400 * 15 / 12 = 500 hL in all, 100 hL of it water.
    assert kind.work(400.0, 15.0, 12.0) == pytest.approx(100.0)
    assert (kind.code, kind.framework_code) == ("X01-v1", "X01")
    assert kind.kind is AnswerKind.QUANTITY
    assert [str(reference) for reference in kind.references] == ["Mass balance of extract"]
    assert len(kind.cautions) == 1


@pytest.mark.parametrize("seed", range(20))
def test_answers_are_marked_as_for_any_calculation(seed):
    made = problem_of(blend(), seed)

    assert mark(made, made.stated_answer).verdict is Verdict.RIGHT
    assert mark(made, made.answer_shown).verdict is Verdict.UNIT_MISSING
    for each in made.calculation.slips:
        marked = mark(made, f"{made.calculation.answer.show(made.slip_value(each))} hL")
        assert (marked.verdict, marked.slips) == (Verdict.SLIP, (each,))


def test_steps_lean_on_steps_and_a_slip_changes_one_of_them():
    total = replace(WATER, symbol="V_t", says="tank when blended", formula="V * E / E_s")
    water = replace(WATER, formula="V_t - V")
    early = replace(INVERTED, replaces="V_t", formula="V * E_s / E")
    as_litres = replace(WHOLE_TANK, name="hL taken as L", replaces="V", formula="V / 100")

    kind = blend(steps=(total, water), slips=(early, as_litres))

    made = kind.givens[0], {"V": 400.0, "E": 15.0, "E_s": 12.0}
    assert kind.value(made[1]) == pytest.approx(100.0)
    assert kind.value(made[1], (kind.slips[0],)) == pytest.approx(-80.0)
    assert kind.value(made[1], (kind.slips[1],)) == pytest.approx(1.0)


def test_answer_without_a_unit_is_a_whole_number():
    cases = replace(VOLUME, symbol="n", unit="units", low=100, high=900)
    pallets = replace(WATER, formula="ceil(n / 40)", unit="")
    slips = (
        replace(INVERTED, formula="floor(n / 40) - 1"),
        replace(WHOLE_TANK, formula="ceil(n / 40) + 5"),
    )

    kind = blend(givens=(cases,), steps=(pallets,), slips=slips)

    assert kind.kind is AnswerKind.WHOLE
    assert kind.work(401.0) == 11.0


def test_what_was_told_is_kept_and_read_back():
    assert from_kept(as_kept(BLEND), code="X01", version=1) == BLEND
    assert set(as_kept(BLEND)) == set(BLEND.__dataclass_fields__) - {"code", "version"}


@pytest.mark.parametrize(
    ("changes", "where", "message"),
    [
        ({"code": "C03"}, ("code",), "a code of the library"),
        ({"code": "C99"}, ("code",), "a code of the library"),
        ({"code": "x-1"}, ("code",), "2 to 6 capital letters"),
        ({"code": "X01-v2"}, ("code",), "2 to 6 capital letters"),
        ({"givens": ()}, ("givens",), "at least one given"),
        ({"givens": given(low=600, high=200)}, ("givens", 0, "high"), "lowest value must lie below"),
        ({"givens": given(low=200, high=200)}, ("givens", 0, "high"), "lowest value must lie below"),
        ({"givens": given(resolution=0)}, ("givens", 0, "resolution"), "above 0"),
        ({"givens": given(resolution=-1)}, ("givens", 0, "resolution"), "above 0"),
        ({"givens": given(resolution=0.7)}, ("givens", 0, "resolution"), "whole number of such steps"),
        ({"givens": given(resolution=0.0001)}, ("givens", 0, "resolution"), "a million at most"),
        ({"givens": given(low=float("nan"))}, ("givens", 0, "high"), "lowest value must lie below"),
        ({"givens": given(unit="buckets")}, ("givens", 0, "unit"), "not a unit that is known"),
        ({"givens": given(symbol="sqrt")}, ("givens", 0, "symbol"), "one to three letters"),
        ({"givens": given(symbol="exp")}, ("givens", 0, "symbol"), "means something else"),
        ({"givens": given(symbol="pi")}, ("givens", 0, "symbol"), "means something else"),
        ({"givens": given(symbol="__class__")}, ("givens", 0, "symbol"), "one to three letters"),
        ({"givens": given(symbol="\u0412")}, ("givens", 0, "symbol"), "one to three letters"),  # a Cyrillic V
        ({"givens": given(symbol="E")}, ("givens", 1, "symbol"), "something else already"),
        ({"givens": (*BLEND.givens, replace(EXTRACT, symbol="Q"))}, ("givens", 3, "symbol"), "No formula uses Q"),
        ({"steps": ()}, ("steps",), "at least one formula"),
        ({"steps": step(formula="V * (E / E_s - 1) * 2 [kg]")}, ("steps", 0, "formula"), "do not measure the same"),
        ({"steps": step(unit="L")}, ("steps", 0, "formula"), "1 hL is 100 L"),
        ({"steps": step(unit="kg")}, ("steps", 0, "formula"), "do not measure the same"),
        ({"steps": step(formula="W + V")}, ("steps", 0, "formula"), "“W” is neither given"),
        ({"steps": step(formula="__import__('os').system('true')")}, ("steps", 0, "formula"), "cannot stand"),
        ({"steps": step(formula="ceil(E / E_s)", unit="", decimals=1)}, ("steps", 0, "decimals"), "0 decimals"),
        ({"slips": (INVERTED,)}, ("slips",), "at least two"),
        ({"slips": slip(name=INVERTED.name)}, ("slips", 1, "name"), "Another slip has this name"),
        ({"slips": slip(replaces="Z")}, ("slips", 1, "replaces"), "neither given nor found"),
        ({"slips": slip(formula="V * E / Z")}, ("slips", 1, "formula"), "“Z” is neither given"),
        ({"slips": slip(replaces="V", formula="W")}, ("slips", 1, "formula"), "found later"),
        ({"slips": slip(formula="")}, ("slips", 1, "formula"), "Write a formula"),
    ],
)
def test_each_fault_is_named_at_its_place(changes, where, message):
    assert message in faults_of(**changes)[where]


def test_all_faults_are_named_at_once():
    found = faults_of(code="C01", givens=given(symbol="1", unit="quux"), slips=())

    assert {("code",), ("givens", 0, "symbol"), ("givens", 0, "unit"), ("slips",)} <= set(found)


def test_whoever_works_with_3_14_is_right_too():
    bore = replace(VOLUME, symbol="d", unit="m", low=2, high=9, resolution=0.01, is_exact=True)
    area = replace(WATER, symbol="A", formula="π * d^2 / 4", unit="m2", decimals=2)
    slips = (replace(INVERTED, replaces="A", formula="π * d^2"), replace(WHOLE_TANK, replaces="A", formula="d^2 / 4"))

    made = problem_of(blend(givens=(bore,), steps=(area,), slips=slips), 3)

    assert mark(made, f"{3.14 * made.givens['d'] ** 2 / 4:.2f} m2").verdict is Verdict.RIGHT


def test_a_slip_need_not_balance():
    kind = compiled(replace(BLEND, slips=slip(formula="V + E * 3")))

    assert kind.value({"V": 400.0, "E": 15.0, "E_s": 12.0}, (kind.slips[1],)) == 445.0
