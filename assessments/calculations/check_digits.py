"""Check digits, framework code C15."""

from assessments.calculations.frame import Calculation, Digits, Slip
from assessments.formulas import check_digits as formulas
from assessments.notation import Line, Rule
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_body = Digits("d", name="digits", says=_("digits before the check digit"), length=12)
_weighted = Line.of(
    "S", Rule("3, 1, 3, 1 … from the right of {0}", formulas.weighted_sum, (_body,)), _("weighted sum")
)
_check = Line.of("c", Rule("(10 − {0} mod 10) mod 10", lambda total: (10 - total % 10) % 10, (_weighted,)),
                 _("check digit"))  # fmt: skip
CHECK_DIGIT = Calculation(
    code="C15-check_digit",
    title=_("Check digit"),
    family=Family.LABELLING,
    asks=_("Which check digit ends this bar code number?"),
    givens=(_body,),
    steps=(_weighted, _check),
    work=formulas.check_digit,
    slips=(
        Slip(
            _("weights started from the wrong end"),
            _("The digit next to the check digit weighs 3; go left from there."),
            {
                _weighted: Rule(
                    "1, 3, 1, 3 … from the right of {0}", lambda body: formulas.weighted_sum(body, 1), (_body,)
                )
            },
            sometimes=True,
        ),
        Slip(
            _("gave the rest itself"),
            _("The check digit fills up to the next ten: 10 less the rest."),
            {_check: Rule("{0} mod 10", lambda total: total % 10, (_weighted,))},
            sometimes=True,
        ),
        Slip(
            _("gave 10 for 0"),
            _("When the sum ends in 0 the check digit is 0."),
            {_check: Rule("10 − {0} mod 10", lambda total: 10 - total % 10, (_weighted,))},
            sometimes=True,
        ),
    ),
    valid_for=_("GTIN and SSCC, 7 to 17 digits before the check digit"),
    sources=("GS1",),
    is_harmless=True,
    kind=AnswerKind.DIGIT,
)
