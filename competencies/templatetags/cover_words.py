"""Cover in plain words: what is short and who shares it, until when, how deep, and what was declared."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django import template
from django.utils.functional import Promise
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from competencies.models import CoverRule, Station
from competencies.queries.line_cover import Barred, LineCover, StationDepth
from competencies.vocabulary import CoverRuleKind
from competencies.wording import one_sentence

register = template.Library()
_l = gettext_lazy


@dataclass(frozen=True, slots=True)
class RuleWords:
    """What a kind of declaration is called, and what it does."""

    title: Promise
    says: Promise


COVER_RULES: Mapping[CoverRuleKind, RuleWords] = {
    CoverRuleKind.COMBINABLE: RuleWords(
        _l("One person may hold both"),
        _l("Where people are short, one who counts at both may stand at both; never while watching a trainee."),
    ),
    CoverRuleKind.NEIGHBOURS: RuleWords(
        _l("Side by side"),
        _l("One person may watch a trainee at each of the two, unless one of them is critical."),
    ),
    CoverRuleKind.GROUP: RuleWords(
        _l("A group of different people"),
        _l("Every part is another person: entrant, attendant, rescue. The permit and local codes come first."),
    ),
    CoverRuleKind.RELIEF: RuleWords(
        _l("Relief at breaks"),
        _l("The line counts as covered only while somebody who counts at each station is free to relieve."),
    ),
}


@register.filter
def short_words(cover: LineCover) -> str:
    """Return in words what is short; nothing where the line is covered."""
    if cover.is_covered:
        return ""
    if not cover.short:
        codes = _joined(dict.fromkeys(slot.station.task.code for slot in cover.unrelieved))
        if cover.rules.relief_wanted and codes:
            return _("nobody is free at breaks for %(stations)s") % {"stations": codes}
        return _("part of the shift")
    counted = Counter(slot.station.task.code for slot in cover.short)
    codes = _joined(code if count == 1 else f"{count} × {code}" for code, count in counted.items())
    people = _joined(dict.fromkeys(person.name for slot in cover.short for person in slot.able))
    if not people:
        return _("nobody for %(stations)s") % {"stations": codes}
    return _("%(stations)s share only %(people)s") % {"stations": codes, "people": people}


@register.filter
def covered_until_words(cover: LineCover) -> str:
    """Return until when a line is covered that loses somebody in mid-shift; nothing otherwise."""
    if cover.is_covered or cover.covered_until is None:
        return ""
    return _("covered until %(time)s, not since") % {"time": f"{localtime(cover.covered_until):%H:%M}"}


@register.filter
def depth_words(each: StationDepth) -> str:
    """Return how many absences a station survives, or on whom it hangs."""
    if each.hangs_on:
        return _("hangs on %(people)s") % {"people": _joined(person.name for person in each.hangs_on)}
    if each.depth.survives == 0:
        return _("short already")
    count = each.depth.survives
    words = ngettext("survives %(count)s absence", "survives %(count)s absences", count) % {"count": count}
    return _("%(words)s or more") % {"words": words} if each.depth.is_least else words


@register.filter
def barred_words(barred: Barred) -> str:
    """Return in one sentence, which goes on after a name, why somebody does not count to the end, and the way back.

    Of a learner the steps are the whole of what the task asks, whatever was done already: they are left out.
    """
    is_learner = any(reason.code == "not_signed_off" for reason in barred.reasons)
    why = one_sentence(barred.reasons, () if is_learner else barred.way_back)
    why = why if why[1:2].isupper() else f"{why[:1].lower()}{why[1:]}"
    if barred.until is None or not why:
        return why
    said = {"time": f"{localtime(barred.until):%H:%M}", "why": why}
    return _("Until %(time)s, then: %(why)s") % said


@register.filter
def cover_rule_words(row: CoverRule) -> str:
    """Return what was declared, as a phrase."""
    if row.first is not None and row.second is not None:
        return _("%(one)s and %(other)s") % {"one": _station(row.first), "other": _station(row.second)}
    if row.first is not None:
        part = f"{_station(row.first)} ({row.role})" if row.role else _station(row.first)
        return f"{row.group}: {part}"
    return _("at every station of the line")


@register.filter
def cover_rule_kind(row: CoverRule) -> str:
    """Return what a declaration is called."""
    return str(COVER_RULES[CoverRuleKind(row.kind)].title)


def _station(station: Station) -> str:
    machine = f" ({station.machine.title})" if station.machine else ""
    return f"{station.task.code}{machine}"


def _joined(names: Iterable[str]) -> str:
    """Return names as a phrase: one, one and another, or a list that ends with "and"."""
    found = list(names)
    if len(found) < len(("one", "another")):
        return "".join(found)
    return _("%(names)s and %(last)s") % {"names": ", ".join(found[:-1]), "last": found[-1]}
