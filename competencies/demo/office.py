"""What the office of the demo plant settles: records that are one person, a hold, terms that reach what is held."""

from dataclasses import replace
from typing import Any

from competencies.demo import people
from competencies.demo.history import History
from competencies.demo.learning import Goal
from competencies.demo.posts import parsed
from competencies.demo.scheduling import Course
from competencies.models import Line
from competencies.operations.holds import HoldCover, set_hold
from competencies.operations.joining import Why, join_people, keep_apart
from competencies.operations.terms import AskedCalculation, change_terms
from competencies.standing.calendar import days_after
from competencies.standing.facts import SITE

FIRST_RUN = Goal(key=parsed("HS-01"), runs=1, until="runs")
# A starter who was entered twice: by the office, and a day later from the list of the agency.
STARTER, STARTER_AGAIN = "1047", "1048"
# An uncle and a nephew of one name.
NAMESAKES = ("1037", "1049")
# A customer's claim for a chipped bottle, filled in the first weeks of the record.
GLASS, BOTTLE_LINE, CLAIM = "HS-02", "L1", "CLAIM-chipped-bottle-07"
LABEL_COUNT = "LC-07"
LABEL_COUNT_MONTHS = 18


def courses(history: History) -> list[Course]:
    """Return the courses of everything that the office settles."""
    return [
        _entered_twice(history, 7, 5, 2),
        _namesakes(history, 13, 9),
        _hold(history, 40, (540, 480)),
        _decided_terms(history, 24, 20),
        _own_calculations(history, 30),
    ]


def _own_calculations(history: History, added: int) -> Course:
    """Add the calculations that only this plant needs."""
    yield history.at(history.day(added), 14 * 60 + 15)
    history.floor.quizzes(history.floor.clock.day(history.now)).add_own(history.office, history.now)


def _entered_twice(history: History, entered: int, run: int, joined: int) -> Course:
    """Have a first run on the record that should not be there, and find that both are one person (R7)."""
    floor = history.floor
    yield history.at(history.day(entered), 10 * 60)
    _enter_one_like(history, STARTER, works_number=STARTER_AGAIN, started_on=history.day(entered))
    yield from history.school.learn(STARTER_AGAIN, [FIRST_RUN], history.day(run))
    yield history.at(history.day(joined), 9 * 60 + 20)
    join_people(
        kept=floor.people[STARTER],
        other=floor.people[STARTER_AGAIN],
        by=history.office,
        when=floor.at(history.now),
        why=Why(reason="One starter, entered by the office and from the agency's list.", is_confirmed=True),
    )
    floor.meet()


def _namesakes(history: History, entered: int, run: int) -> Course:
    """Take on a nephew who bears his uncle's name, and say that they are two."""
    floor, (uncle, nephew) = history.floor, NAMESAKES
    yield history.at(history.day(entered), 9 * 60 + 50)
    _enter_one_like(history, uncle, works_number=nephew, started_on=history.day(entered), crew="A")
    first, second = floor.people[uncle], floor.people[nephew]
    keep_apart(first=first, second=second, by=history.office, when=floor.at(history.now))
    yield from history.school.learn(nephew, [FIRST_RUN], history.day(run))


def _enter_one_like(history: History, number: str, **changed: Any) -> None:  # noqa: ANN401 - fields of the row
    """Enter somebody whose row of the list is another's but for what is changed."""
    row = next(row for row in history.rows if row.works_number == number)
    people.hire(history.floor.plant, [replace(row, **changed)], history.office, history.now, history.new_number)
    history.floor.meet()


def _hold(history: History, before: int, days: tuple[int, int]) -> Course:
    """Keep what bears on a claim: nothing on glass at the bottle line of those days is erased (R14)."""
    first, last = days
    yield history.at(history.day(before), 15 * 60 + 5)
    cover = HoldCover(
        incident=CLAIM,
        task=history.floor.tasks[GLASS],
        line=Line.objects.get(plant=history.floor.plant, code=BOTTLE_LINE),
        from_on=history.day(first),
        until_on=history.day(last),
    )
    set_hold(plant=history.floor.plant, cover=cover, by=history.office, now=history.now)


def _decided_terms(history: History, before: int, reaching: int) -> Course:
    """Let the count of labels be renewed sooner, also by those who hold it already (R4.11)."""
    yield history.at(history.day(before), 14 * 60 + 20)
    floor, task = history.floor, history.floor.tasks[LABEL_COUNT]
    on = floor.clock.day(history.now)
    asked = floor.asked((LABEL_COUNT, SITE)).terms_on(on)
    terms = replace(
        asked,
        effective_on=on,
        recorded_at=history.now,
        validity_months=LABEL_COUNT_MONTHS,
        applies_to_held_on=days_after(history.today, -reaching),
    )
    calculations = [AskedCalculation(code=code) for code in asked.calculations]
    change_terms(task=task, terms=terms, calculations=calculations, by=history.office, now=history.now)
    floor.look_again()
