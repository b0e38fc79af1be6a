"""A small invented plant for the tests of the standing rule, and short ways to write its facts."""

from datetime import UTC, date, datetime, time
from itertools import count
from zoneinfo import ZoneInfo

from competencies.standing import facts as kinds
from competencies.standing.entitlement import AuthorityGrant
from competencies.standing.facts import SITE
from competencies.standing.framework import Frame, Policy, Revision, Shift, TaskFrame, Terms
from competencies.standing.live import known_at, known_frame
from competencies.standing.rule import PersonRule
from competencies.vocabulary import (
    AuthorityKind,
    ChangeClass,
    Criticality,
    Judgement,
    Outcome,
    ScopeKind,
    SecondRole,
)

ZONE = ZoneInfo("Europe/Dublin")
LONG_BEFORE = datetime(2000, 1, 1, tzinfo=UTC)
SHIFTS = {
    "day": Shift(name="day", starts=6 * 60, ends=14 * 60),
    "late": Shift(name="late", starts=14 * 60, ends=22 * 60),
    "night": Shift(name="night", starts=22 * 60, ends=6 * 60),
}
ANA, BEN, CHEN, IVO, NOOR, DARA, ELI, FAY, GUS, HANA = range(1, 11)
# The stories tell of lapses and revisions on their own: nobody in them logs every day's work, so recency is off
# unless a story says so.
NO_RECENCY = Policy(recency_days=None)


def d(text):
    """Return the date written as "2025-03-10"."""
    return date.fromisoformat(text)


def at(text):
    """Return the moment written as local time, "2025-03-10" (noon) or "2025-03-10 10:40"."""
    day, _, clock = text.partition(" ")
    wall = datetime.combine(d(day), time.fromisoformat(clock) if clock else time(12), ZONE)
    return wall.astimezone(UTC)


def terms(**changes):
    return Terms(**{"effective_on": date.min, "recorded_at": LONG_BEFORE, **changes})


def revision(number, effective, change="major", **changes):
    effective_on = d(effective)
    fields = {
        "number": number,
        "approved_on": effective_on,
        "effective_on": effective_on,
        "recorded_at": LONG_BEFORE,
        "change": ChangeClass(change),
        "criteria": (1, 2, 3, 4),
    }
    return Revision(**{**fields, **changes})


def task(code, critical="none", scope="site", *, revisions=None, held_at=(), **asked):
    return TaskFrame(
        code=code,
        area=code.partition("-")[0],
        scope_kind=ScopeKind(scope),
        criticality=Criticality(critical),
        terms=(terms(**asked),),
        revisions=tuple(revisions or [revision(1, "2001-01-01")]),
        held_at=held_at,
    )


def frame(*tasks, policy=NO_RECENCY, timezone="Europe/Dublin"):
    policies = policy if isinstance(policy, tuple) else (policy,)
    return Frame(tasks={each.code: each for each in tasks}, policies=policies, shifts=SHIFTS, timezone=timezone)


