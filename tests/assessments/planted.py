"""Answers planted for the marking: right ones typed in many ways, slips, two slips, powers of ten; and a tally.

The benchmark `marking` and a smaller test use it, so that both hold every calculation to the same limits.
"""

from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction
from itertools import combinations

from assessments.generation import problem_of
from assessments.marking import mark
from assessments.notation import Number, Scope
from assessments.quantities import convert, unit
from assessments.vocabulary import AnswerKind, Verdict

#: Of a hundred planted slips so many must be named, and no right answer may be marked wrong.
NAMED_SHARE = 0.99
#: Other units in which an answer may be typed, by the unit that is asked for.
OTHER_UNITS = {
    "°C": "K", "°": "rad", "g/L": "kg/hL", "mg/L": "g/L", "g/mL": "kg/L", "kg/L": "g/mL", "kg": "g", "g": "kg",
    "mL": "cL", "L": "hL", "hL": "L", "mm": "cm", "h": "min", "min": "s", "L/h": "hL/h", "hL/h": "L/h", "bar": "kPa",
    "units/h": "units/min", "kPa absolute": "bar absolute", "bar absolute": "kPa absolute", "bar gauge": "kPa gauge",
    "kWh": "MJ", "kg/hL": "g/L", "kg/m³": "kg/L", "million/mL": "billion/mL", "billion": "million",
}  # fmt: skip
_KEPT_FIGURES = 3
_MANY_FIGURES = 8


@dataclass
class Tally:
    """What became of the answers planted for one calculation; `misses` keeps an example of each kind of miss."""

    code: str
    counts: Counter = field(default_factory=Counter)
    misses: dict = field(default_factory=dict)

    def share(self, part, whole):
        """Return a share, or None when nothing was planted."""
        return self.counts[part] / self.counts[whole] if self.counts[whole] else None

    @property
    def named(self):
        """Return the share of planted slips that were named."""
        return self.share("slips named", "slips")

    @property
    def wrong(self):
        """Return how many right answers were marked wrong."""
        return self.counts["right marked wrong"]

    def miss(self, *what, seed, typed, told):
        """Keep the first example of a kind of miss."""
        self.misses.setdefault(what, (seed, typed, told))


def tally_of(kind, seeds):
    """Return the tally of a calculation over the problems of some seeds.

    Of every problem each slip is planted, and in turn one pair of slips, one power of ten, and half of the ways in
    which a right answer may be typed.
    """
    tally = Tally(kind.code)
    for seed in seeds:
        made = problem_of(kind, seed)
        tally.counts["problems"] += 1
        _plant_right(tally, made)
        _plant_slips(tally, made)
        _plant_pairs(tally, made)
        _plant_powers(tally, made)
    return tally


def _plant_right(tally, made):
    is_unsaid = bool(made.unit) and unit(made.unit).is_unsaid
    for way, typed in list(right_ways(made).items())[made.seed % 2 :: 2]:
        told = mark(made, typed)
        tally.counts["right"] += 1
        if told.verdict is Verdict.UNCLEAR:
            tally.counts["right asked about"] += 1
        elif told.verdict is not (Verdict.UNIT_MISSING if way == "no unit" and not is_unsaid else Verdict.RIGHT):
            tally.counts["right marked wrong"] += 1
            tally.miss("right", way, seed=made.seed, typed=typed, told=told.verdict)


def _plant_slips(tally, made):
    for slip in made.slips:
        typed = slip_typed(made, (slip,))
        told = mark(made, typed)
        tally.counts["slips"] += 1
        tally.counts["slips named first"] += told.slips == (slip,)
        tally.counts["slips named alone"] += told.slips == (slip,) and not told.others
        if slip in told.slips or (slip,) in told.others:
            tally.counts["slips named"] += 1
        else:
            tally.miss("slip", slip.name, seed=made.seed, typed=typed, told=_told(told))


def _plant_pairs(tally, made):
    pairs = [
        pair for pair in combinations(made.slips, 2) if pair[0].replaces.keys().isdisjoint(pair[1].replaces.keys())
    ]
    pair = pairs[made.seed % len(pairs)] if pairs else None
    if pair is not None and _is_new(made, pair):
        typed = slip_typed(made, pair)
        told = mark(made, typed)
        tally.counts["pairs"] += 1
        if told.slips == pair or pair in told.others:
            tally.counts["pairs named"] += 1
        else:
            names = " + ".join(slip.name for slip in pair)
            tally.miss("pair", names, seed=made.seed, typed=typed, told=_told(told))


def _plant_powers(tally, made):
    if made.calculation.kind is not AnswerKind.QUANTITY or not made.answer:
        return
    power = (1, -1, 2, -2, 3, -3)[made.seed % 6]
    if abs(made.answer * (10.0**power - 1)) <= made.tolerance:
        return
    typed = f"{Decimal(written_plainly(made.answer)).scaleb(power):f} {made.unit}"
    told = mark(made, typed)
    if told.verdict is Verdict.UNCLEAR:
        return
    tally.counts["powers"] += 1
    # A slip that gives just this power says more.
    if told.power == power or told.verdict is Verdict.SLIP:
        tally.counts["powers told"] += 1
    else:
        tally.miss("power", power, seed=made.seed, typed=typed, told=_told(told))


def _told(mark_of):
    return mark_of.verdict.value, [slip.name for slip in mark_of.slips]


