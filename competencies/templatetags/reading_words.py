"""The limits of a reading in words, for templates."""

from django import template

from competencies.forms.judging import limits_in_words
from competencies.models import Reading

register = template.Library()


@register.filter
def limits(reading: Reading) -> str:
    """Return target and limits with the unit."""
    return limits_in_words(reading)