class Book:
    """Facts of several people in the order in which they are written; each returns its place."""

    def __init__(self, plant):
        self.plant = plant
        self.facts = []
        self._places = count(1)

    def write(self, kind, person, when, *, on=None, recorded=None, **fields):
        happened_at = at(when)
        fact = kind(
            seq=next(self._places),
            person=person,
            happened_at=happened_at,
            recorded_at=at(recorded) if recorded else happened_at,
            on=d(on) if on else d(when[:10]),
            **fields,
        )
        self.facts.append(fact)
        return fact.seq

    def run(self, person, code, when, *, by=ELI, scope=SITE, shift="day", revision=1, **fields):
        fields.setdefault("confirmed_at", at(when))
        return self.write(
            kinds.Run, person, when, task=code, scope=scope, by=by, shift=shift, revision=revision, **fields
        )

    def assess(self, person, code, when, *, by=ELI, scope=SITE, revision=1, outcome="competent", **fields):
        return self.write(
            kinds.Assessment,
            person,
            when,
            task=code,
            scope=scope,
            by=by,
            revision=revision,
            outcome=Outcome(outcome),
            **fields,
        )

    def sign(self, of, when, *, by=GUS, roles="safety food", **fields):
        target = next(fact for fact in self.facts if fact.seq == of)
        return self.write(
            kinds.SecondSignature,
            target.person,
            when,
            task=target.task,
            scope=target.scope,
            by=by,
            of=of,
            roles=frozenset(SecondRole(role) for role in roles.split()),
            **fields,
        )

    def sign_off(self, person, code, when, *, signed=None, **fields):
        place = self.assess(person, code, when, **fields)
        if self.plant.tasks[code].criticality.is_critical:
            self.sign(place, signed or when, by=FAY if GUS in {person, fields.get("by")} else GUS)
        return place

    def on(self, kind, person, code, when, *, scope=SITE, **fields):
        return self.write(kind, person, when, task=code, scope=scope, **fields)

    def of(self, kind, target, when, *, by=GUS, **fields):
        pointed = next(fact for fact in self.facts if fact.seq == target)
        return self.write(
            kind, pointed.person, when, task=pointed.task, scope=pointed.scope, by=by, of=target, **fields
        )

    def rule(self, person, known=None):
        if known is None:
            return PersonRule(person, self.facts, self.plant)
        moment = at(known)
        return PersonRule(person, known_at(self.facts, moment), known_frame(self.plant, moment))

    def period(self, person, code, when, *, scope=SITE, known=None):
        return self.rule(person, known).timeline(code, scope).at(at(when))

    def standing(self, person, code, when, **fields):
        return self.period(person, code, when, **fields).standing.value


def codes(reasons):
    return {each.code for each in reasons}


def told(reasons):
    """Return all that is said, each with its rule, its code and what the sentence needs: "R1.4 stopped"."""
    return {" ".join([each.rule, each.code, *map("=".join, each.params)]) for each in reasons}


def spoken(reasons):
    """Return the same in the order in which it is said, in one line."""
    return "; ".join(" ".join([each.rule, each.code, *map("=".join, each.params)]) for each in reasons)


def wall(moment):
    """Return a moment as the plant's day, with its minute where that is not midnight."""
    local = moment.astimezone(ZONE)
    return f"{local:%Y-%m-%d}" if local.time() == time(0) else f"{local:%Y-%m-%d %H:%M}"


def tale(timeline, first, last):
    """Return the periods that touch two days and those between, a line each: what is said from when on.

    From, standing (with a star where it counts) | reasons | way back | entries it rests on | moment of the gain.
    """
    lines = []
    for period in timeline.between(at(f"{first} 00:00"), at(f"{last} 23:59")):
        steps = [
            step.action
            + (f" x{step.count}" if step.count > 1 else "")
            + ("" if step.task == timeline.task else f" {step.task}")
            + ("" if step.scope == timeline.scope else f" at {step.scope}")
            for step in period.way_back
        ]
        parts = (
            f"{wall(period.start) if period.start else 'always'} {period.standing}{'*' if period.counts else ''}",
            spoken(period.reasons),
            ", ".join(steps),
            " ".join(map(str, period.rests_on)),
            wall(period.gained_at) if period.gained_at else "",
        )
        lines.append(" | ".join(parts).rstrip(" |"))
    return lines


def judged(met=(), not_met=(), not_seen=()):
    return {
        **dict.fromkeys(met, Judgement.MET),
        **dict.fromkeys(not_met, Judgement.NOT_MET),
        **dict.fromkeys(not_seen, Judgement.NOT_SEEN),
    }


def grant(kind, area=None, start="2020-01-01", end=None):
    return AuthorityGrant(kind=AuthorityKind(kind), area=area, from_on=d(start), until_on=d(end) if end else None)
