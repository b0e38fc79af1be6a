"""How people come to be signed off and stay so: founders, newcomers, renewals, changed procedures."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from graphlib import TopologicalSorter
from random import Random

from competencies.demo.floor import WRITING_TIME, Floor, How, range_values
from competencies.demo.posts import Key
from competencies.demo.quizzes import PASS_MARK, PROBLEMS
from competencies.demo.rota import DAY, LATE, NIGHT, Turn, turn
from competencies.demo.scheduling import Course, CourseOverError, Schedule
from competencies.demo.sentences import OLD_RECORD
from competencies.operations.decisions import OutsideEvidence
from competencies.standing.calendar import ONE_DAY, add_months, days_after
from competencies.standing.facts import Assessment

ANY_SHIFT = (DAY, LATE, NIGHT)
NO_NIGHTS = (DAY, LATE)
# Nobody's induction to the site is taken from an older record.
INDUCTION = "HS-01"
# A founder shows so many tasks on one working day.
TASKS_A_DAY = 4
# In the first half of the runs a criterion is missed so often, and so often the first try at the sums falls short.
EARLY_SLIPS, FIRST_CHECK_SLIPS = 0.6, 0.25
WORKDAY_BEGINS = 5 * 60
RENEWED_DAYS_BEFORE = (6, 52)
SIGNED_DAYS_AFTER = (0, 4)
YEARLY = 12
SIGNED_BY_THEN = timedelta(days=15)


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """What a newcomer is to learn: with how many runs (None: as asked), whether a first try falls short, how far.

    `until` is "runs" (no more than those), "ready" (the sums passed too), "assessed" (before the second signature) or
    "signed".
    """

    key: Key
    runs: int | None = None
    fails_first: bool = False
    until: str = "signed"
    days_between: tuple[int, int] = (1, 5)
    revision: int | None = None


@dataclass(slots=True)
class School:
    """The floor, its schedule, what is left to lapse, and the last days of certificates brought from elsewhere."""

    floor: Floor
    schedule: Schedule
    neglected: set[tuple[str, Key]] = field(default_factory=set)
    certificates: dict[tuple[str, Key], date] = field(default_factory=dict)

    def turn(self, number: str, day: date, chance: Random) -> Turn:
        """Return a moment in the person's next shift from a day on, after the act that goes on.

        Raises CourseOverError when the person has left by then.
        """
        person = self.floor.people[number]
        shifts = NO_NIGHTS if person.restricted_until else ANY_SHIFT
        while person.last_day is None or day <= person.last_day:
            found = turn(self.floor.clock, self.floor.crew(number), day, chance, wanted=shifts)
            if found.moment > self.schedule.now + WRITING_TIME and self.floor.is_here(number, found.on):
                return found
            day = found.on + ONE_DAY
        raise CourseOverError(number)

    def in_order(self, keys: Iterable[Key]) -> list[Key]:
        """Return the keys with prerequisites first."""
        wanted = list(keys)
        codes = {code for code, _ in wanted}
        graph = {key[0]: set(self.floor.asked(key).terms[-1].prerequisites) & codes for key in wanted}
        order = {code: place for place, code in enumerate(TopologicalSorter(graph).static_order())}
        return sorted(wanted, key=lambda key: order[key[0]])

    def found(self, number: str, keys: Iterable[Key], start: date) -> Course:
        """Sign off a founder on what was done before the record was begun: evidence, one run, an assessment each."""
        chance = Random(f"founder {number}")  # noqa: S311 - a made-up history
        yield self.floor.clock.moment(start, WORKDAY_BEGINS)
        waiting, day = self.in_order(keys), start
        while waiting:
            now = self.turn(number, day, chance)
            yield now.moment
            moment = self.floor.judged_at(now)
            batch = [key for key in waiting if not self.floor.lacks(number, key, moment)][:TASKS_A_DAY]
            for key in batch:
                yield from self._show(number, key, now, chance)
            day = now.on + ONE_DAY
            if not batch:
                continue
            later = self.turn(number, day, chance)
            yield later.moment
            for key in batch:
                yield from self._judge(number, key, chance)
            waiting = [key for key in waiting if key not in batch]
            day = later.on + ONE_DAY

    def learn(self, number: str, goals: Iterable[Goal], start: date) -> Course:
        """Let a newcomer learn one task after the other."""
        chance = Random(f"newcomer {number} {start}")  # noqa: S311 - a made-up history
        yield self.floor.clock.moment(start, WORKDAY_BEGINS)
        day = start
        for goal in goals:
            while self.floor.lacks(number, goal.key, self.schedule.now):
                now = self.turn(number, day, chance)
                yield now.moment
                day = now.on + ONE_DAY
            yield from self._practise(number, goal, day, chance)
            day = self.floor.clock.day(self.schedule.now) + ONE_DAY
            if goal.until in {"assessed", "signed"}:
                yield from self._be_judged(number, goal, chance)
                day = self.floor.clock.day(self.schedule.now) + ONE_DAY

    def _practise(self, number: str, goal: Goal, day: date, chance: Random) -> Course:
        floor, key = self.floor, goal.key
        asked = floor.purpose(number, key, self.schedule.now)
        runs = asked.runs if goal.runs is None else goal.runs
        criteria = asked.criteria or (1,)
        index = 0
        while index < runs or (goal.until != "runs" and floor.short_of_runs(number, key, self.schedule.now)):
            now = self.turn(number, day, chance)
            yield now.moment
            slips = index < runs / 2 and chance.random() < EARLY_SLIPS
            values = dict(range_values(asked.ranges, index))
            not_met = frozenset({chance.choice(criteria)}) if slips else frozenset[int]()
            how = How(not_met=not_met, steady=index >= runs / 2, range_values=values, revision=goal.revision)
            floor.run(number, key, now, how)
            day = now.on + chance.randint(*goal.days_between) * ONE_DAY
            index += 1
        if goal.until != "runs":
            yield from self._pass_sums(number, key, now, chance, slips=FIRST_CHECK_SLIPS)

    def _be_judged(self, number: str, goal: Goal, chance: Random) -> Course:
        floor, key = self.floor, goal.key
        if goal.fails_first:
            now = self.turn(number, self._tomorrow(), chance)
            yield now.moment
            criteria = floor.purpose(number, key, now.moment).criteria
            floor.assess(number, key, now.moment, not_met=criteria[-1:])
            again = self.turn(number, now.on + 2 * ONE_DAY, chance)
            yield again.moment
            floor.run(number, key, again)
        now = self.turn(number, self._tomorrow(), chance)
        yield now.moment
        yield from self._judge(number, key, chance, is_signed=goal.until == "signed")

    def keep_up(self, number: str, key: Key) -> Course:
        """Renew a sign-off inside its window, again and again."""
        chance = Random(f"renewal {number} {key[0]} {key[1]}")  # noqa: S311 - a made-up history
        while (number, key) not in self.neglected:
            last = self.floor.rule(number).timeline(*key).at(self.schedule.now).last_valid_on
            if last is None:
                return
            now = self.turn(number, days_after(last, -chance.randint(*RENEWED_DAYS_BEFORE)), chance)
            yield now.moment
            if now.on > last or (number, key) in self.neglected or self.floor.lacks(number, key, now.moment):
                return
            yield from self._pass_sums(number, key, now, chance)
            yield self._minutes_on(chance)
            yield from self._judge(number, key, chance, is_renewal=True)
            yield self.schedule.now + SIGNED_BY_THEN

    def relearn(self, number: str, key: Key, revision: int, day: date, *, watched_by: str = "") -> Course:
        """Do the delta of a major revision: a run on the new issue, the touched criteria judged, the signatures."""
        chance = Random(f"delta {number} {key[0]} {key[1]}")  # noqa: S311 - a made-up history
        now = self.turn(number, day, chance)
        yield now.moment
        self.floor.run(number, key, now, How(revision=revision), by=watched_by)
        yield from self._pass_sums(number, key, now, chance)
        later = self.turn(number, now.on + ONE_DAY, chance)
        yield later.moment
        yield from self._judge(number, key, chance, is_renewal=True)

    def pass_check(self, number: str, key: Key, day: date) -> Course:
        """Pass a check that is owed: everything is judged once more, with the task's signatures (R3.7)."""
        chance = Random(f"check owed {number} {key[0]} {key[1]}")  # noqa: S311 - a made-up history
        now = self.turn(number, day, chance)
        yield now.moment
        yield from self._pass_sums(number, key, now, chance)
        yield from self._judge(number, key, chance, is_renewal=True)

    def read(self, number: str, key: Key, revision: int, day: date) -> Course:
        """Read and acknowledge a revision."""
        now = self.turn(number, day, Random(f"reading {number} {key[0]}"))  # noqa: S311 - a made-up history
        yield now.moment
        self.floor.acknowledge(number, key, revision, now.moment)

    def _show(self, number: str, key: Key, now: Turn, chance: Random) -> Course:
        """Recognise the old record where that saves runs, do what runs are left, and pass the sums."""
        floor = self.floor
        yield self._minutes_on(chance)
        if floor.purpose(number, key, self.schedule.now).runs > 1 and key[0] != INDUCTION:
            floor.recognise(number, key, self.schedule.now, self._old_evidence(number, key, chance))
        asked = floor.purpose(number, key, self.schedule.now + WRITING_TIME)
        yield from self._pass_sums(number, key, now, chance)
        for index in range(asked.runs):
            if index:
                now = self.turn(number, now.on + ONE_DAY, chance)
                yield now.moment
            else:
                yield self._minutes_on(chance)
            values = dict(range_values(asked.ranges, index))
            floor.run(number, key, Turn(now.on, now.shift, self.schedule.now), How(range_values=values))

    def _old_evidence(self, number: str, key: Key, chance: Random) -> OutsideEvidence:
        """Return what the old record shows: when it was signed, and for a yearly task the day it was good until."""
        signed_on = days_after(self._today(), -chance.randint(20, 250))
        ends_on = self.certificates.get((number, key))
        if ends_on is None and self.floor.asked(key).terms[-1].validity_months == YEARLY:
            ends_on = add_months(signed_on, YEARLY)
        return OutsideEvidence(evidence_on=signed_on, evidence_ends_on=ends_on, note=OLD_RECORD)

    def _pass_sums(self, number: str, key: Key, now: Turn, chance: Random, *, slips: float = 0.0) -> Course:
        """Take the checks that are due; one in so many is not passed the first time."""
        floor = self.floor
        for calculation in floor.sums_due(number, key, now.on):
            opener = floor.opener(number, now.on)
            if chance.random() < slips:
                yield self._minutes_on(chance)
                at = Turn(now.on, now.shift, self.schedule.now)
                floor.check(number, calculation, at, right=chance.randrange(1, PASS_MARK), by=opener)
            yield self._minutes_on(chance)
            at = Turn(now.on, now.shift, self.schedule.now)
            floor.check(number, calculation, at, right=chance.randint(PASS_MARK, PROBLEMS), by=opener)

    def _judge(
        self, number: str, key: Key, chance: Random, *, is_renewal: bool = False, is_signed: bool = True
    ) -> Course:
        """Be assessed, and leave the rest to those who sign."""
        yield self._minutes_on(chance)
        assessment = self.floor.assess(number, key, self.schedule.now)
        if self.floor.asked(key).criticality.is_critical:
            if is_signed:
                self.schedule.start(self._sign(number, key, assessment, chance, is_renewal=is_renewal))
        elif not is_renewal:
            self._enter(number, key)

    def _sign(self, number: str, key: Key, assessment: Assessment, chance: Random, *, is_renewal: bool) -> Course:
        floor, day = self.floor, days_after(assessment.on, chance.randint(*SIGNED_DAYS_AFTER))
        for signatory in floor.second_signatories(number, key, assessment, day):
            now = self.turn(signatory, day, chance)
            yield now.moment
            floor.sign_second(number, key, assessment, now.moment, by=signatory)
        if not is_renewal:
            self._enter(number, key)

    def _enter(self, number: str, key: Key) -> None:
        """Let a new holder teach, and be renewed in time."""
        if number not in self.floor.holders[key]:
            self.floor.holders[key].append(number)
            self.schedule.start(self.keep_up(number, key))

    def _minutes_on(self, chance: Random) -> datetime:
        return self.schedule.now + timedelta(minutes=chance.randrange(7, 15))

    def _today(self) -> date:
        return self.floor.clock.day(self.schedule.now)

    def _tomorrow(self) -> date:
        return self._today() + ONE_DAY
