"""Rows of components/answers_list.html: what was said at one moment and is not said any more."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.urls import reverse
from django.utils.http import urlencode

from competencies.models import Person
from competencies.queries.answers import TwoAnswers, answers_that_differ
from competencies.templatetags.explain_words import answer_words
from competencies.views.clocks import Asked


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRow:
    """One thing of which two things are said; `address` leads to where it is explained."""

    label: str
    then: str
    now: str
    code: str = ""
    address: str = ""


def differing_rows(people: Iterable[Person], asked: Asked, *, tasks: Iterable[str] | None = None) -> list[AnswerRow]:
    """Return a row for each person and task of whose minute two things are said. At most one query."""
    if asked.then >= asked.now:
        return []
    named = {person.pk: person for person in people}
    found: Mapping[int, Iterable[TwoAnswers]] = answers_that_differ(
        named, moment=asked.moment, then_at=asked.then, tasks=tasks
    )
    return answer_rows(named, found, asked)


def answer_rows(
    named: Mapping[int, Person], found: Mapping[int, Iterable[TwoAnswers]], asked: Asked
) -> list[AnswerRow]:
    """Return a row for each of the answers found, by person."""
    return [
        AnswerRow(
            label=f"{named[number].name} {each.scope}".strip(),
            code=each.task_code,
            address=explained_at(named[number], each, asked),
            then=answer_words(each.then),
            now=answer_words(each.now),
        )
        for number, answers in found.items()
        for each in answers
    ]


def explained_at(person: Person, answers: TwoAnswers, asked: Asked) -> str:
    """Return the address that explains both answers."""
    clocks = {name: asked.given[name] for name in ("on", "at") if name in asked.given}
    query = urlencode({"scope": str(answers.scope), "on": asked.on.isoformat(), **clocks})
    return f"{reverse('competencies:person-task', args=[person.pk, answers.task_code])}?{query}"
