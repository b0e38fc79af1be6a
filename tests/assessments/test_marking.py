"""Marks: one table of cases for each verdict, and no text that breaks it."""

import math
from datetime import date

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assessments.calculations import calculation, calculations
from assessments.generation import Problem, problem
from assessments.marking import mark
from assessments.quantities import convert, unit
from assessments.reader import MAX_LENGTH
from assessments.vocabulary import AnswerKind, Verdict
from tests.assessments.planted import right_ways

STRIKE = ("C03-strike", {"mash": 65.0, "grist": 18.0, "ratio": 3.0})
CO2 = ("C05-pressure", {"temperature": 4.0, "pressure": 1.0, "atmosphere": 1.01325})
PSI = ("C01-pressure", {"pressure": 12.5})
ABSOLUTE = ("C01-absolute", {"gauge": 1.2, "atmosphere": 1.013})
RATE = ("C09-rate", {"good": 54000.0, "hours": 2.0, "minutes": 24.0})
STOCK = ("C16-stock", {"full": 18.0, "layers": 6.0, "cases": 12.0, "units": 24.0, "part_cases": 31.0})
DIGIT = ("C15-check_digit", {"digits": "200012345678"})
BEST_BEFORE = ("C14-best_before", {"packed": date(2025, 8, 31), "months": 6.0})
NEW_YEAR = ("C34-new_year", {"packed": date(2024, 12, 30)})
IODINE = ("C02-iodine", {"sample": "hot", "drop": "clear", "colour": "yellow to light brown"})
STRENGTH = ("C19-alcohol", {"original": 1.048, "final": 1.010})
GRAVITY = ("C35-gravity", {"extract": 12.0})
WATER = ("C18-water", {"beer": 100.0, "strength": 6.0, "target": 4.8})

