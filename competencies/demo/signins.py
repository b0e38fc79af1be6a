"""Who can sign in to the demo plant. Everyone may read this: the people are invented, and the key is no secret."""

from typing import NamedTuple


class SignIn(NamedTuple):
    """One line of the table that `manage.py demo` prints; the PIN is empty for those who sign nothing."""

    username: str
    password: str
    pin: str
    who: str


SIGN_INS: tuple[SignIn, ...] = ()
