"""What one thing brings a line, in plain words."""

from django import template
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from competencies.queries.one_thing import Offer
from competencies.standing.timeline import Step
from competencies.wording import step_sentence

register = template.Library()


@register.filter
def one_step_words(step: Step) -> str:
    """Return what is to be done now: of several runs, one."""
    return step_sentence(Step(step.action, step.task, step.scope))


@register.filter
def gain_words(offer: Offer) -> str:
    """Return what the line gains once the whole way is gone."""
    gain, parts = offer.gain, []
    if gain.filled:
        parts.append(
            ngettext("%(count)s more station can be manned", "%(count)s more stations can be manned", gain.filled)
            % {"count": gain.filled}
        )
    if gain.spared:
        told = ngettext(
            "the line can bear the absence of %(count)s more person",
            "the line can bear the absence of %(count)s more people better",
            gain.spared,
        )
        parts.append(told % {"count": gain.spared})
    said = {"task": f"{offer.task.code} {offer.task.title}", "gain": _(" and ").join(parts)}
    return _("Once they count at %(task)s, %(gain)s.") % said


@register.filter
def way_words(offer: Offer) -> str:
    """Return the whole way and its time."""
    steps = _(", then ").join(step_sentence(step) for step in offer.steps)
    said = {
        "steps": steps,
        "hours": f"{offer.minutes / 60:.1f}",
        "worth": f"{offer.gain.worth * 60 / offer.minutes:.2f}",
    }
    return capfirst(_("The whole way: %(steps)s. %(hours)s hours in all; %(worth)s stations an hour.") % said)


@register.filter
def times_words(times: int) -> str:
    """Return how often a task was recorded in a year."""
    if not times:
        return _("not recorded once in the last 12 months.")
    told = ngettext(
        "recorded %(count)s time in the last 12 months.", "recorded %(count)s times in the last 12 months.", times
    )
    return told % {"count": times}
