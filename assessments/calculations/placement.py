"""Label placement, framework codes C13 and C37."""

import math

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip, apart
from assessments.formulas import placement as formulas
from assessments.notation import Fixed, Line, Number, Scope, arc_tangent, cosine, tangent
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_left = Measured("h_l", name="left", says=_("left edge above the base"), unit="mm", low=40, high=46, resolution=0.1)
_right = Measured("h_r", name="right", says=_("right edge above the base"), unit="mm", low=40, high=46, resolution=0.1)
_specified = Measured(
    "h_s", name="specified", says=_("height on the drawing"), unit="mm", low=41, high=45, resolution=0.5, is_exact=True
)
_mean = Line.of("h", (_left + _right) / 2, _("mean height"), unit="mm", decimals=2)
_deviation = Line.of("d", _mean - _specified, _("deviation, above the place positive"), unit="mm", decimals=2)
_skew = Line.of("s", _left - _right, _("skew, left edge high positive"), unit="mm", decimals=1)
_SIGN_ADVICE = _("Say which way it is off: the sign is part of the answer.")
DEVIATION = Calculation(
    code="C13-deviation",
    title=_("Label deviation"),
    family=Family.LABELLING,
    asks=_("How far is the label from its place? Above is positive, below negative."),
    givens=(_left, _right, _specified),
    steps=(_mean, _deviation),
    work=formulas.label_deviation_mm,
    slips=(
        Slip(_("sign lost"), _SIGN_ADVICE, {_deviation: _specified - _mean}),
        Slip(
            _("mean and skew confused"),
            _("Deviation compares the mean of both edges with the drawing; skew compares the edges."),
            {_deviation: _left - _right},
            sometimes=True,
        ),
        Slip(
            _("measured one edge only"),
            _("Take the mean of both edges, or a crooked label misleads you."),
            {_mean: _left},
            sometimes=True,
        ),
    ),
    valid_for=_("heights from the base of an upright container"),
    sources=("PLANT",),
    may_be_negative=True,
    cautions=(cautions.MACHINE, cautions.GLASS),
    accepts=lambda givens: abs(Scope(givens).number_of(_deviation)) >= 0.1,
)
SKEW = Calculation(
    code="C13-skew",
    title=_("Label skew"),
    family=Family.LABELLING,
    asks=_("How crooked is the label? Left edge high is positive, right edge high negative."),
    givens=(_left, _right, _specified),
    spare=("specified",),
    steps=(_skew,),
    work=lambda left, right, specified: formulas.label_skew_mm(left, right),
    slips=(
        Slip(_("sign lost"), _SIGN_ADVICE, {_skew: _right - _left}),
        Slip(
            _("mean and skew confused"),
            _("Skew compares the two edges; the drawing does not come in."),
            {_skew: (_left + _right) / 2 - _specified},
            sometimes=True,
        ),
        Slip(
            _("halved the difference"),
            _("Skew is the whole difference of the edges."),
            {_skew: (_left - _right) / 2},
        ),
    ),
    valid_for=_("heights from the base of an upright container"),
    sources=("PLANT",),
    may_be_negative=True,
    cautions=(cautions.MACHINE, cautions.GLASS),
    accepts=apart("left", "right", by=0.5),
)

_width = Measured(
    "b", name="width", says=_("label width along the surface"), unit="mm", low=60, high=120, resolution=1
)
_angle = Line.of("β", arc_tangent((_left - _right) / _width), _("angle"), unit="°", decimals=2)
ANGLE = Calculation(
    code="C13-angle",
    title=_("Label angle"),
    family=Family.LABELLING,
    asks=_("At which angle does the label sit? Left edge high is positive."),
    givens=(_left, _right, _width),
    steps=(_angle,),
    work=formulas.label_angle_deg,
    slips=(
        Slip(
            _("ratio given as degrees"),
            _("The ratio is a slope: take its arc tangent in degrees."),
            {_angle: (_left - _right) / _width},
        ),
        Slip(
            _("percent given as degrees"),
            _("One percent of slope is about 0.57 degrees."),
            {_angle: 100 * (_left - _right) / _width},
        ),
        Slip(_("sign lost"), _SIGN_ADVICE, {_angle: arc_tangent((_right - _left) / _width)}),
    ),
    valid_for=_("the width along the surface, not across the bottle"),
    sources=("GEOMETRY",),
    may_be_negative=True,
    cautions=(cautions.MACHINE, cautions.GLASS),
    accepts=apart("left", "right", by=0.5),
)

_limit = Measured(
    "β", name="limit", says=_("largest angle allowed"), unit="°", low=0.5, high=2.5, resolution=0.1, is_exact=True
)
_rise = Line.of("Δh", _width * tangent(_limit), _("difference in height allowed"), unit="mm", decimals=2)
RISE = Calculation(
    code="C37-rise",
    title=_("Skew allowed on a label"),
    family=Family.LABELLING,
    asks=_("By how much may the two edges differ in height?"),
    givens=(_width, _limit),
    steps=(_rise,),
    work=formulas.allowed_rise_mm,
    slips=(
        Slip(
            _("took the cosine"),
            _("Height over width is the tangent; the cosine of a small angle is nearly 1."),
            {_rise: _width * cosine(_limit)},
        ),
        Slip(
            _("degrees taken as percent"),
            _("A degree is a slope of about 1.75 percent."),
            {_rise: _width * _limit / 100},
        ),
        Slip(
            _("degrees taken as the ratio"),
            _("Take the tangent of the angle first."),
            {_rise: _width * _limit},
        ),
    ),
    valid_for=_("the width along the surface, the label laid flat"),
    sources=("GEOMETRY",),
    cautions=(cautions.MACHINE, cautions.GLASS),
)

_difference = Measured(
    "Δh", name="rise", says=_("difference of the two heights"), unit="mm", low=0.8, high=5, resolution=0.1
)
_diameter = Measured(
    "D", name="diameter", says=_("diameter of the bottle"), unit="mm", low=55, high=85, resolution=0.5
)
_pi = Fixed("π", value=math.pi, decimals=4)
_arc = Line.of("b", _pi * _diameter / 2, _("half way round"), unit="mm", decimals=1)
_round_angle = Line.of("β", arc_tangent(_difference / _arc), _("angle"), unit="°", decimals=2)
ROUND = Calculation(
    code="C37-round",
    title=_("Label angle from two sides of a bottle"),
    family=Family.LABELLING,
    asks=_("The edges were measured on opposite sides of the bottle. At which angle does the label sit?"),
    givens=(_difference, _diameter),
    steps=(_arc, _round_angle),
    work=formulas.angle_round_bottle_deg,
    slips=(
        Slip(
            _("diameter used for the way round"),
            _("The label runs along the surface: half way round is π times half the diameter."),
            {_arc: _diameter},
        ),
        Slip(
            _("took the whole way round"),
            _("Opposite sides are half a turn apart."),
            {_arc: _pi * _diameter},
        ),
        Slip(
            _("ratio given as degrees"),
            _("The ratio is a slope: take its arc tangent in degrees."),
            {_round_angle: _difference / _arc},
        ),
    ),
    valid_for=_("two points half a turn apart on an upright, round bottle"),
    also_right=({_pi: Number(3.14)},),
    sources=("GEOMETRY",),
    cautions=(cautions.MACHINE, cautions.GLASS),
)
