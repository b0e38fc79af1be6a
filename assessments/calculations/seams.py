"""Can seams, framework code C12."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import seams as formulas
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_body_hook = Measured("BH", name="body_hook", says=_("body hook"), unit="mm", low=1.6, high=2, resolution=0.01)
_cover_hook = Measured("CH", name="cover_hook", says=_("cover hook"), unit="mm", low=1.5, high=1.85, resolution=0.01)
_end = Measured("T_e", name="end", says=_("end plate"), unit="mm", low=0.2, high=0.24, resolution=0.01)
_length = Measured("SL", name="seam_length", says=_("seam length"), unit="mm", low=2.4, high=2.6, resolution=0.01)
_thickness = Measured(
    "ST", name="seam_thickness", says=_("seam thickness"), unit="mm", low=1.1, high=1.25, resolution=0.01
)
_overlap = Line.of("O", _body_hook + _cover_hook + _end - _length, _("overlap"), unit="mm", decimals=2)
OVERLAP = Calculation(
    code="C12-overlap",
    title=_("Seam overlap"),
    family=Family.PACKAGING,
    asks=_("How far do the hooks overlap?"),
    givens=(_body_hook, _cover_hook, _end, _length, _thickness),
    spare=("seam_thickness",),
    steps=(_overlap,),
    work=lambda body_hook, cover_hook, end, seam_length, seam_thickness: formulas.seam_overlap_mm(
        body_hook, cover_hook, end, seam_length
    ),
    slips=(
        Slip(
            _("end thickness left out"),
            _("The cover hook bends round the end plate: add its thickness."),
            {_overlap: _body_hook + _cover_hook - _length},
        ),
        Slip(
            _("seam thickness used for length"),
            _("Length is the height of the seam, the longer of the two."),
            {_length: _thickness},
        ),
        Slip(
            _("left the seam length in"),
            _("The hooks together are longer than the seam: what is over is the overlap."),
            {_overlap: _body_hook + _cover_hook + _end},
        ),
    ),
    valid_for=_("one cross-section; the worst of the readings counts"),
    sources=("SEAM",),
    cautions=(cautions.SHARP_EDGES,),
)

_body = Measured("T_b", name="body", says=_("body plate"), unit="mm", low=0.1, high=0.16, resolution=0.01)
_room = Line.of("L", _length - (2 * _end + _body), _("room inside the seam"), unit="mm", decimals=2)
_percent = Line.of("O_%", 100 * _overlap / _room, _("overlap as a share of the room"), unit="%", decimals=1)
OVERLAP_SHARE = Calculation(
    code="C12-percent",
    title=_("Seam overlap in percent"),
    family=Family.PACKAGING,
    asks=_("How large is the overlap as a share of the room inside the seam?"),
    givens=(_body_hook, _cover_hook, _end, _length, _body),
    steps=(_overlap, _room, _percent),
    work=lambda body_hook, cover_hook, end, seam_length, body: formulas.seam_overlap_pct(
        formulas.seam_overlap_mm(body_hook, cover_hook, end, seam_length), seam_length, end, body
    ),
    slips=(
        Slip(
            _("divided by the seam length"),
            _("The plates take room too: take two end plates and the body plate off the seam length."),
            {_room: _length},
        ),
        Slip(
            _("end thickness left out of the overlap"),
            _("The cover hook bends round the end plate: add its thickness."),
            {_overlap: _body_hook + _cover_hook - _length},
        ),
        Slip(
            _("divided by the body hook"),
            _("The overlap is a share of the room inside the seam, not of the hook."),
            {_room: _body_hook},
            sometimes=True,
        ),
    ),
    valid_for=_("without the factor 1.1 on plate thickness that some makers use"),
    sources=("SEAM",),
    cautions=(cautions.SHARP_EDGES,),
)
