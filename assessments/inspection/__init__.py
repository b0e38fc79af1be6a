"""Inspection by eye: drawings of true size, made of a seed, to accept or to reject."""

from assessments.inspection.crown import CROWN
from assessments.inspection.date_code import DATE_CODE
from assessments.inspection.fill import FILL
from assessments.inspection.frame import Fault, Held, Inspection, Item, Measure, Sentence, item_of, seed_of
from assessments.inspection.label import LABEL
from assessments.inspection.spot_plate import SPOT_PLATE

__all__ = ["INSPECTIONS", "Fault", "Held", "Inspection", "Item", "Measure", "Sentence", "item_of", "seed_of"]

#: Every kind of inspection by its code, in the order in which they are listed.
INSPECTIONS = {each.code: each for each in (SPOT_PLATE, LABEL, DATE_CODE, FILL, CROWN)}
