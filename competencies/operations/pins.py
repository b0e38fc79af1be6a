"""The personal PIN: proof, for one act, that the person named is the person signing."""

import hashlib
import hmac
import itertools
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from competencies.models import Person

WAIT_AFTER = 5
DEAD_AFTER = 10
WAIT = timedelta(minutes=15)
PIN_LENGTH = 6


class PinError(Exception):
    """The PIN was not accepted; the message may be shown at the field."""


@dataclass(frozen=True, slots=True)
class Signer:
    """A person together with how they proved it is them: "pin", "password", "import" or "seed"."""

    person: Person
    proof: str


def _keyed(pin: str) -> str:
    # The key lies outside the database, so that a stolen dump gives no six-digit PIN away.
    return hmac.new(settings.PIN_KEY.encode(), pin.encode(), hashlib.sha256).hexdigest()


def pin_fault(pin: str, *, works_number: str) -> str:
    """Return why `pin` is too easy to guess, or "" when it will do."""
    if len(pin) != PIN_LENGTH or not pin.isascii() or not pin.isdigit():
        return _("A PIN has %(length)s digits.") % {"length": PIN_LENGTH}
    steps = {(int(b) - int(a)) % 10 for a, b in itertools.pairwise(pin)}
    if len(steps) == 1 or len(set(pin)) <= 2:  # noqa: PLR2004 - two digits in turn are a pattern too
        return _("That PIN is a pattern that is tried first. Choose another.")
    digits = "".join(c for c in works_number if c.isdigit())
    if digits and (digits in pin or pin in digits):
        return _("A PIN must not hold the employee number.")
    if pin[:2] in {"19", "20"} or pin[2:4] in {"19", "20"}:
        return _("A PIN must not look like a year or a date.")
    return ""


@transaction.atomic
def set_pin(*, person: Person, pin: str) -> None:
    """Set the person's PIN. Raises PinError when it is too easy to guess."""
    fault = pin_fault(pin, works_number=person.works_number)
    if fault:
        raise PinError(fault)
    Person.objects.filter(pk=person.pk).update(
        pin_hash=make_password(_keyed(pin)), pin_failures=0, pin_blocked_until=None
    )


@transaction.atomic
def clear_pin(*, person: Person) -> None:
    """Take the person's PIN away, blocked or not: they set a new one with their password."""
    Person.objects.filter(pk=person.pk).update(pin_hash="", pin_failures=0, pin_blocked_until=None)


def prove_pin(*, person: Person, pin: str, now: datetime) -> Signer:
    """Return the proven signer, or raise PinError. Call it before the ledger is opened: a PIN is slow to check.

    The try is counted before it is tested, so that guesses sent at the same time cannot slip past the limit.
    """
    free = (
        Person.objects.filter(pk=person.pk, pin_failures__lt=DEAD_AFTER)
        .exclude(pin_blocked_until__gt=now)
        .update(pin_failures=F("pin_failures") + 1)
    )
    if not free:
        raise PinError(_why_blocked(Person.objects.get(pk=person.pk)))
    row = Person.objects.only("pin_hash", "pin_failures").get(pk=person.pk)
    if row.pin_hash and check_password(_keyed(pin), row.pin_hash):
        Person.objects.filter(pk=person.pk).update(pin_failures=0, pin_blocked_until=None)
        return Signer(person, "pin")
    if row.pin_failures >= WAIT_AFTER:
        Person.objects.filter(pk=person.pk).update(pin_blocked_until=now + WAIT)
    raise PinError(_("That is not the PIN of %(name)s.") % {"name": person.name})


def _why_blocked(person: Person) -> str:
    if person.pin_failures >= DEAD_AFTER:
        return _("Too many wrong PINs. The coordinator can set a new one.")
    return _("Too many wrong PINs. Wait a quarter of an hour, or ask the coordinator to set a new one.")
