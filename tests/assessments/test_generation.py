"""Problems from a seed."""

import hashlib
from dataclasses import replace
from datetime import date, timedelta

import pytest

from assessments import generation
from assessments.calculations import UnknownCalculationError, calculation, calculations
from assessments.calculations.frame import Calculation, Day, Digits, Measured, Slip, Word
from assessments.generation import MAX_SEED, NoProblemError, Problem, problem, problem_of
from assessments.notation import Line
from assessments.vocabulary import AnswerKind, Family

_mass = Measured("m", name="mass", says="mass", unit="kg", low=2, high=20, resolution=0.5)
_seen = Word("c", name="seen", says="seen", options=("clear", "hazy"), shares=(3, 1))
_code = Digits("d", name="code", says="code", length=12)
_packed = Day("P", name="packed", says="packed", first=date(2024, 1, 1), last=date(2026, 12, 31))
_doubled = Line.of("M", 2 * _mass, "twice the mass", unit="kg", decimals=1)
#: A calculation with one given of each sort, that no trade needs.
DOUBLED = Calculation(
    code="T01-double",
    title="Twice the mass",
    family=Family.CONVERSION,
    asks="How much is twice the mass?",
    givens=(_mass, _seen, _code, _packed),
    steps=(_doubled,),
    work=lambda mass, seen, code, packed: 2 * mass,
    slips=(Slip("halved", "Multiply.", {_doubled: _mass / 2}), Slip("left as it was", "Multiply.", {_doubled: _mass})),
    valid_for="any mass",
    sources=("ARITHMETIC",),
)


@pytest.mark.parametrize("seed", [0, 1, 2025, MAX_SEED])
def test_given_is_drawn_by_the_hash_of_seed_code_try_and_name(seed):
    def place(name, choices):
        digest = hashlib.sha256(f"{seed}:T01-double:0:{name}".encode()).hexdigest()
        return int(digest[:32], 16) % choices

    givens = problem_of(DOUBLED, seed).givens

    assert givens["mass"] == 2 + 0.5 * place("mass", 37)
    assert givens["seen"] == ("clear", "clear", "clear", "hazy")[place("seen", 4)]
    assert givens["code"] == str(place("code", 10**12)).zfill(12)
    assert givens["packed"] == date(2024, 1, 1) + timedelta(days=place("packed", 366 + 365 + 365))


def test_seeds_give_different_problems():
    assert len({tuple(problem("C03-strike", seed).givens.items()) for seed in range(50)}) > 45


@pytest.mark.parametrize("code", sorted(calculations()))
def test_givens_lie_in_their_range(code):
    for seed in range(20):
        made = problem(code, seed)
        for given in made.calculation.givens:
            if hasattr(given, "low"):
                assert given.low <= made.givens[given.name] <= given.high


@pytest.mark.parametrize("code", sorted(calculations()))
def test_no_slip_passes_for_the_right_answer(code):
    for seed in range(20):
        made = problem(code, seed)
        for slip in made.slips:
            value = made.slip_value(slip)
            if isinstance(value, float):
                assert abs(value - made.answer) > made.tolerance + made.tolerance_with((slip,)).total
            else:
                assert value != made.answer


@pytest.mark.parametrize("seed", [-1, MAX_SEED + 1])
def test_seed_outside_its_range_is_refused(seed):
    with pytest.raises(ValueError, match="seed"):
        problem("C03-strike", seed)


def test_unknown_code_is_refused():
    with pytest.raises(UnknownCalculationError):
        problem("C99-nothing", 1)


def test_ranges_that_allow_no_problem_are_named(monkeypatch):
    kind = replace(calculation("C03-strike"), accepts=lambda givens: False)
    monkeypatch.setattr(generation, "calculation", lambda code: kind)

    with pytest.raises(NoProblemError, match="C03-strike"):
        problem("C03-strike", 1)


def test_a_draw_with_a_slip_within_tolerance_is_thrown_away():
    # At 12.0 degP and 6.0 apparent, what is gone and what is left are the same.
    made = Problem(calculation("C04-apparent"), {"original": 12.0, "apparent": 6.0})

    assert "gave what is left, not what is gone" not in [slip.name for slip in made.slips]
    assert not generation._is_fit(made)


def test_tolerance_is_half_a_place_and_the_uncertainty_of_the_readings():
    # OE 12.0 and AE 2.4, read to 0.1: slopes 100 AE/OE^2 = 1.667 and 100/OE = 8.333 per degP,
    # each times 0.1/sqrt(12) = 0.02887 (GUM, JCGM 100:2008, F.2.2.1): 0.0481 and 0.2406, together 0.2453.
    made = Problem(calculation("C04-apparent"), {"original": 12.0, "apparent": 2.4})

    assert made.tolerance == pytest.approx(0.05 + 0.2453, abs=0.002)


def test_tolerance_of_set_points_is_half_a_place():
    assert Problem(calculation("C06-precoat"), {"area": 30.0, "dose": 900.0}).tolerance == 0.05


@pytest.mark.parametrize(
    "code", [code for code, kind in calculations().items() if kind.kind is not AnswerKind.QUANTITY]
)
def test_exact_answers_have_no_tolerance(code):
    assert problem(code, 3).tolerance == 0.0


def test_steps_show_symbols_and_numbers():
    made = Problem(calculation("C03-strike"), {"mash": 65.0, "grist": 18.0, "ratio": 3.0})
    gap, strike = made.steps()

    assert (gap.symbols_text, gap.numbers_text, gap.result) == ("ΔT = T_m − T_g", "ΔT = 65.0 − 18.0", "47.0")
    assert strike.numbers_text == "T_s = 65.0 + 0.41 / 3.0 × 47.0"
    assert (strike.result, strike.unit) == ("71.4", "°C")
    assert strike.symbols.startswith('<math xmlns="http://www.w3.org/1998/Math/MathML"')


def test_steps_can_show_a_slip_being_made():
    made = Problem(calculation("C03-strike"), {"mash": 65.0, "grist": 18.0, "ratio": 3.0})

    assert made.steps((made.slips[0],))[-1].result == "58.6"
