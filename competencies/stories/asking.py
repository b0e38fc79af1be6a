"""Asks a played story its questions, through the queries that the pages use."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime

from competencies.models import Person, Qualification, Task
from competencies.queries.facts import rule_of
from competencies.queries.pathways import PathwayProgress, enrolments_of, pathways_of
from competencies.queries.standing import end_of_day, standings_at
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period, Reason
from competencies.stories.answer import Answer, words, yes
from competencies.stories.asking_cover import about_cover, about_person_on_shift
from competencies.stories.ground import entitled_person
from competencies.stories.player import Play
from competencies.stories.story import StoryQuestion
from competencies.vocabulary import Standing

# Where a question names no day it is about the end of the story.
AFTER_ALL = date(9998, 12, 31)


def answers(playing: Play) -> list[Answer]:
    """Return an answer for everything that the story asks, in the order of the file."""
    return [answer for question in playing.story.questions for answer in _answers_to(playing, question)]


def _answers_to(playing: Play, question: StoryQuestion) -> Iterable[Answer]:
    section = question.section
    if section.has("cover") or section.has("short") or (section.has("line") and not section.has("person")):
        return about_cover(playing, question)
    if section.has("shift") and section.has("task"):
        return about_person_on_shift(playing, question)
    if section.has("pathway"):
        return _about_pathway(playing, question)
    return _about_standing(playing, question)


def _moment(playing: Play, question: StoryQuestion) -> datetime:
    if question.at is not None:
        return question.at
    return end_of_day(question.on or date.max, playing.ground.plant)


def _about_standing(playing: Play, question: StoryQuestion) -> list[Answer]:
    section = question.section
    person = entitled_person(playing.ground, section.text("person", longest=20))
    task = Task.objects.get(plant=playing.ground.plant, code=section.text("task", longest=20))
    scope = playing.ground.told_scope(section, task)
    moment = _moment(playing, question)
    period = _period(person, task, scope, moment, question.known_at)
    asked = f"{person.name} {task.code}{f' at {scope}' if str(scope) else ''} {_date_text(question)}"
    found = [
        _compare(question, asked, key, told, got(period)) for key, told, got in _STANDING_ANSWERS if section.has(key)
    ]
    if section.has("reasons"):
        found.append(_compare_reasons(question, asked, period))
    found += _about_progress(question, asked, (person, task, scope, moment))
    return found


def _about_progress(question: StoryQuestion, asked: str, about: tuple[Person, Task, Scope, datetime]) -> list[Answer]:
    section = question.section
    if not (section.has("ready") or section.has("runs") or section.has("missing")):
        return []
    person, task, scope, moment = about
    progress = rule_of(person, known=question.known_at).progress(task.code, scope, moment)
    found = []
    if section.has("ready"):
        found.append(Answer(question.line, f"{asked}: ready", yes(section.flag("ready")), yes(progress.ready)))
    if section.has("runs"):
        expected = section.text("runs", longest=9)
        found.append(Answer(question.line, f"{asked}: runs counted", expected, str(len(progress.counted))))
    if section.has("missing"):
        missing = max(map(_shortfall, progress.reasons), default=0)
        expected = section.text("missing", longest=9)
        found.append(Answer(question.line, f"{asked}: runs missing", expected, str(missing)))
    return found


def _shortfall(lack: Reason) -> int:
    """Return how many runs a reason asks for: too few in all, or none yet since a not yet competent (R5.1)."""
    figures = dict(lack.params)
    return int(figures["needed"]) - int(figures["counted"]) if lack.code == "too_few_runs" else 0


def _period(person: Person, task: Task, scope: Scope, moment: datetime, known: datetime | None) -> Period:
    held = standings_at(people=[person.pk], moment=moment, known=known, tasks=[task.code])
    here = next((item.period for item in held if item.scope == scope), None)
    # Where nothing was ever entered there are no projected periods: the rule says what an empty page means.
    return here or rule_of(person, known=known).timeline(task.code, scope).at(moment)


def _date_text(question: StoryQuestion) -> str:
    text = question.section.text("at", longest=25) or question.section.text("on", longest=25)
    known = question.section.text("known", longest=25)
    return f"{text} (as known {known})" if known else text


_STANDING_ANSWERS: tuple[tuple[str, str, Callable[[Period], str]], ...] = (
    ("standing", "standing", lambda period: period.standing.value),
    ("counts", "counts", lambda period: yes(period.counts)),
    ("last_valid", "last valid day", lambda period: str(period.last_valid_on or "none")),
    ("revision", "revision held", lambda period: str(period.revision or "none")),
    ("way_back", "way back", lambda period: ", ".join(step.action for step in period.way_back) or "none"),
)


def _compare(question: StoryQuestion, asked: str, key: str, told: str, got: str) -> Answer:
    section = question.section
    if key == "counts":
        expected = yes(section.flag(key))
    elif key == "way_back":
        expected = ", ".join(words(section, key)) or "none"
    else:
        expected = section.text(key, longest=40)
    if key == "standing" and (expected, got) == (Standing.IN_FORCE, Standing.RENEWAL_DUE):
        # A sign-off whose renewal is due is in force: a story need not count the days of the window.
        expected = got
    return Answer(question.line, f"{asked}: {told}", expected, got)


def _compare_reasons(question: StoryQuestion, asked: str, period: Period) -> Answer:
    """Every reason told must be there; reasons beyond those told are allowed, since all are always given."""
    told = sorted(words(question.section, "reasons"))
    codes = sorted({reason.code for reason in period.reasons})
    expected = ", ".join(told) or "none"
    is_right = set(told) <= set(codes) if told else not codes
    return Answer(question.line, f"{asked}: reasons", expected, expected if is_right else ", ".join(codes) or "none")


def _about_pathway(playing: Play, question: StoryQuestion) -> list[Answer]:
    section = question.section
    person = entitled_person(playing.ground, section.text("person", longest=20))
    on = _day_asked(playing, question)
    qualification = _version_asked(playing, question, person, on)
    progress = pathways_of([person], on=on, known=question.known_at, only=qualification)[0]
    asked = f"{person.name} {qualification.code} {on}"
    found = [
        Answer(question.line, f"{asked}: {told}", expected(question), got(progress))
        for key, told, expected, got in _PATHWAY_ANSWERS
        if section.has(key)
    ]
    for key, values in (("distance", _distances(progress)), ("surplus", progress.result.surplus)):
        found += _about_figures(question, f"{asked}: {key}", key, values)
    for key, names in (("disputed", progress.result.disputed), ("flagged", _flagged(progress))):
        if section.has(key):
            told = ", ".join(sorted(words(section, key))) or "none"
            found.append(Answer(question.line, f"{asked}: {key}", told, ", ".join(sorted(names)) or "none"))
    return found


def _day_asked(playing: Play, question: StoryQuestion) -> date:
    """Return the day a question is about: its day, or that of its moment, or a day after everything."""
    if question.on is not None:
        return question.on
    return question.at.astimezone(playing.ground.zone).date() if question.at else AFTER_ALL


def _version_asked(playing: Play, question: StoryQuestion, person: Person, on: date) -> Qualification:
    """Return the version asked about: the one named, else the one the person is on, else the newest."""
    code, version = question.section.text("pathway", longest=20), question.section.text("version", longest=9)
    offered = Qualification.objects.filter(plant=playing.ground.plant, code=code).order_by("-version")
    if version.isdigit():
        return offered.get(version=int(version))
    followed = [
        row for row in enrolments_of([person], on=on, known=question.known_at) if row.qualification.code == code
    ]
    return followed[-1].qualification if followed else offered[0]


def _distances(progress: PathwayProgress) -> dict[str, int]:
    return {each.rule: each.missing for each in progress.result.distances}


def _flagged(progress: PathwayProgress) -> list[str]:
    return [each.unit.code for each in progress.units if each.flags]


def _about_figures(question: StoryQuestion, asked: str, key: str, got: Mapping[str, int]) -> list[Answer]:
    """Compare figures by name; a name that the rule does not give is 0."""
    told = question.section.map_of(key) if question.section.has(key) else None
    if told is None:
        return []
    return [
        Answer(question.line, f"{asked} {name}", told.text(name, longest=9), str(got.get(name, 0)))
        for name in told.nodes
    ]


_PATHWAY_ANSWERS: tuple[tuple[str, str, Callable[[StoryQuestion], str], Callable[[PathwayProgress], str]], ...] = (
    (
        "credits",
        "credits",
        lambda question: question.section.text("credits", longest=9),
        lambda progress: str(progress.result.total),
    ),
    (
        "awarded",
        "awarded",
        lambda question: yes(question.section.flag("awarded")),
        lambda progress: yes(progress.result.awarded_on is not None),
    ),
    (
        "awarded_on",
        "awarded on",
        lambda question: question.section.text("awarded_on", longest=12),
        lambda progress: str(progress.result.awarded_on or "none"),
    ),
    (
        "held",
        "award held",
        lambda question: yes(question.section.flag("held")),
        lambda progress: yes(progress.result.held_since is not None),
    ),
)
