"""The simulated cohorts: the same from the same seed, better by the chooser under every law, and told by a command."""

import io
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from random import Random

import pytest
from django.core.management import CommandError, call_command

from assessments.calculations import calculations
from assessments.management.commands.cohort import _some_of_every_family
from assessments.scheduling.cohort import GOAL, HOLD, Chooser, Uniform, cohort, practised
from assessments.scheduling.learners import FIRST_TRY, LAWS
from assessments.vocabulary import Family

KINDS = {code: kind.family for code, kind in list(calculations().items())[:12]}
START = datetime(2026, 1, 5, tzinfo=UTC)


@pytest.mark.parametrize("law", LAWS)
def test_chooser_needs_fewer_problems_than_chance_whatever_law_memory_follows(law):
    compared = cohort(law, KINDS, learners=8, seed=4)

    assert compared.ratio < 1
    assert compared.unreached == 0


def test_same_seed_gives_the_same_cohort_and_another_seed_another():
    first, again, other = (cohort("power", KINDS, learners=2, seed=seed) for seed in (1, 1, 2))

    assert first == again
    assert first != other


@pytest.mark.parametrize("law", LAWS)
def test_learner_forgets_with_time_and_keeps_more_after_more_successes(law):
    learner = LAWS[law](Random("learner"))
    once, later = START, START + timedelta(days=2)

    assert learner.recall("A", once) == FIRST_TRY
    learner.learn("A", once, is_right=True)
    short = learner.recall("A", once + HOLD)
    learner.learn("A", later, is_right=True)

    assert 0 < short < learner.recall("A", later + HOLD) < learner.recall("A", later + timedelta(days=1)) < 1


@pytest.mark.parametrize("law", ["exponential", "unspaced"])
def test_other_laws_forget_by_a_fixed_share_a_day_and_the_power_law_does_not(law):
    shares = {}
    for name in ("power", law):
        learner = LAWS[name](Random("learner"))
        learner.learn("A", START, is_right=True)
        recalls = [learner.recall("A", START + timedelta(days=day)) for day in (0, 1, 2, 3)]
        shares[name] = [after / before for before, after in pairwise(recalls)]

    assert shares[law] == pytest.approx([shares[law][0]] * 3)
    assert shares["power"][0] < shares["power"][1] < shares["power"][2]


def test_success_just_after_another_teaches_nothing_where_spacing_counts():
    learner = LAWS["exponential"](Random("learner"))
    learner.learn("A", START, is_right=True)
    before = learner.recall("A", START + HOLD)

    for _ in range(5):
        learner.learn("A", START, is_right=True)

    assert learner.recall("A", START + HOLD) == pytest.approx(before)


def test_learner_who_got_there_holds_the_goal_a_month_later():
    learner = LAWS["power"](Random("learner"))
    reached = practised(learner, Chooser(KINDS), KINDS, Random("marks"))
    last = START + timedelta(days=reached.days)

    assert reached.is_there
    recalls = [learner.recall(code, last + HOLD) for code in KINDS]
    assert sum(recalls) / len(recalls) == pytest.approx(GOAL, abs=0.01)


def test_chance_asks_every_kind():
    asker = Uniform(KINDS, Random("kinds"))

    assert {asker.ask(START) for _ in range(400)} == set(KINDS)


def test_command_takes_kinds_of_every_family():
    assert len(set(_some_of_every_family(len(Family)).values())) == len(Family)


def test_command_prints_a_line_for_each_law():
    out = io.StringIO()

    call_command("cohort", kinds=15, learners=1, cohorts=2, seed=3, stdout=out)

    lines = out.getvalue().splitlines()
    assert [line.split()[0] for line in lines[-3:]] == list(LAWS)
    assert lines[0].startswith("15 kinds, 1 learners in a cohort, 2 cohorts from seed 3")


@pytest.mark.parametrize("sizes", [{"learners": 0}, {"cohorts": 100_000}, {"kinds": -1}])
def test_command_refuses_sizes_that_make_no_sense(sizes):
    with pytest.raises(CommandError, match="between 1 and"):
        call_command("cohort", **sizes)