CASES = [
    # right, in any unit of the right kind
    (STRIKE, "71.4 °C", Verdict.RIGHT, [], 0),
    (STRIKE, "71,42 degC", Verdict.RIGHT, [], 0),
    (STRIKE, "344.6 K", Verdict.RIGHT, [], 0),
    (STRIKE, "160.5 °F", Verdict.RIGHT, [], 0),
    (CO2, "5.52 g/L", Verdict.RIGHT, [], 0),
    (CO2, "0.552 kg/hL", Verdict.RIGHT, [], 0),
    (CO2, "2.81 vol", Verdict.RIGHT, [], 0),
    (ABSOLUTE, "221 kPa", Verdict.RIGHT, [], 0),
    (RATE, "22500 units/h", Verdict.RIGHT, [], 0),
    (RATE, "375/min", Verdict.RIGHT, [], 0),
    (RATE, "2.25 x 10^4 bottles per hour", Verdict.RIGHT, [], 0),
    (STOCK, "31 848", Verdict.RIGHT, [], 0),
    (STOCK, "31,848 units", Verdict.RIGHT, [], 0),
    (DIGIT, "2", Verdict.RIGHT, [], 0),
    (BEST_BEFORE, "28 Feb 2026", Verdict.RIGHT, [], 0),
    (NEW_YEAR, "2025 w01 1", Verdict.RIGHT, [], 0),
    (IODINE, "No reading: take a new sample", Verdict.RIGHT, [], 0),
    (STRENGTH, "4.99 %", Verdict.RIGHT, [], 0),
    # nothing but specific gravity could be meant
    (GRAVITY, "1.0484", Verdict.RIGHT, [], 0),
    (GRAVITY, "1,0484 SG", Verdict.RIGHT, [], 0),
    (GRAVITY, "1.12", Verdict.SLIP, ["added the extract as a percentage"], 0),
    (GRAVITY, "1.0484 kg", Verdict.UNIT_WRONG, [], 0),
    # the value is right, the unit is missing or another one
    (STRIKE, "71.4", Verdict.UNIT_MISSING, [], 0),
    (RATE, "22 500", Verdict.UNIT_MISSING, [], 0),
    (STRIKE, "71.4 kg", Verdict.UNIT_WRONG, [], 0),
    (STRIKE, "71.4 °F", Verdict.UNIT_WRONG, [], 0),
    (STRENGTH, "4.99 % w/w", Verdict.UNIT_WRONG, [], 0),
    (PSI, "86.2 kPa", Verdict.UNIT_WRONG, [], 0),
    (PSI, "12.5 psi", Verdict.UNIT_WRONG, [], 0),
    # rounded too coarsely
    (STRIKE, "71 °C", Verdict.TOO_COARSE, [], 0),
    (PSI, "0.9 bar", Verdict.TOO_COARSE, [], 0),
    (CO2, "5 g/L", Verdict.OTHER, [], 0),
    (CO2, "6 g/L", Verdict.TOO_COARSE, [], 0),
    (RATE, "2e4 units/h", Verdict.TOO_COARSE, [], 0),
    # a slip by name
    (STRIKE, "58.6 °C", Verdict.SLIP, ["sign of the difference"], 0),
    (STRIKE, "58,6", Verdict.SLIP, ["sign of the difference"], 0),
    (STRIKE, "331.7 K", Verdict.SLIP, ["sign of the difference"], 0),
    (CO2, "2.74 g/L", Verdict.SLIP, ["took gauge for absolute"], 0),
    (PSI, "181.3 bar", Verdict.SLIP, ["multiplied instead of divided"], 0),
    (RATE, "24107 /h", Verdict.SLIP, ["minutes as decimal hours"], 0),
    (DIGIT, "8", Verdict.SLIP, ["gave the rest itself"], 0),
    (BEST_BEFORE, "2026-03-03", Verdict.SLIP, ["ran over the end of the month"], 0),
    (BEST_BEFORE, "2026-02-27", Verdict.SLIP, ["months of 30 days"], 0),
    (NEW_YEAR, "2024-W01-1", Verdict.SLIP, ["kept the calendar year"], 0),
    (NEW_YEAR, "2024-W53-1", Verdict.SLIP, ["counted the weeks from 1 January"], 0),
    (IODINE, "converted", Verdict.SLIP, ["read the colour of a spoilt sample"], 0),
    (STOCK, "1327", Verdict.SLIP, ["gave cases, not units"], 0),
    (WATER, "125 hL", Verdict.SLIP, ["gave the final volume as the water"], 0),
    # two slips at once
    (ABSOLUTE, "12 kPa", Verdict.TWO_SLIPS, ["took gauge for absolute", "took a bar for ten kilopascal"], 0),
    (CO2, "0.274 g/L", Verdict.TWO_SLIPS, ["took gauge for absolute", "left the factor 10 out"], 0),
    # a power of ten
    (STRIKE, "714 °C", Verdict.POWER_OF_TEN, [], 1),
    (CO2, "5520 g/L", Verdict.POWER_OF_TEN, [], 3),
    (STRENGTH, "0.0499", Verdict.POWER_OF_TEN, [], -2),
    (STOCK, "318480", Verdict.POWER_OF_TEN, [], 1),
    # none of these
    (STRIKE, "75 °C", Verdict.OTHER, [], 0),
    (STRIKE, "75 kg", Verdict.OTHER, [], 0),
    (BEST_BEFORE, "2020-01-01", Verdict.OTHER, [], 0),
    (DIGIT, "5", Verdict.OTHER, [], 0),
    (NEW_YEAR, "2025-W00-9", Verdict.OTHER, [], 0),
    # asked about
    (RATE, "22,500 units/h", Verdict.UNCLEAR, [], 0),
    (RATE, "22.500 units/h", Verdict.UNCLEAR, [], 0),
    (STRIKE, "1,234", Verdict.UNCLEAR, [], 0),
    # not read
    (STRIKE, "hot", Verdict.UNREADABLE, [], 0),
    (STRIKE, "", Verdict.UNREADABLE, [], 0),
    (STRIKE, "71.4 zorks", Verdict.UNREADABLE, [], 0),
    (NEW_YEAR, "30 Dec 2024", Verdict.UNREADABLE, [], 0),
    (STOCK, "31848 kg", Verdict.UNREADABLE, [], 0),
    (IODINE, "purple", Verdict.UNREADABLE, [], 0),
]


