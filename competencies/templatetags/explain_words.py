"""Words of the pages that explain: moments, who may do a step, what the other answer was."""

from collections.abc import Sequence
from datetime import datetime, time
from fractions import Fraction
from typing import Protocol

from django import template
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from competencies.queries.doers import Doable
from competencies.standing.timeline import Period, Reason, Step
from competencies.templatetags.learning_words import BEFORE_SIGN_OFF
from competencies.templatetags.standing_words import standing_word
from competencies.wording import one_sentence, sentence, step_doer, step_sentence

register = template.Library()


class Explained(Protocol):
    """What has reasons and a way back: a period, or what a shift was told of somebody."""

    @property
    def reasons(self) -> Sequence[Reason]:
        """Return every reason."""

    @property
    def way_back(self) -> Sequence[Step]:
        """Return the steps, in order."""


@register.filter
def first_instant(moment: datetime) -> str:
    """Return the day from which on something holds, with the clock time where it is not midnight."""
    local = timezone.localtime(moment)
    return date_format(local, "j M Y") if local.time() == time() else date_format(local, "j M Y, H:i")


@register.filter
def last_instant(moment: datetime) -> str:
    """Return the last day on which something holds, with the clock time where it ends within the day."""
    local = timezone.localtime(moment)
    is_whole = local.time().replace(microsecond=0) == time(23, 59, 59)
    return date_format(local, "j M Y") if is_whole else date_format(local, "j M Y, H:i")


@register.filter
def all_reasons(period: Period) -> list[str]:
    """Return every reason of a standing as a sentence, each once."""
    spoken = (f"{capfirst(sentence(reason))}." for reason in period.reasons)
    return list(dict.fromkeys(spoken))


@register.filter
def why_not(found: Explained) -> str:
    """Return in one sentence why somebody does not count and what puts it right; nothing where they count.

    Before the first sign-off the steps are the whole of what the task asks: what is still missing says more.
    """
    if getattr(found, "counts", False):
        return ""
    is_new = getattr(found, "standing", None) in BEFORE_SIGN_OFF
    return one_sentence(found.reasons, () if is_new else found.way_back)


@register.filter
def step_words(each: Doable) -> str:
    """Return one step of the way back."""
    return capfirst(step_sentence(each.step))


@register.filter
def doer_words(each: Doable) -> str:
    """Return who may do a step: the kind of authority, and the people who hold it today."""
    kind = capfirst(step_doer(each.step))
    if each.is_own:
        return f"{kind}."
    if not each.names:
        return _("%(kind)s: nobody holds that today.") % {"kind": kind}
    names = ", ".join(each.names)
    if each.more:
        return _("%(kind)s. Today: %(names)s and %(more)s more.") % {"kind": kind, "names": names, "more": each.more}
    return _("%(kind)s. Today: %(names)s.") % {"kind": kind, "names": names}


@register.filter
def answer_words(period: Period) -> str:
    """Return a standing and whether it counts, in a few words."""
    counts = _("counts for cover") if period.counts else _("does not count for cover")
    return f"{standing_word(period.standing)}, {counts}"


@register.filter
def share_words(share: Fraction) -> str:
    """Return a share in words: half, or as it is written."""
    return _("half") if share == Fraction(1, 2) else str(share)


@register.filter
def places_of(seqs: Sequence[int]) -> str:
    """Return places of the ledger as they are written: #12, #15."""
    return ", ".join(f"#{seq}" for seq in seqs)


@register.filter
def tenfold(share: float) -> str:
    """Return a share in percent as a place on a drawing a thousand wide, in figures that every reader of SVG knows."""
    return f"{share * 10:.2f}"
