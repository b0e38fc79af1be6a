"""Words of the pages after an incident: how somebody is known to have been there, and whether they counted."""

from collections.abc import Iterable, Mapping

from django import template
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.queries.incidents.parts import Said, Way
from competencies.templatetags.standing_words import standing_word

register = template.Library()

WAYS: Mapping[Way, Promise] = {
    Way.ROSTER: _l("rostered at the line"),
    Way.ROSTER_ANYWHERE: _l("rostered at no line in particular"),
    Way.AWAY: _l("entered as away"),
    Way.RUN: _l("did a run or was judged there"),
    Way.WATCHED: _l("watched a run there"),
    Way.WORK: _l("logged work there"),
    Way.JUDGED: _l("judged somebody there"),
    Way.TRAINEE: _l("was to learn there"),
    Way.TRAINER: _l("was to train there"),
}


@register.filter
def way_words(ways: Iterable[Way]) -> str:
    """Return every way in which it is known that somebody was there."""
    return capfirst(", ".join(str(WAYS[way]) for way in ways))


@register.filter
def counted_words(said: Said) -> str:
    """Return whether somebody counted on the shift at that minute."""
    return _("counted") if said.counts else _("did not count")


@register.filter
def said_words(said: Said | None) -> str:
    """Return an answer in a few words."""
    if said is None:
        return _("not told of")
    return f"{standing_word(said.standing)}, {counted_words(said)}"
