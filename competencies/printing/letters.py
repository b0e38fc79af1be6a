"""Reminders as e-mails: in the reader's language and the plant's zone, without a person's name in the subject."""

from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.mail import EmailMessage
from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from competencies.queries.reminders import OwnLetter, WeekLetter

# A digest names so many of each sort; the pages have the rest.
MOST_NAMED = 25


def message_of(letter: OwnLetter | WeekLetter) -> EmailMessage:
    """Return the letter as an e-mail to the person whom it is for."""
    person = letter.person
    with (
        timezone.override(ZoneInfo(person.plant.timezone)),
        translation.override(person.language or person.plant.language),
    ):
        subject, name = _head(letter)
        context: dict[str, Any] = {
            "letter": letter,
            "person": person,
            "site": settings.SITE_ADDRESS,
            "most": MOST_NAMED,
        }
        body = render_to_string(f"competencies/letters/{name}.txt", context)
    return EmailMessage(subject=subject, body=body, to=[person.email])


def _head(letter: OwnLetter | WeekLetter) -> tuple[str, str]:
    if isinstance(letter, WeekLetter):
        return _("Training: the week from %(day)s") % {"day": date_format(letter.monday, "j F Y")}, "week"
    return _("Training: what comes up for you"), "own"
