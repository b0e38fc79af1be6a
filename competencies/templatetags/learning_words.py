"""Words around a person's standing: where, how long, what to do first."""

from django import template
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from competencies.standing.credits import Distance
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period, Step
from competencies.vocabulary import Standing
from competencies.wording import step_doer, step_sentence

register = template.Library()

BEFORE_SIGN_OFF = {Standing.NOT_STARTED, Standing.LEARNING, Standing.READY, Standing.AWAITING_SIGNATURE}


@register.filter
def place_words(scope: Scope) -> str:
    """Return where a sign-off serves; nothing for the whole site."""
    return str(scope)


@register.filter
def until_words(period: Period) -> str:
    """Return how long a sign-off holds, in words; nothing where it has no last day, or was withdrawn."""
    if period.last_valid_on is None or period.standing is Standing.WITHDRAWN:
        return ""
    template_text = _("until %(day)s") if period.standing.is_in_force else _("last valid day %(day)s")
    return template_text % {"day": date_format(period.last_valid_on, "j M Y")}


@register.filter
def way_back_in_words(period: Period) -> list[str]:
    """Return each step of the way back with who may do it; none for whom there is nothing to come back to.

    Before the first sign-off the steps are the whole of what the task asks: what is still missing says more.
    """
    if period.standing in BEFORE_SIGN_OFF:
        return []
    return [step_in_words(step) for step in period.way_back]


@register.filter
def step_in_words(step: Step) -> str:
    """Return one step of a way back with who may do it."""
    return capfirst(step_sentence(step)) + (f" ({step_doer(step)})" if step_doer(step) else "")


@register.filter
def distance_words(distance: Distance) -> str:
    """Return what a rule of the pathway asks, in plain words."""
    named = {"level": _("Credits at the level asked"), "total": _("Credits in all"), "core": _("Core credits")}
    return named.get(distance.rule) or _("Credits in group %(group)s") % {"group": distance.rule}


@register.filter
def missing_words(distance: Distance) -> str:
    """Return how much of a rule is missing."""
    if not distance.missing:
        return _("Reached.")
    words = ngettext("%(count)s credit to go.", "%(count)s credits to go.", distance.missing)
    return words % {"count": distance.missing}


@register.filter
def met_count(outcomes: dict[int, bool]) -> int:
    """Return how many outcomes of a unit stand."""
    return sum(outcomes.values())
