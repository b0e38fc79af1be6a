"""Every calculation in the registry is whole: sources, slips, cautions, and a check from outside."""

import sys
from dataclasses import replace

import pytest

from assessments import calculations as shelf
from assessments.calculations import UnknownCalculationError, calculation, calculations, for_framework_code
from assessments.calculations.frame import Slip
from assessments.generation import Problem, problem
from assessments.marking import mark
from assessments.notation import Scope
from assessments.vocabulary import Verdict
from tests.assessments.wholeness import corners_of, faults_of, formulas_of
from tests.outside.published import PUBLISHED

SEEDS = range(40)
CODES = sorted(calculations())
LINKED = [f"C{number:02}" for number in range(1, 20)]


@pytest.mark.parametrize("code", LINKED)
def test_every_code_of_the_syllabus_has_a_calculation(code):
    assert for_framework_code(code)


def test_unknown_code_is_refused_by_name():
    with pytest.raises(UnknownCalculationError, match="C99"):
        calculation("C99")


@pytest.mark.parametrize("code", CODES)
def test_calculation_is_whole(code):
    assert faults_of(calculation(code), PUBLISHED.get(code, [])) == []


@pytest.mark.parametrize("code", CODES)
def test_every_given_matters_or_is_there_to_be_left_out(code):
    names = {given.name for given in calculation(code).givens} - set(calculation(code).spare)

    unused = {name for name in names if not any(answer_changes(code, seed, name) for seed in SEEDS)}

    assert unused == set()


def answer_changes(code, seed, name):
    """Return whether the answer changes when one given is taken from the next problem."""
    made, other = problem(code, seed), problem(code, seed + 1)
    try:
        return Problem(made.calculation, {**made.givens, name: other.givens[name]}).answer != made.answer
    except ValueError:
        return False


def test_a_slip_sees_the_given_as_it_was():
    kind = calculation("C06-bodyfeed")
    slip = next(slip for slip in kind.slips if slip.name == "hL taken as L")
    made = Problem(kind, {"volume": 600.0, "dose": 120.0})

    assert made.slip_value(slip) == 7200.0
    assert Scope(made.givens).number_of(kind.answer) == 72.0


# The walk itself: a fault planted in a whole calculation is found.

WHOLE = calculation("C10-fill")
VOLUME = WHOLE.answer
GROSS, TARE, DENSITY = WHOLE.givens
ROWS = PUBLISHED["C10-fill"]


def slip(name, replaces, *, advice="Do not.", sometimes=False):
    """Return a slip for a faulty calculation."""
    return Slip(name, advice, replaces, sometimes=sometimes)


# At the corner of 505 g gross and 205 g tare the net weight is 300 g.
AT_A_CORNER = slip("took 300 g", {WHOLE.steps[0]: GROSS - TARE + (GROSS - TARE - 300) * 2})
FAULTY = [
    ("no source", replace(WHOLE, sources=()), ROWS),
    ("HEARSAY is no reference", replace(WHOLE, sources=("HEARSAY",)), ROWS),
    ("no check from outside", WHOLE, []),
    ("a check that names no source", WHOLE, [({}, 1, 1, " ")]),
    ("works by no formula", replace(WHOLE, work=lambda gross, tare, density: (gross - tare) / density), ROWS),
    ("steps and formula part", replace(WHOLE, steps=(replace(VOLUME, body=VOLUME.body * 2),)), ROWS),
    ("fewer than two slips", replace(WHOLE, slips=WHOLE.slips[:1]), ROWS),
    ("two slips of one name", replace(WHOLE, slips=(*WHOLE.slips, WHOLE.slips[0])), ROWS),
    ("no advice on odd", replace(WHOLE, slips=(*WHOLE.slips, slip("odd", {TARE: 2 * TARE}, advice=""))), ROWS),
    ("odd changes no part", replace(WHOLE, slips=(*WHOLE.slips, slip("odd", {}))), ROWS),
    ("took 300 g passes for the right answer", replace(WHOLE, slips=(*WHOLE.slips, AT_A_CORNER)), ROWS),
    (
        "never is told in 0 of 40",
        replace(WHOLE, slips=(*WHOLE.slips, slip("never", {TARE: 1 * TARE}, sometimes=True))),
        ROWS,
    ),
    ("tare has no unit", replace(WHOLE, givens=(GROSS, replace(TARE, unit="zork"), DENSITY)), ROWS),
    ("the answer has no unit", replace(WHOLE, steps=(WHOLE.steps[0], replace(VOLUME, unit=""))), ROWS),
    ("options without a choice", replace(WHOLE, options=("a", "b")), ROWS),
    ("no title", replace(WHOLE, valid_for=""), ROWS),
    ("made no problem", replace(WHOLE, accepts=lambda givens: False), ROWS),
    ("neither a caution nor harmless", replace(WHOLE, cautions=()), ROWS),
    ("a caution, yet harmless", replace(WHOLE, is_harmless=True), ROWS),
    ("no question", replace(WHOLE, asks="fill"), ROWS),
]


