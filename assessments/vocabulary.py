"""The words of the app as closed lists.

Pure: no Django here. Sentences that people read are marked with `gettext_noop`, so that the translators
find them, and are translated where they are shown.
"""

from datetime import date
from enum import StrEnum

#: What a given or an answer can be: a measured or counted number, a run of digits or a choice, a date.
Value = float | str | date

#: The longest answer that is kept.
TYPED_LENGTH = 80


def gettext_noop(text: str) -> str:
    """Return the text as it is; it is translated where it is shown."""
    return text


class Family(StrEnum):
    """The trade areas by which calculations are filed, in the order in which they are listed."""

    CONVERSION = "conversion"
    BREWHOUSE = "brewhouse"
    FERMENTATION = "fermentation"
    YEAST = "yeast"
    HOPS = "hops"
    CARBONATION = "carbonation"
    FILTRATION = "filtration"
    CLEANING = "cleaning"
    PACKAGING = "packaging"
    LABELLING = "labelling"

    @property
    def heading(self) -> str:
        """Return the heading under which the family is listed."""
        return _FAMILY_HEADINGS[self]


_FAMILY_HEADINGS = {
    Family.CONVERSION: gettext_noop("Units"),
    Family.BREWHOUSE: gettext_noop("Mashing and conversion"),
    Family.FERMENTATION: gettext_noop("Wort and fermentation"),
    Family.YEAST: gettext_noop("Yeast"),
    Family.HOPS: gettext_noop("Hops and colour"),
    Family.CARBONATION: gettext_noop("Carbonation"),
    Family.FILTRATION: gettext_noop("Filtration"),
    Family.CLEANING: gettext_noop("Cleaning"),
    Family.PACKAGING: gettext_noop("Packaging, fill and seams"),
    Family.LABELLING: gettext_noop("Labels, codes and pallets"),
}


class AnswerKind(StrEnum):
    """What a person types as the answer."""

    QUANTITY = "quantity"
    WHOLE = "whole"
    DIGIT = "digit"
    DATE = "date"
    WEEK_DATE = "week_date"
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


class Help(StrEnum):
    """How much of the working was on the page before an answer in practice was given."""

    NONE = "none"
    GIVEN = "given"
    ASKED = "asked"
    WHOLE = "whole"
