"""Asks a played story its questions, through the queries that the pages use."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime

from competencies.importing.fields import Section
from competencies.importing.nodes import Scalar
from competencies.models import Line, Person, Qualification, Shift, Task
from competencies.queries.cover import LineCover, covers_of
from competencies.queries.facts import rule_of
from competencies.queries.pathways import PathwayProgress, pathways_of
from competencies.queries.standing import end_of_day, standings_at
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period
from competencies.stories.ground import entitled_person, roster_for
from competencies.stories.player import Play
from competencies.stories.story import StoryQuestion


@dataclass(frozen=True, slots=True)
class Answer:
    """One thing asked: its line in the file, what was expected and what was found."""

    line: int
    asked: str
    expected: str
    got: str

    @property
    def is_right(self) -> bool:
        """Whether the story's answer was found."""
        return self.expected == self.got


def answers(playing: Play) -> list[Answer]:
    """Return an answer for everything that the story asks, in the order of the file."""
    return [answer for question in playing.story.questions for answer in _answers_to(playing, question)]


def _answers_to(playing: Play, question: StoryQuestion) -> Iterable[Answer]:
    section = question.section
    if section.has("cover") or section.has("short") or (section.has("line") and not section.has("person")):
        return _about_cover(playing, question)
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
    given = section.text("scope", longest=21)
    scope = Scope.parse(given) if given else playing.ground.usual_scope(task)
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
        found.append(Answer(question.line, f"{asked}: ready", _yes(section.flag("ready")), _yes(progress.ready)))
    if section.has("runs"):
        expected = section.text("runs", longest=9)
        found.append(Answer(question.line, f"{asked}: runs counted", expected, str(len(progress.counted))))
    if section.has("missing"):
        missing = max(0, progress.runs_needed - len(progress.counted))
        expected = section.text("missing", longest=9)
        found.append(Answer(question.line, f"{asked}: runs missing", expected, str(missing)))
    return found


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
    ("counts", "counts", lambda period: _yes(period.counts)),
    ("last_valid", "last valid day", lambda period: str(period.last_valid_on or "none")),
    ("revision", "revision held", lambda period: str(period.revision or "none")),
    ("way_back", "way back", lambda period: ", ".join(step.action for step in period.way_back) or "none"),
)


def _compare(question: StoryQuestion, asked: str, key: str, told: str, got: str) -> Answer:
    section = question.section
    if key == "counts":
        expected = _yes(section.flag(key))
    elif key == "way_back":
        expected = ", ".join(_words(section, key)) or "none"
    else:
        expected = section.text(key, longest=40)
    return Answer(question.line, f"{asked}: {told}", expected, got)


def _compare_reasons(question: StoryQuestion, asked: str, period: Period) -> Answer:
    """Every reason told must be there; reasons beyond those told are allowed, since all are always given."""
    told = sorted(_words(question.section, "reasons"))
    codes = sorted({reason.code for reason in period.reasons})
    expected = ", ".join(told) or "none"
    is_right = set(told) <= set(codes) if told else not codes
    return Answer(question.line, f"{asked}: reasons", expected, expected if is_right else ", ".join(codes) or "none")


def _yes(flag: bool) -> str:  # noqa: FBT001 - the word for it
    return "true" if flag else "false"


def _about_cover(playing: Play, question: StoryQuestion) -> list[Answer]:
    section, plant = question.section, playing.ground.plant
    line = Line.objects.select_related("plant").get(plant=plant, code=section.text("line", longest=10))
    name, on = shift_asked(question)
    shift = Shift.objects.filter(plant=plant, name=name).first()
    if shift is None:
        section.note("shift", "the story tells of no such shift")
        return []
    roster_for(playing.ground, playing.story, line, on, shift)
    cover = covers_of(lines=[line], shift=shift, on=on, known=question.known_at)[0]
    asked = f"{line.code} {on} {shift.name}"
    found = []
    if section.has("cover"):
        found.append(Answer(question.line, f"{asked}: covered", _yes(section.flag("cover")), _yes(cover.is_covered)))
    if section.has("short"):
        expected = ", ".join(sorted(_words(section, "short"))) or "none"
        found.append(Answer(question.line, f"{asked}: short", expected, _short(cover)))
    return found


def shift_asked(question: StoryQuestion) -> tuple[str, date]:
    """Return the shift a question is about: `shift: {date, name}`, or a shift's name beside `on`."""
    section = question.section
    if not section.has("shift") or isinstance(section.nodes["shift"][1], Scalar):
        return section.text("shift", longest=20) or "day", question.on or date.max
    told = section.map_of("shift")
    return (told.text("name", longest=20) or "day", told.day("date") or date.max) if told else ("day", date.max)


def _words(section: Section, key: str) -> tuple[str, ...]:
    """Return a list of words; one word alone is a list of one."""
    if isinstance(section.nodes[key][1], Scalar):
        return (section.text(key, longest=40),)
    return section.texts(key, longest=40)


def _short(cover: LineCover) -> str:
    return ", ".join(sorted(slot.station.task.code for slot in cover.short)) or "none"


def _about_pathway(playing: Play, question: StoryQuestion) -> list[Answer]:
    section = question.section
    person = entitled_person(playing.ground, section.text("person", longest=20))
    qualification = Qualification.objects.get(plant=playing.ground.plant, code=section.text("pathway", longest=20))
    on = question.on or date.max
    progress = pathways_of([person], on=on, known=question.known_at, only=qualification)[0]
    asked = f"{person.name} {qualification.code} {on}"
    return [
        Answer(question.line, f"{asked}: {told}", expected(question), got(progress))
        for key, told, expected, got in _PATHWAY_ANSWERS
        if section.has(key)
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
        lambda question: _yes(question.section.flag("awarded")),
        lambda progress: _yes(progress.result.awarded_on is not None),
    ),
    (
        "awarded_on",
        "awarded on",
        lambda question: question.section.text("awarded_on", longest=12),
        lambda progress: str(progress.result.awarded_on or "none"),
    ),
)
