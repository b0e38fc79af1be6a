"""The words of the app as closed lists.

Pure: no Django here. Sentences that people read are marked with `gettext_noop`, so that the translators
find them, and are translated where they are shown.
"""

from datetime import date
from enum import StrEnum

#: What a given or an answer can be: a measured or counted number, a run of digits or a choice, a date.
Value = float | str | date


def gettext_noop(text: str) -> str:
    """Return the text as it is; it is translated where it is shown."""
    return text


class Family(StrEnum):
    """The trade areas by which calculations are filed."""

    CONVERSION = "conversion"
    BREWHOUSE = "brewhouse"
    HOPS = "hops"
    FERMENTATION = "fermentation"
    CARBONATION = "carbonation"
    FILTRATION = "filtration"
    PACKAGING = "packaging"
    LABELLING = "labelling"
    CLEANING = "cleaning"
    DISPATCH = "dispatch"

    @property
    def heading(self) -> str:
        """Return the heading under which the family is listed."""
        return _FAMILY_HEADINGS[self]


_FAMILY_HEADINGS = {
    Family.CONVERSION: gettext_noop("Units"),
    Family.BREWHOUSE: gettext_noop("Brewhouse"),
    Family.HOPS: gettext_noop("Hops"),
    Family.FERMENTATION: gettext_noop("Fermentation and blending"),
    Family.CARBONATION: gettext_noop("Carbonation"),
    Family.FILTRATION: gettext_noop("Filtration"),
    Family.PACKAGING: gettext_noop("Packaging"),
    Family.LABELLING: gettext_noop("Labels and codes"),
    Family.CLEANING: gettext_noop("Cleaning"),
    Family.DISPATCH: gettext_noop("Pallets and stock"),
}


class AnswerKind(StrEnum):
    """What a person types as the answer."""

    QUANTITY = "quantity"
    WHOLE = "whole"
    DIGIT = "digit"
    DATE = "date"
    CHOICE = "choice"


class Verdict(StrEnum):
    """What a typed answer turned out to be."""

    RIGHT = "right"
    UNIT_MISSING = "unit_missing"
    UNIT_WRONG = "unit_wrong"
    TOO_COARSE = "too_coarse"
    SLIP = "slip"
    TWO_SLIPS = "two_slips"
    POWER_OF_TEN = "power_of_ten"
    OTHER = "other"
    UNCLEAR = "unclear"
    UNREADABLE = "unreadable"

    @property
    def is_read(self) -> bool:
        """Whether the answer was understood, so that it may be judged and kept."""
        return self not in {Verdict.UNCLEAR, Verdict.UNREADABLE}


class HowKnown(StrEnum):
    """How a source was come by; told wherever the source is shown."""

    READ = "read"
    MEMORY = "from memory"
    PRACTICE = "common practice, no source"
    DERIVED = "derived"
