"""The words of the standings, for templates. The shape and the tone are in templates/components and tokens.css."""

from django import template
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from competencies.vocabulary import Standing

register = template.Library()

WORDS: dict[str, Promise] = {
    Standing.NOT_STARTED: _("Not started"),
    Standing.LEARNING: _("Learning"),
    Standing.READY: _("Ready for assessment"),
    Standing.AWAITING_SIGNATURE: _("Awaiting second signature"),
    Standing.AWAITING_REVISION: _("Awaiting the new revision"),
    Standing.IN_FORCE: _("In force"),
    Standing.RENEWAL_DUE: _("Renewal due"),
    Standing.IN_GRACE: _("In grace"),
    Standing.LAPSED: _("Lapsed"),
    Standing.OUT_OF_REVISION: _("Out of revision"),
    Standing.STALE: _("Stale"),
    Standing.SUSPENDED: _("Suspended"),
    Standing.WITHDRAWN: _("Withdrawn"),
    Standing.UNDER_REVIEW: _("Under review"),
    Standing.BLOCKED: _("Blocked"),
    Standing.RESTRICTED: _("Restricted by age"),
}

MEANINGS: dict[str, Promise] = {
    Standing.NOT_STARTED: _("No supervised run yet."),
    Standing.LEARNING: _("Has supervised runs, and needs more before an assessment."),
    Standing.READY: _("Everything that must come before the assessment is there."),
    Standing.AWAITING_SIGNATURE: _("Judged competent; the second signature is still missing."),
    Standing.AWAITING_REVISION: _("Signed on a revision that is approved and not yet in effect."),
    Standing.IN_FORCE: _("May be left alone at the task."),
    Standing.RENEWAL_DUE: _("May be left alone at the task; the last valid day is near."),
    Standing.IN_GRACE: _("Past the last valid day and still counted for a while; may not supervise or assess."),
    Standing.LAPSED: _("Past the last valid day."),
    Standing.OUT_OF_REVISION: _("A newer revision is in effect and has not been taken up."),
    Standing.STALE: _("Has not done the task for too long; one observed run brings it back."),
    Standing.SUSPENDED: _("Stopped for now by a person with the authority to do so."),
    Standing.WITHDRAWN: _("Competence taken back for cause."),
    Standing.UNDER_REVIEW: _("The sign-off behind it is being looked at again."),
    Standing.BLOCKED: _("A task that must be in force first is not."),
    Standing.RESTRICTED: _("Not open to a young worker before a certain day."),
}


@register.filter
def standing_word(value: str) -> str:
    """Return the word of a standing; any other text comes back as it is."""
    return str(WORDS.get(value, value))


@register.filter
def standing_meaning(value: str) -> str:
    """Return in one sentence what a standing means."""
    return str(MEANINGS.get(value, ""))


@register.simple_tag
def every_standing() -> list[str]:
    """Return the values of all standings, in the order of a person's way."""
    return [standing.value for standing in Standing]
