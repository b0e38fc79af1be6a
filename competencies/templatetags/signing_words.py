"""The words around signatures: what a signature says, in which role, and what an assessment is."""

from django import template
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from competencies.queries.queues import Waiting
from competencies.standing.readiness import PurposeKind
from competencies.vocabulary import AuthorityKind, Judgement, Meaning, SecondRole
from competencies.wording import AUTHORITIES, JUDGEMENTS, MEANINGS

register = template.Library()

PURPOSES: dict[PurposeKind, Promise] = {
    PurposeKind.INITIAL: _("First assessment"),
    PurposeKind.CONVERSION: _("First assessment at this place; the task is held elsewhere"),
    PurposeKind.RENEWAL: _("Renewal"),
    PurposeKind.DELTA: _("Changes of the new revision"),
    PurposeKind.RETURN_AFTER_LAPSE: _("Return after a lapse"),
    PurposeKind.RETURN_AFTER_WITHDRAWAL: _("Return after a withdrawal"),
    PurposeKind.REASSESSMENT: _("Re-assessment after “not yet competent”"),
}
WAITINGS: dict[Waiting, Promise] = {
    Waiting.READY: _("Ready for assessment"),
    Waiting.RETURN: _("Coming back"),
    Waiting.DELTA: _("New revision to take up"),
    Waiting.RENEWAL: _("Renewal due"),
}
ROLES: dict[SecondRole, Promise] = {
    SecondRole.FOOD: _("food safety"),
    SecondRole.SAFETY: _("people's safety"),
}


@register.filter
def meaning_words(meaning: Meaning) -> str:
    """Return what a signature says."""
    return str(MEANINGS[meaning])


@register.filter
def role_words(role: AuthorityKind | None) -> str:
    """Return the role in which somebody signed."""
    return str(AUTHORITIES[role]) if role else ""


@register.filter
def second_role_words(roles: list[SecondRole]) -> str:
    """Return the roles that a second signature must hold."""
    return ", ".join(str(ROLES[role]) for role in sorted(roles))


@register.filter
def purpose_words(kind: PurposeKind) -> str:
    """Return what an assessment would be."""
    return str(PURPOSES[kind])


@register.filter
def waiting_words(why: str) -> str:
    """Return why somebody waits for an assessor."""
    return str(WAITINGS[Waiting(why)])


@register.filter
def judgement_words(judgement: Judgement) -> str:
    """Return what was seen of a criterion."""
    return capfirst(str(JUDGEMENTS[judgement]))