@pytest.mark.parametrize(
    ("made", "typed", "verdict", "slips", "power"),
    CASES,
    ids=[f"{made[0]}: {typed or 'empty'}" for made, typed, *_ in CASES],
)
def test_answer_gets_its_mark(made, typed, verdict, slips, power):
    code, givens = made

    marked = mark(Problem(calculation(code), givens), typed)

    assert marked.verdict is verdict
    assert [slip.name for slip in marked.slips] == slips
    assert marked.power == power


def test_a_missing_unit_is_told_beside_any_verdict():
    code, givens = STRIKE

    assert mark(Problem(calculation(code), givens), "58.6").unit_missing
    assert not mark(Problem(calculation(code), givens), "58.6 °C").unit_missing


def test_a_question_names_both_readings():
    code, givens = RATE
    marked = mark(Problem(calculation(code), givens), "22,500")

    message = marked.message % dict(marked.params)
    assert "22500" in message
    assert "22.5" in message


def test_a_suggested_reading_is_read_without_a_question():
    code, givens = RATE
    params = dict(mark(Problem(calculation(code), givens), "22,500").params)

    for reading in (params["decimal"], params["whole"]):
        assert mark(Problem(calculation(code), givens), f"{reading} units/h").verdict.is_read


def test_gauge_and_absolute_are_told_apart_by_the_local_air():
    kind = calculation("C01-absolute")
    made = Problem(kind, {"gauge": 1.2, "atmosphere": 0.95})

    assert mark(made, "215 kPa absolute").verdict is Verdict.RIGHT
    assert mark(made, "120 kPa gauge").verdict is Verdict.UNIT_WRONG
    assert mark(made, "120 kPa").verdict is Verdict.SLIP


def test_three_decimals_with_a_point_are_no_thousands():
    code, givens = STRIKE

    assert mark(Problem(calculation(code), givens), "71.423 °C").verdict is Verdict.RIGHT


@pytest.mark.parametrize(
    "code", sorted(code for code, kind in calculations().items() if kind.kind is AnswerKind.QUANTITY)
)
def test_tolerance_is_kept_to_the_edge(code):
    made = problem(code, 2)
    inside, outside = (made.answer + share * made.tolerance for share in (0.98, 1.5))
    unit_text = made.unit

    assert mark(made, f"{inside:.9f} {unit_text}").verdict is Verdict.RIGHT
    assert mark(made, f"{outside:.9f} {unit_text}").verdict is not Verdict.RIGHT


OTHER_UNITS = [
    ("C03-strike", "°F"), ("C05-pressure", "mg/L"), ("C06-bodyfeed", "g"), ("C10-fill", "cL"), ("C12-overlap", "in"),
    ("C17-pitch", "hL"), ("C18-water", "m3"), ("C13-angle", "rad"), ("C09-hours", "min"), ("C08-weight", "lb"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "other"), OTHER_UNITS)
def test_any_unit_of_the_right_kind_is_taken(code, other):
    made = problem(code, 4)
    value = convert(made.answer, unit(made.unit), unit(other))

    assert mark(made, f"{value:.9f} {other}").verdict is Verdict.RIGHT


