"""How far somebody is, in short plain phrases, and what stands in the way."""

from django import template
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from competencies.standing.readiness import Progress
from competencies.wording import Coded, sentence

register = template.Library()


@register.filter
def missing_phrases(progress: Progress) -> list[str]:
    """Return what is still missing before the assessment, the most usual first; empty when the person is ready."""
    found = []
    runs = progress.runs_needed - len(progress.counted)
    if runs > 0:
        found.append(ngettext("%(count)s more run", "%(count)s more runs", runs) % {"count": runs})
    shifts = progress.distinct_shifts_needed - progress.distinct_shifts
    if shifts > 0:
        found.append(ngettext("on another shift", "on %(count)s other shifts", shifts) % {"count": shifts})
    short = [asked.name for asked in progress.ranges if len(asked.values) < asked.needed]
    found += [_("another %(name)s") % {"name": name} for name in short]
    found += [_("check %(calculation)s") % {"calculation": code} for code in progress.calculations_missing]
    found += [_("%(task)s first") % {"task": code} for code, _scope in progress.prerequisites_missing]
    return found or [sentence(reason) for reason in progress.reasons]


@register.filter
def in_words(coded: Coded) -> str:
    """Return a reason or a refusal as a sentence."""
    return f"{capfirst(sentence(coded))}."
