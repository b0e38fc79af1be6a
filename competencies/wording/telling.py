"""Tells a reason, a refusal or a step in its words, with the names and days that belong in."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Protocol

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext, ngettext

from competencies.standing.timeline import Step
from competencies.vocabulary import SecondRole
from competencies.wording.sentences import SENTENCES, SENTENCES_OF_RULE
from competencies.wording.steps import STEP_DOERS, STEPS
from competencies.wording.words import SECOND_ROLES


class Coded(Protocol):
    """A reason or a refusal: the rule's number, a code, and what the sentence needs."""

    @property
    def rule(self) -> str:
        """Return the rule's number."""

    @property
    def code(self) -> str:
        """Return the code."""

    @property
    def params(self) -> tuple[tuple[str, str], ...]:
        """Return the names and values."""


NOT_DATES = frozenset({"name", "area", "role", "scope", "cause", "bar", "purpose", "standing"})


def sentence(coded: Coded, *, titles: Mapping[str, str] | None = None) -> str:
    """Return the sentence for a reason or a refusal; `titles` gives tasks and calculations their names."""
    values = {name: _shown(name, value, titles or {}) for name, value in coded.params}
    values["scope"] = f" ({values['scope']})" if values.get("scope") else ""
    found = SENTENCES_OF_RULE.get((coded.rule, coded.code)) or SENTENCES.get(coded.code)
    template = str(found or coded.code.replace("_", " "))
    try:
        return template % values
    except KeyError:
        return template


def step_sentence(step: Step, *, titles: Mapping[str, str] | None = None) -> str:
    """Return the sentence for one step of the way back."""
    place = f" ({step.scope})" if str(step.scope) else ""
    named = _shown("task", step.task, titles or {}) + place
    if step.action == "run":
        runs = ngettext("%(count)s supervised run on %(task)s", "%(count)s supervised runs on %(task)s", step.count)
        return runs % {"task": named, "count": step.count}
    return str(STEPS.get(step.action, step.action)) % {"task": named}


def step_doer(step: Step) -> str:
    """Return who may do the step."""
    return str(STEP_DOERS.get(step.action, ""))


def one_sentence(
    reasons: Iterable[Coded], way_back: Iterable[Step], *, titles: Mapping[str, str] | None = None
) -> str:
    """Return in one sentence every reason why somebody does not count, and what puts it right, in order, by whom."""
    why = "; ".join(dict.fromkeys(sentence(each, titles=titles) for each in reasons))
    steps = gettext(", then ").join(_step_told(step, titles) for step in way_back)
    if not why or not steps:
        return capfirst(f"{why or steps}.") if why or steps else ""
    return capfirst(gettext("%(why)s; the way back: %(steps)s.") % {"why": why, "steps": steps})


def _step_told(step: Step, titles: Mapping[str, str] | None) -> str:
    doer = step_doer(step)
    return step_sentence(step, titles=titles) + (f" ({doer})" if doer else "")


def _shown(name: str, value: str, titles: Mapping[str, str]) -> str:
    if name in {"task", "calculation"}:
        return f"{value} {titles[value]}" if value in titles else value
    if name in NOT_DATES:
        return str(SECOND_ROLES[SecondRole(value)]) if name == "role" else value
    try:
        if len(value) == len("2026-01-31"):
            return date_format(date.fromisoformat(value), "j F Y")
        if "T" in value:
            return date_format(timezone.localtime(datetime.fromisoformat(value)), "j F Y, H:i")
    except ValueError:
        return value
    return value
