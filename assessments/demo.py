"""Checks and practice in the demo plant: real problems, answered as people answer them."""

import uuid
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from random import Random

import yaml
from django.conf import settings

from assessments.calculations import for_framework_code
from assessments.generation import Problem, problem, problem_of
from assessments.inspection import INSPECTIONS, Item, item_of, seed_of
from assessments.marking import mark
from assessments.models import CheckSitting, InspectionSeries
from assessments.operations.answering import SEED_BELOW, Answered
from assessments.operations.checks import answer_check, finish_check, open_check, start_check
from assessments.operations.inspection import Judged, answer_item, hand_in, start_series
from assessments.operations.plant_calculations import begin_calculation, publish_calculation
from assessments.operations.practice import keep_attempt
from assessments.plant_formulas.described import from_kept
from assessments.queries.practice_progress import progress_of_kind
from assessments.scheduling.fading import laid
from assessments.scheduling.progress import Stage
from competencies.demo.quizzes import PASS_MARK, PROBLEMS, CheckTaken, OnPaper
from competencies.models import Person
from competencies.operations.pins import Signer

OWN_CALCULATIONS = "seed_fixtures/plant_calculations.yaml"
SECONDS_A_PROBLEM = (40, 130)
RIGHT_IN_PRACTICE = 0.7
SECONDS_A_DRAWING = (6, 40)
RIGHT_WHEN_CLEAR, RIGHT_WHEN_CLOSE = 0.95, 0.65


class DemoQuizzes:
    """Lets the people of the demo plant work real problems."""

    def take_check(self, taken: CheckTaken) -> None:
        """Answer the problems of a check, so many of them right, and enter its result into the ledger."""
        if not for_framework_code(taken.calculation):
            OnPaper().take_check(taken)
            return
        sitting = open_check(
            trainee=taken.trainee,
            opened_by=taken.opened_by,
            calculation=taken.calculation,
            problems=PROBLEMS,
            pass_mark=PASS_MARK,
            now=taken.opened_at,
        )
        # The same story on every loading: the problems that were drawn give way to those of the demo's own chance.
        sitting.problem_seeds = [[code, taken.chance.randrange(SEED_BELOW)] for code, _ in sitting.problem_seeds]
        CheckSitting.objects.filter(pk=sitting.pk).update(problem_seeds=sitting.problem_seeds)
        start_check(sitting=sitting, now=taken.opened_at)
        right = set(taken.chance.sample(range(PROBLEMS), taken.right))
        moments = _moments(taken, [code for code, _ in sitting.problem_seeds])
        for place, ((code, seed), at) in enumerate(zip(sitting.problem_seeds, moments, strict=True)):
            made = problem(code, seed)
            typed = typed_answer(made, taken.chance, is_right=place in right)
            answer_check(sitting=sitting, number=place + 1, typed=typed, mark=mark(made, typed), now=at)
        finish_check(sitting=sitting, on=taken.on, now=taken.finished_at)

    def practise(self, person: Person, calculation: str, chance: Random, now: datetime) -> None:
        """Work one problem of each kind in practice, with as much of it shown as the person needs by then."""
        for place, kind in enumerate(for_framework_code(calculation)):
            made = problem_of(kind, chance.randrange(SEED_BELOW))
            typed = typed_answer(made, chance, is_right=chance.random() < RIGHT_IN_PRACTICE)
            progress = progress_of_kind(person, kind.code)
            answered = Answered(
                problem=made,
                typed=typed,
                mark=mark(made, typed),
                seconds=chance.randint(*SECONDS_A_PROBLEM),
                help=laid(made, progress.stage if progress else Stage.READ).help,
            )
            token = uuid.UUID(int=chance.getrandbits(128), version=4)
            keep_attempt(person=person, answered=answered, token=token, now=now + timedelta(minutes=2 * place))

    def add_own(self, office: Signer, now: datetime) -> None:
        """Tell the plant's own calculations, and publish those that are done."""
        plant = office.person.plant
        for kept in yaml.safe_load((settings.BASE_DIR / OWN_CALCULATIONS).read_text("utf-8")):
            code, is_done = kept.pop("code"), kept.pop("published")
            told = from_kept(kept, code=code, version=1)
            draft = begin_calculation(plant=plant, told=told, by=office.person, now=now)
            if is_done:
                publish_calculation(draft=draft, by=office, now=now)

    def inspect(self, person: Person, chance: Random, now: datetime) -> None:
        """Judge a series of drawings: clear ones mostly right, ones close to the limit less so. The first is shown."""
        kinds = list(INSPECTIONS.values())
        kind = kinds[1 + InspectionSeries.objects.filter(person=person).count() % 2]
        series = start_series(
            person=person, kind=kind, length=20, close_percent=50, seed=chance.randrange(SEED_BELOW), now=now
        )
        for number in range(1, series.length + 1):
            seed = seed_of(series.seed, number, below=SEED_BELOW)
            item = item_of(kind, seed, close_share=series.close_percent / 100)
            judged = judged_item(item, chance)
            now += timedelta(seconds=judged.seconds or 0)
            answer_item(series=series, number=number, item=item, judged=judged, now=now)
        if not InspectionSeries.objects.handed_in().filter(person=person).exists():
            hand_in(series=series, now=now)


def judged_item(item: Item, chance: Random) -> Judged:
    """Return what somebody says of a drawing who sees what is clear, and often not what is close to the limit."""
    is_right = chance.random() < (RIGHT_WHEN_CLOSE if item.planned.is_close else RIGHT_WHEN_CLEAR)
    rejected = (item.fault is not None) is is_right
    fault = item.fault or chance.choice(item.inspection.faults)
    return Judged(rejected=rejected, named=fault.code if rejected else "", seconds=chance.randint(*SECONDS_A_DRAWING))


def _moments(taken: CheckTaken, codes: Sequence[str]) -> list[datetime]:
    """Return when each problem was answered: each kind takes its own time, and each sitting a little more or less."""
    pace = Random(f"pace {taken.trainee.works_number} {taken.calculation} {taken.on}")  # noqa: S311 - made up
    spans = [_usual_span(code) * pace.uniform(0.7, 1.4) for code in codes]
    step = (taken.finished_at - taken.opened_at) / (sum(spans) + 1)
    return [taken.opened_at + step * sum(spans[: place + 1]) for place in range(len(spans))]


def _usual_span(code: str) -> float:
    return Random(f"span {code}").uniform(0.6, 1.6)  # noqa: S311 - made up


def typed_answer(made: Problem, chance: Random, *, is_right: bool) -> str:
    """Return what somebody types who works the problem rightly, or with one of the usual slips."""
    if is_right:
        return made.stated_answer
    wrong = [text for text in _slipped(made) if not mark(made, text).is_right]
    return chance.choice(wrong) if wrong else "1"


def _slipped(made: Problem) -> Iterable[str]:
    for slip in made.slips:
        yield f"{made.calculation.answer.show(made.slip_value(slip))} {made.unit}".strip()
