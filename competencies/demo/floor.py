"""What people do at the demo plant: every act goes through the operation that the pages use, signed at its moment.

Who watches, judges or signs is looked up as a plant would do it: among those who may on that day.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from random import Random

from competencies.demo.posts import Key
from competencies.demo.quizzes import PASS_MARK, PROBLEMS, CheckTaken, OnPaper, Quizzes, quizzes_in_use
from competencies.demo.readings import Readers, paired_readings
from competencies.demo.rota import Turn, shift_on
from competencies.demo.sentences import FEEDBACK, PRACTISE, RUN_NOTES
from competencies.models import Person, Plant, Reading, Task, TaskRevision
from competencies.operations import decisions
from competencies.operations.decisions import OutsideEvidence, Verdict, When
from competencies.operations.pins import Signer
from competencies.operations.recording import OnTask
from competencies.operations.runs import Observed, RunDetails, record_run
from competencies.queries.facts import facts_of_people, grants_of, rule_of
from competencies.queries.frame import frame_of
from competencies.standing.calendar import ONE_DAY, Clock, add_months, clock_of
from competencies.standing.entitlement import in_conflict
from competencies.standing.facts import Assessment, Fact
from competencies.standing.framework import Frame, TaskFrame
from competencies.standing.readiness import Progress, Purpose, PurposeKind
from competencies.standing.refusals import AuthorityGrant, has_authority
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind, Judgement, Outcome, SecondRole, Standing

# Acts are written down a little after they happened.
WRITING_TIME = timedelta(minutes=12)
AN_INSTANT = timedelta(microseconds=1)
SUM_MONTHS = 12
TEACHING = frozenset({Standing.IN_FORCE, Standing.RENEWAL_DUE})
OPENS = frozenset({AuthorityKind.TRAIN, AuthorityKind.ASSESS})
SECOND_KIND = {SecondRole.FOOD: AuthorityKind.SIGN_FOOD, SecondRole.SAFETY: AuthorityKind.SIGN_SAFETY}
RANGE_VALUES: Mapping[str, tuple[str, ...]] = {
    "energy source": ("electricity", "compressed air", "steam"),
    "recipe": ("Quayside Pale", "Saltpan Stout", "Reach Lager"),
    "yeast strain": ("ale 2", "lager 1"),
    "vessel type": ("fermenter", "bright tank"),
    "bottle size": ("330 mL", "500 mL"),
    "can size": ("330 mL", "440 mL"),
    "keg size": ("30 L", "50 L"),
    "allergen changeover": ("oat stout to lager",),
    "load type": ("full pallets", "kegs"),
}


class NobodyError(Exception):
    """Nobody at the plant may do what is asked on that day: the history asks for what a real plant could not do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """How a performance went: criteria not met, whether the hand was steady, and what is said of it.

    `revision` is the issue of the procedure that was worked to, where it is a coming one.
    """

    not_met: frozenset[int] = frozenset()
    revision: int | None = None
    steady: bool = True
    range_values: Mapping[str, str] = field(default_factory=dict)
    simulated: bool = False
    note: str = ""


WELL = How()


