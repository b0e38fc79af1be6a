"""Bring what was typed to one form before it is read.

Digits of other scripts become plain digits, every space a plain space, and marks that nobody sees (the direction of
the text, a soft hyphen) are left out.
"""

import re
import unicodedata

from assessments.vocabulary import gettext_noop

MAX_LENGTH = 40

_EMPTY = gettext_noop("Type your answer.")
_TOO_LONG = gettext_noop("That is longer than 40 characters: type just the number and its unit.")

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_TIDY = str.maketrans({
    "−": "-", "–": "-", "—": "-", "’": "'", "ʼ": "'", "⁄": "/", "×": "x", "⋅": "·", "∙": "·",  # noqa: RUF001 - signs people type
    "\u066b": ".", "\u066c": "'",
})  # fmt: skip
_RAISED = re.compile(r"(10)\s?([⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+)")
_MIXED = re.compile(r"([0-9])([¼½¾⅓⅔⅛⅜⅝⅞])")


class UnreadableError(ValueError):
    """The answer could not be read. `message` is for the field, with %(name)s places for `params`."""

    def __init__(self, message: str, **params: str) -> None:
        super().__init__(message % params if params else message)
        self.message = message
        self.params = params


def tidied(text: str) -> str:
    """Return typed text with one kind of space, minus and apostrophe, and superscripts as ^n.

    Raises
    ------
    UnreadableError
        When nothing or too much was typed.
    """
    if len(text) > MAX_LENGTH:
        raise UnreadableError(_TOO_LONG)
    plain = text if text.isascii() else _in_ascii(text)
    plain = " ".join(plain.split()).lstrip("=≈~ ")
    if not plain:
        raise UnreadableError(_EMPTY)
    return plain


def _in_ascii(text: str) -> str:
    """Return the text with whatever has a plainer form in that form; what has none stays."""
    raised = _RAISED.sub(lambda found: f"{found[1]}^{found[2].translate(_SUPERSCRIPTS)}", text)
    parted = _MIXED.sub(r"\1 \2", raised.translate(_TIDY))
    return "".join(map(_plain, unicodedata.normalize("NFKC", parted).translate(_TIDY)))


def _plain(character: str) -> str:
    if character.isascii():
        return character
    if unicodedata.category(character) == "Cf":
        return ""
    digit = unicodedata.decimal(character, None)
    return character if digit is None else str(digit)
