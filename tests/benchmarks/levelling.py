"""Renewals spread over weeks, beside what no plan can better and beside filling the emptiest week each time."""

import random

from competencies.standing.levelling import Renewal, busiest, level
from tests.benchmarks.figure import Figure

NAME = "levelling"
RENEWALS, ASSESSORS, WEEKS, WINDOW = 240, 8, 18, 8
SEED = 20261125
FREE_MINUTES = 240


def figures():
    """Return the busiest week beside the least that is proved for any plan, and beside the simple way's."""
    renewals = made(random.Random(SEED))
    free = {(assessor, week): FREE_MINUTES for assessor in range(ASSESSORS) for week in range(WEEKS)}
    found, simple = level(renewals, free), simply(renewals, free)
    name = f"busiest week of {len(found.placed)} of {RENEWALS} renewals"
    return [
        _figure(name, found.busiest_minutes, "the least that any plan has", found.least_minutes, goal=1.1),
        _figure(
            name, found.busiest_minutes, "the next to end into the emptiest week", busiest(renewals, simple), goal=1
        ),
    ]


def _figure(name, measured, baseline_name, baseline, *, goal):
    return Figure(name=name, unit="min", measured=measured, baseline_name=baseline_name, baseline=baseline, goal=goal)


def made(chance):
    """Return renewals with a window of some weeks, most of them in two seasons, and two to four entitled assessors."""
    teams = [frozenset(chance.sample(range(ASSESSORS), chance.choice((2, 3, 4)))) for _ in range(6)]
    renewals = []
    for key in range(RENEWALS):
        last = min(WEEKS - 1, max(0, round(chance.choice((chance.gauss(7, 1.5), chance.gauss(14, 2))))))
        weeks = range(max(0, last - WINDOW), last + 1)
        places = frozenset((assessor, week) for assessor in chance.choice(teams) for week in weeks)
        renewals.append(Renewal(key=key, minutes=chance.choice((60, 60, 90)), places=places, end=last))
    return renewals


def simply(renewals, free):
    """Put the renewals in the order in which they end, each where the week has least and there is time."""
    left, load, placed = dict(free), dict.fromkeys(range(WEEKS), 0), {}
    for each in sorted(renewals, key=lambda each: (each.end, each.key)):
        open_places = [place for place in each.places if left[place] >= each.minutes]
        if open_places:
            place = min(open_places, key=lambda place: (load[place[1]], -left[place], place))
            left[place] -= each.minutes
            load[place[1]] += each.minutes
            placed[each.key] = place
    return placed