class Floor:
    """The people and tasks of the plant, who holds what, and the acts that make its history."""

    def __init__(self, plant: Plant, tablets_from: date) -> None:
        self.plant = plant
        self.tablets_from = tablets_from
        self.clock: Clock = clock_of(plant.timezone)
        self.people: dict[str, Person] = {}
        self.tasks = {task.code: task for task in Task.objects.filter(plant=plant).select_related("area", "plant")}
        self.holders: dict[Key, list[str]] = defaultdict(list)
        self.visitors: frozenset[str] = frozenset()
        self.used: Counter[tuple[str, str]] = Counter()
        self.sums: dict[tuple[str, str], date] = {}
        self.absent: dict[str, tuple[date, date]] = {}
        self._rights: dict[str, list[AuthorityGrant]] = {}
        self._rules: dict[str, PersonRule] = {}
        self._frame: Frame = frame_of(plant)
        self._readings: dict[tuple[str, int], list[Reading]] = {}

    def meet(self) -> None:
        """Get to know everybody who is on the books by now, and what each is entrusted with."""
        rows = Person.objects.filter(plant=self.plant).single().select_related("plant", "crew", "area")
        self.people = {person.works_number: person for person in rows.order_by("works_number")}
        grants = grants_of([person.pk for person in self.people.values()])
        self._rights = {number: grants[person.pk] for number, person in self.people.items()}
        self.look_again()

    def look_again(self) -> None:
        """Forget what was worked out: something was written since, or the procedures changed."""
        self._rules.clear()
        self._frame = frame_of(self.plant)

    def signer(self, number: str) -> Signer:
        """Return a person as a signer; the proof says that the demo signed for them."""
        return Signer(self.people[number], "seed")

    def crew(self, number: str) -> str:
        """Return the person's crew, "" for day workers."""
        crew = self.people[number].crew
        return crew.code if crew else ""

    def rule(self, number: str) -> PersonRule:
        """Return the person's rule as the ledger stands."""
        found = self._rules.get(number)
        if found is None:
            found = self._rules[number] = rule_of(self.people[number])
        return found

    def asked(self, key: Key) -> TaskFrame:
        """Return what the plant asks on a task."""
        return self._frame.tasks[key[0]]

    def may(self, number: str, kind: AuthorityKind, area: str, on: date) -> bool:
        """Whether a person is entrusted with something in an area on a day."""
        return has_authority(self._rights[number], [kind], area, on)

    def is_here(self, number: str, on: date) -> bool:
        """Whether the person works at the plant on a day and is not away."""
        person = self.people[number]
        away = self.absent.get(number)
        employed = person.started_on <= on and (person.last_day is None or on <= person.last_day)
        return employed and not (away and away[0] <= on <= away[1])

    def in_force(self, number: str, key: Key, moment: datetime) -> bool:
        """Whether the person's sign-off holds at a moment."""
        return self.rule(number).in_force_at(*key, moment)

    def lacks(self, number: str, key: Key, moment: datetime) -> bool:
        """Whether a prerequisite of the task is out for the person at a moment."""
        rule = self.rule(number)
        terms = rule.frame.tasks[key[0]].terms_on(self.clock.day(moment))
        return any(
            not any(span.start <= moment < span.end for span in rule.need(key[1], *wanted).spans)
            for wanted in terms.needs
        )

    def run(
        self, number: str, key: Key, turn: Turn, how: How = WELL, *, by: str = "", entered_at: datetime | None = None
    ) -> int:
        """Record a supervised run, at once or when it is entered, and return its place in the ledger."""
        on_task, happened_at = self.on_task(number, key), turn.moment - WRITING_TIME
        revision = how.revision or self.purpose(number, key, happened_at).revision
        by = by or self.watcher(number, key, turn, revision)
        issue = self.asked(key).revision(revision)
        criteria = issue.criteria if issue else ()
        judged = {each: Judgement.NOT_MET if each in how.not_met else Judgement.MET for each in criteria}
        chance = self._chance(number, key, turn.moment)
        details = RunDetails(
            on=turn.on,
            shift=turn.shift,
            happened_at=happened_at,
            revision=revision,
            range_values=how.range_values,
            simulated=how.simulated,
        )
        observed = Observed(
            judged=judged,
            readings=paired_readings(
                self._readings_of(key[0], revision), chance, Readers(number, by, steady=how.steady)
            ),
            note=how.note or self._run_note(how, chance),
        )
        appended = record_run(
            on_task=on_task,
            supervisor=self.signer(by),
            details=details,
            observed=observed,
            now=entered_at or turn.moment,
        )
        self._forget(number, by)
        return appended.seq

    def assess(
        self,
        number: str,
        key: Key,
        moment: datetime,
        *,
        by: str = "",
        not_met: Iterable[int] = (),
        entered_at: datetime | None = None,
    ) -> Assessment:
        """Record an assessment, not yet competent when a criterion is not met, and return it."""
        happened_at = moment - WRITING_TIME
        purpose = self.purpose(number, key, happened_at)
        progress = self.rule(number).progress_toward(purpose, *key, happened_at)
        by = by or self.judge(number, key, happened_at, progress)
        missed = frozenset(not_met)
        chance = self._chance(number, key, moment)
        verdict = Verdict(
            outcome=Outcome.NOT_YET_COMPETENT if missed else Outcome.COMPETENT,
            revision=purpose.revision,
            observed=Observed(
                judged={each: Judgement.NOT_MET if each in missed else Judgement.MET for each in purpose.criteria},
                readings=paired_readings(
                    self._readings_of(key[0], purpose.revision), chance, Readers(number, by, steady=not missed)
                ),
            ),
            evidence=progress.counted,
            delta=purpose.kind is PurposeKind.DELTA,
            feedback=chance.choice(PRACTISE if missed else FEEDBACK),
            practise=chance.choice(PRACTISE) if missed else "",
        )
        appended = decisions.assess(
            on_task=self.on_task(number, key),
            assessor=self.signer(by),
            verdict=verdict,
            when=When(happened_at=happened_at, on=self.clock.day(happened_at), now=entered_at or moment),
        )
        self._forget(number, by)
        fact = self.fact(number, appended.seq)
        if not isinstance(fact, Assessment):
            raise TypeError(fact)
        return fact

    def sign_second(self, number: str, key: Key, assessment: Assessment, moment: datetime, *, by: str) -> None:
        """Sign an assessment a second time."""
        decisions.sign_second(
            assessment=assessment,
            trainee=self.people[number],
            task=self.tasks[key[0]],
            signer=self.signer(by),
            when=self.at(moment),
        )
        self._forget(number)

    def acknowledge(self, number: str, key: Key, revision: int, moment: datetime) -> None:
        """Record that a holder has read a revision."""
        decisions.acknowledge(
            holder=self.signer(number), task=self.tasks[key[0]], scope=key[1], revision=revision, when=self.at(moment)
        )
        self._forget(number)

    def recognise(self, number: str, key: Key, moment: datetime, evidence: OutsideEvidence) -> None:
        """Recognise what was learned elsewhere, or before the record was begun."""
        when = self.at(moment)
        assessor = self.signer(self.recogniser(number, key, when.on))
        decisions.recognise(on_task=self.on_task(number, key), assessor=assessor, evidence=evidence, when=when)
        self._forget(number)

    def check(self, number: str, calculation: str, turn: Turn, *, right: int = PROBLEMS, by: str) -> None:
        """Record a calculation check under supervision."""
        taken = CheckTaken(
            trainee=self.people[number],
            opened_by=self.signer(by),
            calculation=calculation,
            right=right,
            on=turn.on,
            opened_at=turn.moment - WRITING_TIME,
            finished_at=turn.moment,
            chance=Random(f"check {number} {calculation} {turn.moment.isoformat()}"),  # noqa: S311 - a made-up history
        )
        self.quizzes(turn.on).take_check(taken)
        self._forget(number)
        if right >= PASS_MARK:
            self.sums[number, calculation] = turn.on

    def quizzes(self, on: date) -> Quizzes:
        """Return how sums are done on a day: on paper until there were tablets."""
        return quizzes_in_use() if on >= self.tablets_from else OnPaper()

    def sums_due(self, number: str, key: Key, on: date) -> list[str]:
        """Return the calculations that the person has to pass (again) before an assessment on a day."""
        asked = self.asked(key).terms_on(on).calculations
        passed = {name: self.sums.get((number, name)) for name in asked}
        return [name for name, day in passed.items() if day is None or add_months(day, SUM_MONTHS) <= on]

    def opener(self, number: str, on: date) -> str:
        """Return who opens a check: somebody who teaches or judges, and is there."""
        able = [
            each
            for each, grants in self._rights.items()
            if each != number and self.is_here(each, on) and any(grant.kind in OPENS for grant in grants)
        ]
        chosen = min(able, key=lambda each: (self.crew(each) != self.crew(number), self.used[each, "check"], each))
        self.used[chosen, "check"] += 1
        return chosen

    def recogniser(self, number: str, key: Key, on: date) -> str:
        """Return who judges evidence of prior competence: an assessor of the area."""
        area = self.asked(key).area
        able = [
            each
            for each in self.people
            if each != number and self.is_here(each, on) and self.may(each, AuthorityKind.ASSESS, area, on)
        ]
        chosen = min(able, key=lambda each: (each in self.visitors, self.used[each, "recognise"], each))
        self.used[chosen, "recognise"] += 1
        return chosen

    def purpose(self, number: str, key: Key, moment: datetime) -> Purpose:
        """Return what an assessment at a moment would be, on the revision in force or the coming one being learned."""
        return self.rule(number).purpose_at(*key, moment)

    def watcher(self, number: str, key: Key, turn: Turn, revision: int) -> str:
        """Return who watches a run: somebody in force who knows the revision, of the same shift where there is one."""
        moment = self.judged_at(turn)
        found = self._first(
            (each for each in self.holders[key] if each != number and self.is_here(each, turn.on)),
            key=lambda each: (
                each in self.visitors,
                # Who judges is spared, since nobody judges a critical task after watching most of its runs.
                self.may(each, AuthorityKind.ASSESS, self.asked(key).area, turn.on),
                shift_on(self.crew(each), turn.on) != turn.shift,
                self.used[each, "watch"],
            ),
            fits=lambda each: self._knows(each, key, revision, moment),
        )
        if found is None:
            message = f"nobody may watch {number} at {key[0]}@{key[1]} on {turn.on}"
            raise NobodyError(message)
        self.used[found, "watch"] += 1
        return found

    def judged_at(self, turn: Turn) -> datetime:
        """Return the moment at which a run's people are looked at: the run's, but within the day its shift starts."""
        return min(turn.moment - WRITING_TIME, self.clock.midnight(turn.on + ONE_DAY) - AN_INSTANT)

    def short_of_runs(self, number: str, key: Key, moment: datetime) -> bool:
        """Whether more runs are wanted before an assessment: one made while a prerequisite was out does not count."""
        progress = self.rule(number).progress(*key, moment)
        shifts = progress.distinct_shifts < progress.distinct_shifts_needed
        return shifts or len(progress.counted) < progress.runs_needed

    def judge(self, number: str, key: Key, moment: datetime, progress: Progress) -> str:
        """Return who assesses: an assessor of the area in force on the task, who watched at most half of the runs.

        Nobody judges whom they live with or gain by (R2.2).
        """
        on, task = self.clock.day(moment), self.asked(key)
        most = len(progress.counted) / 2 if task.criticality.is_critical and progress.runs_needed else None
        found = self._first(
            (
                each
                for each in self.holders[key]
                if each != number and self.is_here(each, on) and self.may(each, AuthorityKind.ASSESS, task.area, on)
            ),
            key=lambda each: (each in self.visitors, self.used[each, "judge"]),
            fits=lambda each: (
                (most is None or progress.confirmed_by.get(self.people[each].pk, 0) <= most)
                and not in_conflict(self.rule(number), self.rule(each), on)
                and self._knows(each, key, progress.purpose.revision, moment)
            ),
        )
        if found is None:
            message = f"nobody may assess {number} at {key[0]}@{key[1]} on {on}"
            raise NobodyError(message)
        self.used[found, "judge"] += 1
        return found

    def second_signatories(self, number: str, key: Key, assessment: Assessment, on: date) -> list[str]:
        """Return who signs second: as few people as give every role that the task asks for."""
        roles, area = self.asked(key).criticality.second_roles, self.asked(key).area
        others = [
            each
            for each, person in self.people.items()
            if each != number and person.pk != assessment.by and self.is_here(each, on)
        ]
        signing: list[str] = []
        for role in sorted(roles):
            able = [each for each in others if self.may(each, SECOND_KIND[role], area, on)]
            if not able:
                message = f"nobody signs {key[0]} for {role} on {on}"
                raise NobodyError(message)
            chosen = min(able, key=lambda each: (each not in signing, self.used[each, "sign"], each))
            self.used[chosen, "sign"] += 1
            if chosen not in signing:
                signing.append(chosen)
        return signing

    def fact(self, number: str, seq: int) -> Fact:
        """Return the person's fact at a place in the ledger."""
        person = self.people[number].pk
        return next(fact for fact in reversed(facts_of_people([person])[person]) if fact.seq == seq)

    def at(self, moment: datetime) -> When:
        """Return a moment as an act that is written down at once."""
        happened_at = moment - WRITING_TIME
        return When(happened_at=happened_at, on=self.clock.day(happened_at), now=moment)

    def on_task(self, number: str, key: Key) -> OnTask:
        """Return a person at a task in a place."""
        return OnTask(person=self.people[number], task=self.tasks[key[0]], scope=key[1])

    def _forget(self, *numbers: str) -> None:
        for number in numbers:
            self._rules.pop(number, None)

    def _knows(self, number: str, key: Key, revision: int, moment: datetime) -> bool:
        rule = self.rule(number)
        standing = rule.timeline(*key).at(moment).standing
        return standing in TEACHING and rule.knows_revision(*key, revision, moment)

    def _readings_of(self, code: str, revision: int) -> Sequence[Reading]:
        found = self._readings.get((code, revision))
        if found is None:
            issue = TaskRevision.objects.get(task=self.tasks[code], number=revision)
            found = self._readings[code, revision] = list(issue.readings.order_by("number"))
        return found

    def _chance(self, number: str, key: Key, moment: datetime) -> Random:
        return Random(f"{number} {key[0]} {key[1]} {moment.isoformat()}")  # noqa: S311 - a made-up history

    @staticmethod
    def _run_note(how: How, chance: Random) -> str:
        return chance.choice(PRACTISE) if how.not_met else chance.choice(RUN_NOTES)

    @staticmethod
    def _first(
        candidates: Iterable[str], *, key: Callable[[str], tuple[int, ...]], fits: Callable[[str], bool]
    ) -> str | None:
        return next((each for each in sorted(candidates, key=lambda each: (*key(each), each)) if fits(each)), None)


def range_values(asked: Mapping[str, int], index: int) -> Iterator[tuple[str, str]]:
    """Yield the values that the run of this index shows, so that the runs together show enough different ones."""
    for name in asked:
        values = RANGE_VALUES[name]
        yield name, values[index % len(values)]
