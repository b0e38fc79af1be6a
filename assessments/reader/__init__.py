"""Read what a person typed as an answer: a number with a unit, digits, a date, a choice."""

from assessments.reader.dates import read_date, read_week_date
from assessments.reader.quantities import TypedNumber, TypedQuantity, read_quantity, read_whole
from assessments.reader.tidying import MAX_LENGTH, UnreadableError
from assessments.reader.words import read_choice, read_digit

__all__ = [
    "MAX_LENGTH",
    "TypedNumber",
    "TypedQuantity",
    "UnreadableError",
    "read_choice",
    "read_date",
    "read_digit",
    "read_quantity",
    "read_week_date",
    "read_whole",
]
