"""How a check stands, in words, for its list and its page."""

from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from assessments.models import CheckSitting
from assessments.queries.library import Library
from assessments.views.shown import Told


def check_title(sitting: CheckSitting, library: Library) -> str:
    """Return what the check is about; the code where its calculation is gone."""
    kinds = library.asked_by(sitting.calculation)
    return _(kinds[0].title) if kinds else sitting.calculation


def check_outcome(sitting: CheckSitting) -> Told | None:
    """Return passed or not passed, with the count; None while it is open."""
    if sitting.finished_at is None or sitting.right is None:
        return None
    passed = sitting.right >= sitting.pass_mark
    count = _("%(right)s of %(problems)s right, %(needed)s needed.") % {
        "right": sitting.right,
        "problems": sitting.problems,
        "needed": sitting.pass_mark,
    }
    return Told(kind="good" if passed else "warn", title=_("Passed") if passed else _("Not passed yet"), text=count)


def check_facts(sitting: CheckSitting) -> list[tuple[str, str]]:
    """Return who, when and how many, for the head of the check's page."""
    facts = [
        (_("Opened by"), sitting.opened_by.name),
        (_("Opened"), _moment(sitting.opened_at)),
        (_("To pass"), _("%(needed)s of %(problems)s right") % _numbers(sitting)),
    ]
    if sitting.finished_at is not None:
        facts += [(_("Handed in"), _moment(sitting.finished_at)), (_("Ledger entry"), str(sitting.entry_seq))]
    return facts


def check_row(sitting: CheckSitting, library: Library) -> list[Any]:
    """Return the row of a check in the list; `answered` comes with the query."""
    address = reverse("assessments:check", args=[sitting.pk])
    return [
        {"text": sitting.trainee.name, "url": address},
        {"text": check_title(sitting, library), "code": sitting.calculation},
        _moment(sitting.opened_at),
        sitting.opened_by.name,
        _standing(sitting),
    ]


def _standing(sitting: CheckSitting) -> str:
    outcome = check_outcome(sitting)
    if outcome is not None:
        return f"{outcome.title}: {outcome.text}"
    if sitting.called_off_at is not None:
        return _("Called off")
    answered = getattr(sitting, "answered", 0)
    return _("Open: %(answered)s of %(problems)s answered") % {"answered": answered, **_numbers(sitting)}


def _numbers(sitting: CheckSitting) -> dict[str, int]:
    return {"problems": sitting.problems, "needed": sitting.pass_mark}


def _moment(moment: datetime) -> str:
    return date_format(timezone.localtime(moment), "j M Y H:i")