PROBLEMS = [problem(code, 1) for code in calculations()]
TYPED = st.one_of(
    st.text(max_size=45),
    st.text("0123456789.,' e^x·/-+°CPbarkghLvol%", max_size=40),
    st.floats(allow_nan=False, allow_infinity=False).map(lambda number: f"{number!r} °C"),
    st.sampled_from(
        ["10^400", "1e999", "-1e-999", "∞", "NaN", "seven", "שבע", "७", "Ⅶ", "0", "-0", "0,000", "1/0", "🍺"]
    ),
)


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(PROBLEMS), TYPED)
def test_no_typed_text_breaks_the_marking(made, typed):
    marked = mark(made, typed)

    assert marked.verdict in Verdict
    assert bool(marked.message) is not marked.verdict.is_read
    if marked.message:
        assert marked.message % dict(marked.params)
    assert math.isfinite(marked.power)


UNSEEN = ["\u200b", "\u200e", "\u200f", "\u2060", "\ufeff", "\u00ad", "\u202b", "\u2066"]
SPACES = [" ", "  ", "\u00a0", "\u2009", "\u202f", "\t"]
MINUSES = ["-", "−", "–", "\uff0d"]
SCRIPTS = ["0123456789", "٠١٢٣٤٥٦٧٨٩", "०१२३४५६७८९", "\uff10\uff11\uff12\uff13\uff14\uff15\uff16\uff17\uff18\uff19"]
MARKED = {Verdict.RIGHT, Verdict.UNIT_MISSING, Verdict.UNCLEAR}


@st.composite
def right_answers(draw):
    """Return a problem and its right answer as some keyboard or other sends it."""
    made = draw(st.sampled_from(PROBLEMS))
    typed = draw(st.sampled_from(sorted(right_ways(made).values())))
    if made.calculation.kind is AnswerKind.CHOICE:
        return made, typed
    plain = typed.replace("−", "-").replace("-", draw(st.sampled_from(MINUSES)), 1)
    digits = str.maketrans(SCRIPTS[0], draw(st.sampled_from(SCRIPTS)))
    unseen = draw(st.sampled_from(UNSEEN))
    place = draw(st.integers(0, len(plain)))
    space = draw(st.sampled_from(SPACES))
    return made, f"{space}{plain[:place]}{unseen}{plain[place:]}".translate(digits).replace(" ", space)


@settings(max_examples=600, deadline=None)
@given(right_answers())
def test_a_right_answer_is_right_from_any_keyboard(asked):
    made, typed = asked
    assume(len(typed) <= MAX_LENGTH)

    assert mark(made, typed).verdict in MARKED, typed


@settings(max_examples=600, deadline=None)
@given(right_answers(), st.data())
def test_no_slip_of_the_finger_breaks_the_marking(asked, data):
    made, typed = asked
    place = data.draw(st.integers(0, len(typed)))
    kept = typed[place + data.draw(st.integers(0, 2)) :]
    struck = data.draw(st.one_of(st.characters(), st.sampled_from("0123456789.,eE^/x-+ '°%µ½¹∞")))

    assert mark(made, typed[:place] + struck + kept).verdict in Verdict


@pytest.mark.parametrize("made", PROBLEMS[:6], ids=lambda made: made.calculation.code)
@pytest.mark.parametrize(
    "typed",
    [
        "9" * 1_000_000,
        "1" + " 000" * 250_000,
        "(" * 1_000_000,
        "🍺" * 100_000,
        "<script>alert(1)</script>",
        "' OR 1=1 --",
        "{{ 7 * 7 }}",
        "%(typed)s %s",
        "1/3/5/7/9",
        "٣" * 50,
        "\u202e4.17",
        "9**9**9",
        "1e1e1e1",
        "0x10",
        "0b1",
        "1_000",
        "+-+-1",
        "10^10^10",
        "\x00",
        "\ud800",
    ],
    ids=lambda typed: ascii(typed[:12]),
)
def test_nothing_that_is_pasted_breaks_the_marking(made, typed):
    marked = mark(made, typed)

    assert marked.verdict in Verdict
    assert marked.message % dict(marked.params) if marked.message else marked.verdict.is_read
