"""What a task asks, in plain words: only what the task uses is told."""

from django import template
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from competencies.standing.framework import Terms
from competencies.vocabulary import Criticality, ScopeKind, YoungWorker
from competencies.wording import CRITICALITIES

register = template.Library()

SCOPES = {
    ScopeKind.SITE: gettext_lazy("One sign-off serves the whole site."),
    ScopeKind.LINE: gettext_lazy("A sign-off serves one line."),
    ScopeKind.MACHINE: gettext_lazy("A sign-off serves one machine type at a line."),
}


@register.filter
def criticality_words(value: str) -> str:
    """Return what a mistake at the task can harm; nothing where it is not critical."""
    found = Criticality(value)
    return capfirst(str(CRITICALITIES[found])) if found.is_critical else ""


@register.filter
def scope_kind_words(value: str) -> str:
    """Return what one sign-off serves; nothing for the usual case, the whole site."""
    return "" if value == ScopeKind.SITE else str(SCOPES[ScopeKind(value)])


@register.filter
def short_terms(terms: Terms) -> str:
    """Return the terms in one line: runs and validity."""
    runs = ngettext("%(count)s run", "%(count)s runs", terms.runs) % {"count": terms.runs}
    return f"{runs}, {validity_words(terms)}"


def validity_words(terms: Terms) -> str:
    """Return how long a sign-off is valid."""
    months = terms.validity_months
    if months is None:
        return _("valid without an end")
    return ngettext("valid for %(count)s month", "valid for %(count)s months", months) % {"count": months}


@register.filter
def terms_lines(terms: Terms) -> list[str]:
    """Return what a task asks, a sentence each; what it does not use is left out."""
    lines = [ngettext("%(count)s supervised run.", "%(count)s supervised runs.", terms.runs) % {"count": terms.runs}]
    if terms.distinct_shifts > 1:
        lines.append(_("The runs lie on %(count)s different shifts.") % {"count": terms.distinct_shifts})
    if terms.simulated_max:
        lines.append(_("%(count)s of them may be drills.") % {"count": terms.simulated_max})
    lines += [_("%(count)s different values of %(name)s.") % {"name": n, "count": c} for n, c in terms.ranges.items()]
    lines += [_("A passed calculation check %(code)s.") % {"code": code} for code in terms.calculations]
    if terms.prerequisites:
        lines.append(_("In force first: %(tasks)s.") % {"tasks": ", ".join(_needed(terms))})
    if terms.refreshes:
        lines.append(_("Doing it keeps fresh: %(tasks)s.") % {"tasks": ", ".join(terms.refreshes)})
    lines.append(f"{capfirst(validity_words(terms))}.")
    return lines + _bars(terms)


def _needed(terms: Terms) -> list[str]:
    """Return each prerequisite, with the place where one is named."""
    return [
        _("%(task)s at %(place)s") % {"task": code, "place": place} if place else code for code, place in terms.needs
    ]


def _bars(terms: Terms) -> list[str]:
    lines = []
    if terms.grace_days is not None:
        lines.append(_("%(count)s days of grace after the last valid day.") % {"count": terms.grace_days})
    if terms.recency_days is not None:
        lines.append(_("Done at least every %(count)s days.") % {"count": terms.recency_days})
    if terms.young_worker is YoungWorker.CLOSED:
        lines.append(_("Closed to young workers."))
    elif terms.young_worker is YoungWorker.TRAINING_ONLY:
        lines.append(_("Young workers only in training."))
    return lines