def _is_new(made, pair):
    """Return whether two slips at once give an answer that neither of them gives, nor the right working."""
    try:
        value, margin = made.slip_value(*pair), made.tolerance_with(pair).total
        others = [(made.answer, made.tolerance)]
        others += [(made.slip_value(slip), made.tolerance_with((slip,)).total) for slip in made.slips]
    except (ArithmeticError, ValueError):
        return False
    if isinstance(value, float | int):
        return all(abs(value - other) > margin + around for other, around in others)
    return all(value != other for other, _ in others)


def written_plainly(value, figures=_MANY_FIGURES):
    """Return a number to so many figures, without a power of ten."""
    return f"{Decimal(f'{value:.{figures}g}'):f}"


def slip_typed(made, slips):
    """Return the answer of slips as somebody types it: in turn rounded, to many figures, from rounded steps."""
    kind = made.calculation
    value = made.slip_value(*slips)
    if kind.kind is not AnswerKind.QUANTITY:
        return kind.answer.show(value)
    way = made.seed % 3
    if way == 1:
        return f"{written_plainly(value)} {made.unit}"
    if way == 2:
        value = stepped(made, slips=slips)
    return f"{to_its_place(value, kind.answer)} {made.unit}"


def to_its_place(value, line):
    """Return a number rounded to the trade's place, or to three figures where that would leave fewer."""
    text = line.show(value)
    figures = text.replace("−", "").replace(".", "").lstrip("0")
    return text if len(figures) >= _KEPT_FIGURES else written_plainly(value, _KEPT_FIGURES)


def stepped(made, *, slips=(), rounding=ROUND_HALF_UP):
    """Return the answer, not rounded, of somebody who rounds every step before it to its place."""
    replaced = {old: new for slip in slips for old, new in slip.replaces.items()}
    for line in made.calculation.steps[:-1]:
        value = Scope(made.givens, replaced).value_of(line)
        if isinstance(value, float | int):
            replaced[line] = Number(float(_at_its_place(value, line, rounding)))
    return Scope(made.givens, replaced).value_of(made.calculation.answer)


def _at_its_place(value, line, rounding):
    steady, place = Decimal(f"{value:.12g}"), Decimal(1).scaleb(-line.decimals)
    if line.round_up:
        rounding = ROUND_CEILING
    kept = steady.quantize(place, rounding=rounding)
    # Nobody rounds 0.0041 to 0.00 and goes on.
    return kept if len(kept.as_tuple().digits) >= _KEPT_FIGURES or kept == steady else Decimal(f"{value:.3g}")


def right_ways(made):
    """Return the right answer as people may type it, by the way in which it is typed."""
    kind = made.calculation.kind
    if kind is AnswerKind.DATE:
        return dates(made.answer)
    if kind is AnswerKind.CHOICE:
        return {"as offered": made.answer, "in capitals": f"  {made.answer.upper()} "}
    if kind in {AnswerKind.WHOLE, AnswerKind.DIGIT}:
        return wholes(made)
    return quantities(made) if kind is AnswerKind.QUANTITY else week_dates(made.answer_shown)


def dates(day):
    """Return a date as people write it."""
    forms = ("%Y-%m-%d", "%d.%m.%Y", "%d %b %Y", "%d/%m/%Y", "%B %d, %Y")
    return {form: date.strftime(day, form) for form in forms}


def week_dates(shown):
    """Return a week date as people write it."""
    return {"as shown": shown, "spaces": shown.replace("-", " "), "bare": shown.replace("-", ""), "w": shown.lower()}


def wholes(made):
    """Return a whole number as people write it, also as it comes out of rounded steps."""
    answer = int(made.answer)
    ways = {"as shown": made.answer_shown, "plain": f"{answer}", "stepped": f"{stepped(made):.0f}"}
    if made.calculation.kind is AnswerKind.WHOLE:
        ways |= {"apostrophes": f"{answer:,}".replace(",", "'"), "spaces": f"{answer:,}".replace(",", " ")}
    return ways


def quantities(made):
    """Return a quantity as people write it: rounded, in full, by rounded steps, with other marks, in other units."""
    line, value, sign = made.calculation.answer, made.answer, made.unit
    shown = line.show(value)
    full = written_plainly(value)
    ways = {
        "as shown": f"{shown} {sign}",
        "no unit": shown,
        "in full": f"{full} {sign}",
        "comma": f"{full.replace('.', ',')} {sign}",
        "stuck to its unit": f"{shown}{sign}",
        "firm space": f"= {shown}\u00a0{sign} ",
        "power of ten": f"{Decimal(full).scaleb(-2):f}·10^2 {sign}",
        "stepped": f"{line.show(stepped(made))} {sign}",
        "stepped half to even": f"{line.show(stepped(made, rounding=ROUND_HALF_EVEN))} {sign}",
    }
    if abs(value) >= 1000:
        ways["apostrophes"] = f"{Decimal(full):,}".replace(",", "'") + f" {sign}"
        ways["both marks"] = f"{Decimal(full):,.2f} {sign}"
        ways["both marks, comma last"] = f"{Decimal(full):,.2f}".translate(str.maketrans(",.", ".,")) + f" {sign}"
    if (other := OTHER_UNITS.get(sign)) and not made.calculation.must_use_unit:
        ways["other unit"] = f"{written_plainly(convert(value, unit(sign), unit(other)), 10)} {other}"
    share = Fraction(value).limit_denominator(999)
    if float(share) == value and share.denominator > 1 and abs(share.numerator) < 10**6:
        ways["fraction"] = f"{share} {sign}"
    return ways