@pytest.mark.parametrize(("fault", "kind", "rows"), FAULTY, ids=[fault for fault, *_ in FAULTY])
def test_walk_finds_a_fault(fault, kind, rows):
    found = faults_of(kind, rows)

    assert any(fault in each for each in found), found


def test_corners_take_every_end_of_every_range():
    corners = corners_of(WHOLE)

    assert len(corners) == 2 * 2 * 2
    assert {"gross": 505.0, "tare": 205.0, "density": 1.004} in corners


def test_formulas_of_a_calculation_are_found_behind_a_lambda():
    assert [formula.__name__ for formula in formulas_of(calculation("C09-rate"))] == ["good_rate_per_h"]


# One declaration in one module is all that a new calculation takes.

DECLARED = '''
"""Bottles to the tray."""

from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import packed
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_trays = Measured("n", name="trays", says=_("trays"), unit="units", low=10, high=90, resolution=1, is_exact=True)
_mass = Measured("m", name="mass", says=_("mass of a tray"), unit="kg", low=8, high=14, resolution=0.1)
_load = Line.of("M", _trays * _mass, _("load"), unit="kg", decimals=0)
LOAD = Calculation(
    code="T99-load", title=_("Load of a stack"), family=Family.PACKAGING,
    asks=_("What do the trays weigh together?"),
    givens=(_trays, _mass), steps=(_load,), work=packed.stack_load_kg,
    slips=(
        Slip(_("divided"), _("All trays weigh more than one: multiply."), {_load: _trays / _mass}),
        Slip(_("added"), _("Each tray has its mass: multiply."), {_load: _trays + _mass}),
    ),
    valid_for=_("trays of one kind"), sources=("ARITHMETIC",), is_harmless=True,
)
'''
FORMULA = '''
"""Loads."""


def stack_load_kg(trays: float, mass_kg: float) -> float:
    """Return the load of a stack. References: arithmetic."""
    return trays * mass_kg
'''


@pytest.fixture
def declared(tmp_path, monkeypatch):
    """Put one module with a calculation, and one with its formula, beside those of the site."""
    for package, name, text in (("calculations", "stacks", DECLARED), ("formulas", "packed", FORMULA)):
        folder = tmp_path / package
        folder.mkdir()
        (folder / f"{name}.py").write_text(text, encoding="utf-8")
        path = sys.modules[f"assessments.{package}"].__path__
        monkeypatch.setattr(sys.modules[f"assessments.{package}"], "__path__", [*path, str(folder)])
    calculations.cache_clear()
    yield "T99-load"
    calculations.cache_clear()
    for name in ("calculations.stacks", "formulas.packed"):
        sys.modules.pop(f"assessments.{name}", None)
    for module, name in ((shelf, "stacks"), (sys.modules["assessments.formulas"], "packed")):
        monkeypatch.delattr(module, name, raising=False)


def test_one_declaration_is_practised_marked_and_shown(declared):
    made = problem(declared, 4)
    trays, mass = made.givens["trays"], made.givens["mass"]

    [step] = made.steps()
    first, second = made.slips
    assert declared in calculations()
    assert faults_of(made.calculation, [({}, 1, 1, "arithmetic")]) == []
    assert float(step.result.replace("\u2009", "")) == pytest.approx(trays * mass, abs=0.5)
    assert mark(made, f"{trays * mass:.0f} kg").verdict is Verdict.RIGHT
    assert mark(made, f"{trays / mass:.4f} kg").slips == (first,)
    assert mark(made, f"{trays + mass:.1f} kg").slips == (second,)
    assert len(DECLARED.strip().splitlines()) <= 25


def test_declaration_is_gone_when_its_module_is():
    assert "T99-load" not in calculations()
