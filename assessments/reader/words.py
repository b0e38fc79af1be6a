"""Read digits that are no number, and choices."""

import re

from assessments.reader.tidying import MAX_LENGTH, UnreadableError, tidied
from assessments.vocabulary import gettext_noop

_NO_DIGITS = gettext_noop("Type the digit alone, 0 to 9.")
_NO_CHOICE = gettext_noop("Pick one of the answers offered.")


def read_digit(text: str) -> str:
    """Return the digits typed; "10" is returned as it stands, since it is a slip and not a blot.

    Raises
    ------
    UnreadableError
        When something else than one or two digits was typed.
    """
    plain = tidied(text)
    if not re.fullmatch(r"[0-9]{1,2}", plain):
        raise UnreadableError(_NO_DIGITS)
    return plain


def read_choice(text: str, options: tuple[str, ...]) -> str:
    """Return the option typed or picked, whatever its case.

    Raises
    ------
    UnreadableError
        When it is none of them.
    """
    plain = re.sub(r"\s+", " ", text[: 2 * MAX_LENGTH]).strip().casefold()
    for option in options:
        if plain == option.casefold():
            return option
    raise UnreadableError(_NO_CHOICE)
