"""Sampling of batches, framework code C31: defectives, and the test of the mean."""

from assessments.calculations.frame import Calculation, Givens, Measured, Slip, Word, number_in
from assessments.formulas import sampling as formulas
from assessments.notation import Line, Rule, Scope, SquareRoot
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_batch = Measured(
    "N", name="batch", says=_("packs in the batch"), unit="units", low=100, high=6000, resolution=20, is_exact=True
)
_test = Word("test", name="test", says=_("how it is tested"), options=(formulas.WHOLE, formulas.OPENED), shares=(4, 1))
_refused = Line.of(
    "r_1", Rule("plan for {0} packs", formulas.refusing_count, (_batch, _test)), _("defectives that refuse")
)


def _accepting(batch: float, test: str) -> int:
    return formulas.double_plan(batch).accepted if test == formulas.WHOLE else formulas.OPENED_PLAN[1]


def _of_both_samples(batch: float, test: str) -> int:
    if test == formulas.OPENED:
        raise ValueError("Opened packs have one sample only.")
    return formulas.double_plan(batch).refused_of_both


REFUSING = Calculation(
    code="C31-refusing",
    title=_("Defectives that refuse a batch"),
    family=Family.PACKAGING,
    asks=_(
        "The plan, with the defectives that accept and refuse. Up to 500 packs: 30 (1, 3), with the second sample "
        "60 (4, 5). Up to 3200: 50 (2, 5), then 100 (6, 7). Above: 80 (3, 7), then 160 (8, 9). Opened packs: 20 "
        "(1, 2). How many defectives in the first sample refuse the batch at once?"
    ),
    givens=(_batch, _test),
    steps=(_refused,),
    work=formulas.refusing_count,
    slips=(
        Slip(
            _("gave the number that still accepts"),
            _("Up to the acceptance number the batch passes; the refusal number is the other column."),
            {_refused: Rule("accepted of {0} packs", _accepting, (_batch, _test))},
        ),
        Slip(
            _("counted one more than the limit"),
            _("The refusal number itself refuses: it need not be passed."),
            {
                _refused: Rule(
                    "plan for {0} packs, passed",
                    lambda batch, test: formulas.refusing_count(batch, test) + 1,
                    (_batch, _test),
                )
            },
        ),
        Slip(
            _("took the limit of both samples together"),
            _("The second line of the plan counts the defectives of both samples."),
            {_refused: Rule("both samples, {0} packs", _of_both_samples, (_batch, _test))},
            sometimes=True,
        ),
    ),
    valid_for=_("batches of 100 to 10 000 packs, an hour's output"),
    sources=("DIR-76-211-II",),
    is_harmless=True,
    kind=AnswerKind.WHOLE,
)

_found = Measured(
    "d_1", name="found", says=_("defectives in the first sample"), unit="units", low=2, high=6, resolution=1,
    is_exact=True,
)  # fmt: skip
_both = Line.of(
    "c_2",
    Rule("both samples, {0} packs", lambda batch: formulas.double_plan(batch).accepted_of_both, (_batch,)),
    _("defectives allowed in both samples"),
)
_more = Line.of("d_2", _both - _found, _("defectives allowed in the second sample"))
SECOND = Calculation(
    code="C31-second",
    title=_("Second sample of a batch"),
    family=Family.PACKAGING,
    asks=_(
        "The plan, with the defectives that accept and refuse. Up to 500 packs: 30 (1, 3), with the second sample "
        "60 (4, 5). Up to 3200: 50 (2, 5), then 100 (6, 7). Above: 80 (3, 7), then 160 (8, 9). How many defectives "
        "may the second sample hold at most for the batch to be accepted?"
    ),
    givens=(_batch, _found),
    steps=(_both, _more),
    work=formulas.second_sample_count,
    slips=(
        Slip(
            _("left the first sample out"),
            _("The limit is for both samples: take off what the first one held."),
            {_more: _both},
        ),
        Slip(
            _("took the number that refuses"),
            _("Asked is how many still accept: one less than the refusal number."),
            {
                _both: Rule(
                    "refused of {0} packs", lambda batch: formulas.double_plan(batch).refused_of_both, (_batch,)
                )
            },
        ),
    ),
    valid_for=_("batches of 100 to 10 000 packs that stay whole"),
    sources=("DIR-76-211-II",),
    is_harmless=True,
    kind=AnswerKind.WHOLE,
)

