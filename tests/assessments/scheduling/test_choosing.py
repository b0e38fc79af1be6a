"""What comes next and why: forgotten first, mixed across families, drawn by tasks ahead and late slips."""

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import pytest

from assessments.scheduling.choosing import Asked, Candidate, Moment, Reason, Why, choose, reason_for
from assessments.scheduling.progress import replayed
from assessments.vocabulary import Family, Verdict
from tests.assessments.scheduling.answers import answer, on_day, wrong

DUBLIN = ZoneInfo("Europe/Dublin")
NOW = Moment(on_day(20), DUBLIN)
LONG_AGO = [answer(0), answer(1)]
NOT_LONG_AGO = [answer(0), answer(1), answer(3), answer(14)]


def kind(code, family=Family.PACKAGING, answers=(), asked=None):
    return Candidate(code=code, family=family, progress=replayed(answers), asked=asked)


def chosen(*candidates, last_family=None, at=NOW):
    return choose(candidates, at=at, last_family=last_family)


def test_nothing_to_choose_from_is_no_choice():
    assert chosen() is None


def test_the_most_forgotten_of_what_is_due_comes_first():
    fresher, staler = kind("A", answers=[answer(10)]), kind("B", answers=[answer(0)])

    assert fresher.progress.memory.is_due(NOW.now)
    assert chosen(fresher, staler).candidate is staler


def test_what_is_due_comes_before_what_is_new_and_that_before_what_is_not_due():
    early, new, due = kind("A", answers=NOT_LONG_AGO), kind("B"), kind("C", answers=LONG_AGO)

    assert chosen(early, new, due).candidate is due
    assert chosen(early, new).candidate is new
    assert (chosen(early).candidate, chosen(early).is_early) == (early, True)


def test_what_a_task_ahead_asks_for_comes_before_other_new_kinds():
    assert chosen(kind("A"), kind("B", asked=Asked("FB-03"))).candidate.code == "B"


@pytest.mark.parametrize(
    ("sooner", "later"),
    [(date(2026, 11, 22), date(2026, 11, 25)), (date(2026, 11, 25), date(2026, 12, 5)), (date(2026, 11, 25), None)],
)
def test_the_soonest_task_weighs_most(sooner, later):
    first, second = (
        kind(code, answers=LONG_AGO, asked=Asked("FB-03", on)) for code, on in (("B", sooner), ("A", later))
    )

    assert chosen(second, first).candidate is first


def test_a_late_slip_weighs_and_an_old_one_does_not():
    plain = kind("A", answers=[answer(0)])
    lately, longer_ago = (
        replace(plain, code="B", progress=replace(plain.progress, wrong_at=on_day(day))) for day in (14, 12)
    )

    assert chosen(plain, lately).candidate is lately
    assert reason_for(lately, NOW).why is Why.WRONG
    assert chosen(plain, longer_ago).candidate is plain


def test_family_of_the_last_problem_waits_while_another_has_something_worth_practising():
    due, other_due = kind("A", answers=LONG_AGO), kind("B", Family.CLEANING, [answer(15)])
    other_new, other_early = kind("C", Family.YEAST), kind("D", Family.YEAST, NOT_LONG_AGO)

    assert chosen(due, other_due, last_family=Family.PACKAGING).candidate is other_due
    assert chosen(due, other_new, last_family=Family.PACKAGING).candidate is other_new
    assert chosen(due, other_early, last_family=Family.PACKAGING).candidate is due


def test_no_family_comes_twice_running_in_a_long_mixed_practice():
    families = (Family.PACKAGING, Family.PACKAGING, Family.PACKAGING, Family.CLEANING, Family.YEAST)
    answers = {f"{place}": [] for place in range(len(families))}
    last, seen = None, []
    for place in range(60):
        at = Moment(on_day(place), DUBLIN)
        candidates = [
            kind(code, family, given) for (code, given), family in zip(answers.items(), families, strict=True)
        ]
        choice = choose(candidates, at=at, last_family=last)
        worth = [each for each in candidates if each.progress is None or each.progress.memory.is_due(at.now)]
        if any(each.family is not last for each in worth):
            assert choice.candidate.family is not last
        last = choice.candidate.family
        seen.append(choice.candidate.code)
        answers[choice.candidate.code].append(answer(place))

    assert set(seen) == set(answers)


@pytest.mark.parametrize(
    ("candidate", "expected"),
    [
        (kind("A", asked=Asked("FB-03", date(2026, 11, 23))), Reason(Why.TASK, "FB-03", date(2026, 11, 23))),
        (
            kind("A", answers=[wrong(19, slip="hL as L")], asked=Asked("FB-03", date(2026, 11, 23))),
            Reason(Why.TASK, "FB-03", date(2026, 11, 23)),
        ),
        (
            kind("A", answers=[wrong(19, slip="hL as L")], asked=Asked("FB-03", date(2026, 11, 27))),
            Reason(Why.SLIP, "hL as L", date(2026, 11, 21)),
        ),
        (kind("A", answers=[answer(0, Verdict.OTHER)]), Reason(Why.NOT_RIGHT_YET)),
        (kind("A", answers=LONG_AGO, asked=Asked("FB-03")), Reason(Why.DUE, "", date(2026, 11, 3))),
        (kind("A", asked=Asked("FB-03")), Reason(Why.ON_THE_WAY, "FB-03")),
        (kind("A", asked=Asked("FB-03", date(2026, 12, 24))), Reason(Why.TASK, "FB-03", date(2026, 12, 24))),
        (kind("A"), Reason(Why.NEW)),
    ],
)
def test_reason_is_the_one_that_weighs_most(candidate, expected):
    assert reason_for(candidate, NOW) == expected


def test_early_practice_says_when_it_would_be_due():
    reason = reason_for(kind("A", answers=NOT_LONG_AGO), NOW)

    assert reason.why is Why.EARLY
    assert reason.on > NOW.today


@pytest.mark.parametrize("reason", [Reason(Why.TASK, "FB-03", date(2026, 11, 23)), Reason(Why.NEW)])
def test_reason_is_kept_and_read_back(reason):
    assert Reason.from_json(reason.as_json()) == reason


def test_day_is_told_in_the_zone_of_the_plant():
    late = Moment(on_day(0).replace(month=7, hour=23, minute=30), DUBLIN)

    assert late.today == date(2026, 7, 3)
