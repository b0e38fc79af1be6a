"""The cover of the days to come in plain words: when a line first breaks and why, on whom it hangs."""

from collections.abc import Iterable, Sequence
from typing import Any

from django import template
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from competencies.models import Station
from competencies.queries.line_ahead import Break, Compared, Hanging, LineAhead, Loss, WeekAhead
from competencies.wording import sentence

register = template.Library()


@register.filter
def break_words(found: Break) -> str:
    """Return when a line is not covered, for whom, and which stations too few people share."""
    said = {"day": date_format(found.on, "j M Y"), "shift": found.shift.title, "stations": stations_words(found.short)}
    if found.is_rostered and not found.short:
        return _("%(day)s, %(shift)s, by the roster: somebody is missing for part of the shift or to relieve.") % said
    if found.is_rostered:
        return _("%(day)s, %(shift)s, by the roster: too few for %(stations)s.") % said
    said["crew"] = crew_words(found.crew)
    if not found.losses:
        return _("%(crew)s, from %(day)s (%(shift)s): too few for %(stations)s, and before that as well.") % said
    return _("%(crew)s, from %(day)s (%(shift)s): too few for %(stations)s.") % said


@register.filter
def crew_words(crew: Any) -> str:  # noqa: ANN401 - a crew or None
    """Return the name of a crew."""
    return crew.title if crew else _("The people without a crew")


@register.filter
def hanging_words(each: Hanging) -> str:
    """Return who is not to be spared, in which crew, and at which stations."""
    said = {"name": each.person.name, "crew": crew_words(each.crew), "stations": stations_words(each.stations)}
    return _("%(name)s (%(crew)s): %(stations)s.") % said


@register.filter
def stations_words(stations: Iterable[Station]) -> str:
    """Return the codes of some stations in a row."""
    return _joined([station.task.code for station in stations])


@register.filter
def loss_words(loss: Loss) -> str:
    """Return in one sentence who was lost at a station, and why."""
    said = {"name": loss.person.name, "station": loss.station.task.code}
    if loss.last_day:
        return _("%(name)s at %(station)s: the last working day is %(day)s.") % {
            **said,
            "day": date_format(loss.last_day, "j M Y"),
        }
    if not loss.reasons:
        return _("%(name)s at %(station)s: away.") % said
    whys = dict.fromkeys(f"{code}: {sentence(why)}" for code, why in loss.reasons)
    return _("%(name)s at %(station)s. %(why)s.") % {**said, "why": "; ".join(whys)}


@register.filter
def week_words(week: WeekAhead) -> str:
    """Return how many shifts of a week are covered."""
    said = {"covered": week.covered, "of": week.of}
    if not week.of:
        return _("nobody is known to work this line")
    if week.is_rostered:
        return _("%(covered)s of %(of)s rostered shifts") % said
    return _("%(covered)s of %(of)s crew shifts") % said


@register.filter
def line_words(line: LineAhead) -> str:
    """Return in one sentence how a line fares over the weeks to come: the text of its chart."""
    whole = sum(week.covered == week.of > 0 for week in line.weeks)
    first = line.first_break
    if first is None:
        return _("%(line)s is covered on every shift of the next %(weeks)s weeks.") % {
            "line": line.line.title,
            "weeks": len(line.weeks),
        }
    told = ngettext(
        "%(line)s: first short on %(day)s; fully covered in %(count)s of %(weeks)s weeks.",
        "%(line)s: first short on %(day)s; fully covered in %(count)s of %(weeks)s weeks.",
        whole,
    )
    return told % {
        "line": line.line.title,
        "day": date_format(first.on, "j M Y"),
        "count": whole,
        "weeks": len(line.weeks),
    }


@register.filter
def compared_words(each: Compared) -> str:
    """Return what it does to a line when somebody is missing."""
    if each.is_same:
        return _("no difference.")
    before, after = each.before.first_break, each.after.first_break
    parts = []
    if after and (before is None or before.on != after.on):
        said = {"after": date_format(after.on, "j M Y"), "before": date_format(before.on, "j M Y") if before else ""}
        parts.append(
            _("first short on %(after)s instead of %(before)s") % said
            if before
            else _("first short on %(after)s instead of never in these weeks") % said
        )
    if each.lost_weeks:
        count = each.lost_weeks
        parts.append(
            ngettext("%(count)s week with fewer shifts covered", "%(count)s weeks with fewer shifts covered", count)
            % {"count": count}
        )
    if each.to_nobody:
        parts.append(_("left to nobody in some crew: %(stations)s") % {"stations": stations_words(each.to_nobody)})
    return capfirst(f"{'; '.join(parts)}.")


@register.filter
def have_words(week: WeekAhead, stations: Sequence[Station]) -> list[tuple[str, bool]]:
    """Return for each station "2 of 1" with whether that is too few."""
    pairs = zip(week.have, stations, strict=True)
    return [
        (_("%(have)s for %(needed)s") % {"have": have, "needed": station.needed}, have < station.needed)
        for have, station in pairs
    ]


def _joined(words: Sequence[str]) -> str:
    if len(words) <= 1:
        return "".join(words)
    return _("%(most)s and %(last)s") % {"most": ", ".join(words[:-1]), "last": words[-1]}