_plan = Word("plan", name="plan", says=_("plan"), options=tuple(formulas.STUDENT))
_deviation = Measured(
    "s", name="deviation", says=_("standard deviation of the sample"), unit="mL", low=1, high=4, resolution=0.1
)
_drawn = Line.of("n", Rule("packs of the plan", lambda plan: formulas.STUDENT[plan][0], (_plan,)), _("packs drawn"))
_student = Line.of(
    "t",
    Rule("t of the plan", lambda plan: formulas.STUDENT[plan][1], (_plan,)),
    _("Student's t, n − 1 degrees of freedom"),
    decimals=3,
)
_factor = Line.of("k", _student / SquareRoot(_drawn), _("factor on the standard deviation"), decimals=4)
_allowance = Line.of("Δ", _factor * _deviation, _("allowance on the mean"), unit="mL", decimals=2)
ALLOWANCE = Calculation(
    code="C31-allowance",
    title=_("Allowance on the mean of a sample"),
    family=Family.PACKAGING,
    asks=_("How far may the mean of the sample lie below nominal for the batch to pass?"),
    givens=(_plan, _deviation),
    steps=(_drawn, _student, _factor, _allowance),
    work=lambda plan, deviation: formulas.student_factor(plan) * deviation,
    slips=(
        Slip(
            _("square root forgotten"),
            _("The mean of n packs spreads by the root of n less than one pack."),
            {_factor: _student / _drawn},
        ),
        Slip(
            _("multiplied by the square root"),
            _("A larger sample is surer of its mean: divide by the root."),
            {_factor: _student * SquareRoot(_drawn)},
        ),
        Slip(
            _("took the standard deviation itself"),
            _("The standard deviation is that of single packs; the mean is allowed k times it."),
            {_allowance: _deviation},
        ),
    ),
    valid_for=_("t one-sided, 99.5 % in Europe and OIML, 97.5 % in the United States"),
    sources=("SI-2006-659", "OIML-R87", "NIST-HB133"),
    is_harmless=True,
    # The plans print their factors to three places.
    relative_spread=0.001,
)

_nominal = Measured(
    "Q_n", name="nominal", says=_("nominal content"), unit="mL", low=330, high=350, resolution=10, is_exact=True
)
_mean = Measured("x", name="mean", says=_("mean of the sample"), unit="mL", low=327.5, high=350.5, resolution=0.1)
_lot = Measured(
    "N", name="batch", says=_("packs in the batch"), unit="units", low=100, high=1000, resolution=10, is_exact=True
)
_printed = Line.of(
    "k", Rule("factor for {0} packs", formulas.mean_factor, (_lot,)), _("factor of the plan"), decimals=3
)
_least = Line.of("x_min", _nominal - _printed * _deviation, _("least mean that passes"), unit="mL", decimals=2)
_margin = Line.of("a", _mean - _least, _("margin"), unit="mL", decimals=2)


def _other_factor(batch: float) -> float:
    return sum(factor for *_bounds, factor in formulas.MEAN_FACTORS) - formulas.mean_factor(batch)


def _is_near_nominal(givens: Givens) -> bool:
    """Return whether the mean is a likely one, and not just at the bound."""
    is_likely = -2.5 < number_in(givens, "mean") - number_in(givens, "nominal") < 0.3
    return is_likely and abs(Scope(givens).number_of(_margin)) > 0.1


MEAN = Calculation(
    code="C31-mean",
    title=_("Test of the batch mean"),
    family=Family.PACKAGING,
    asks=_(
        "Up to 500 packs k is 0.503, above 0.379. By how much does the mean lie above the least that passes? Where "
        "the batch is refused, the answer is negative."
    ),
    givens=(_nominal, _lot, _mean, _deviation),
    steps=(_printed, _least, _margin),
    work=formulas.mean_margin_ml,
    slips=(
        Slip(
            _("compared with nominal alone"),
            _("A sample is never quite sure: nominal less k times s is the bound."),
            {_least: _nominal},
        ),
        Slip(
            _("factor of the other sample size"),
            _("Up to 500 packs 30 are drawn and k is 0.503; above, 50 are drawn and k is 0.379."),
            {_printed: Rule("other row than {0} packs", _other_factor, (_lot,))},
        ),
        Slip(
            _("added k times s"),
            _("The doubt is to the batch's favour: subtract it from nominal."),
            {_least: _nominal + _printed * _deviation},
        ),
    ),
    valid_for=_("batches of 100 to 10 000 packs that stay whole, within 0.001 mL; the defectives are counted besides"),
    sources=("DIR-76-211-II", "SI-2006-659"),
    is_harmless=True,
    may_be_negative=True,
    accepts=_is_near_nominal,
)
