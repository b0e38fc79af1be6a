"""Words about units: where a version is in its life, what counts of it, what the moderator is to look at."""

from django import template
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from competencies.models import UnitStandard
from competencies.queries.pathways import UnitProgress
from competencies.standing.credits import PathwayResult, VersionState
from competencies.standing.timeline import Reason
from competencies.standing.unit_records import UnitRecord
from competencies.wording import sentence

register = template.Library()


@register.filter
def version_words(unit: UnitStandard, state: VersionState) -> str:
    """Return where a version of a unit is in its life, with the day that matters."""
    first, last = unit.first_date_for_assessment, unit.last_date_for_assessment
    words = {
        VersionState.COMING: _("to be decided from %(day)s"),
        VersionState.CURRENT: _("current"),
        VersionState.EXPIRING: _("expiring: to be decided by %(day)s"),
        VersionState.DISCONTINUED: _("discontinued, last day %(day)s"),
    }
    day = first if state is VersionState.COMING else last
    return words[state] % {"day": date_format(day, "j M Y") if day else ""}


@register.filter
def life_words(progress: UnitProgress) -> str:
    """Return until when a version can be decided, where there is an end to it."""
    unit = progress.unit
    if progress.state is VersionState.COMING and unit.first_assessment_on:
        return _("can be decided from %(day)s") % {"day": date_format(unit.first_assessment_on, "j M Y")}
    if unit.last_assessment_on is None:
        return _("current")
    return _("last day for a decision %(day)s") % {"day": date_format(unit.last_assessment_on, "j M Y")}


@register.filter
def count_words(progress: UnitProgress) -> str:
    """Return what counts of a decided unit, and why the rest does not."""
    record = progress.record
    if record is None:
        return ""
    if not record.is_counted:
        return _("not counted: a moderator disagreed before it was reported")
    if progress.instead:
        code, version = progress.instead
        return _("not counted: %(unit)s version %(version)s counts in its place") % {"unit": code, "version": version}
    if progress.is_outside:
        return _("not counted: its group is no part of this pathway")
    words = _("%(counted)s of %(credits)s credits counted") % {
        "counted": progress.counted,
        "credits": progress.unit.credits,
    }
    if progress.surplus:
        words += ", " + _("%(surplus)s surplus, kept") % {"surplus": progress.surplus}
    return words


@register.filter
def record_words(record: UnitRecord) -> list[str]:
    """Return what became of a decision: reported, disputed, and what puts it right."""
    found = []
    if record.decision.elsewhere:
        found.append(_("Gained elsewhere: it gives no standing on the floor."))
    if record.report is not None:
        found.append(_("Reported to the training body on %(day)s.") % {"day": date_format(record.report.on, "j M Y")})
    if record.is_disputed:
        found.append(
            _("Disputed: it stays as reported and the award is held. Ask the training body for a correction.")
        )
    return found


@register.filter
def flag_words(flags: list[Reason]) -> list[str]:
    """Return what the moderator is to look at."""
    return [f"{capfirst(sentence(each))}." for each in flags]


@register.filter
def award_words(result: PathwayResult) -> str:
    """Return whether the qualification is awarded, since when, or why it is held."""
    if result.awarded_on:
        return _("Awarded on %(day)s: the first day on which every rule held.") % {
            "day": date_format(result.awarded_on, "j F Y")
        }
    if result.held_since:
        return _(
            "Every rule has held since %(day)s. The award is held: a moderator disputes %(units)s."
            " Ask the training body for a correction."
        ) % {"day": date_format(result.held_since, "j F Y"), "units": ", ".join(result.disputed)}
    if result.holds:
        return _("Every rule holds, but too late or on a version that was left: not awarded.")
    return _("Not awarded yet.")
