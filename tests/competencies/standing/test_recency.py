"""Use keeps a sign-off fresh (R3.5, R3.6), told on the days on which it turns.

Worked by hand: 180 days after 2025-03-10 is 2025-09-06, 90 days after it 2025-06-08; those days still count.
"""

import pytest

from competencies.standing.facts import SITE, Absence, Performance, Scope
from competencies.standing.framework import Policy
from tests.competencies.standing.plant import (
    ANA,
    DARA,
    ELI,
    NO_RECENCY,
    Book,
    d,
    frame,
    judged,
    tale,
    task,
)

NOT_YET = {"outcome": "not_yet_competent", "judged": judged(not_met=(1,))}


def held(critical="none", policy=None, **asked):
    """Return a book in which Ana holds a task without an end since 2025-03-10 12:00."""
    book = Book(frame(task("T-01", critical, **asked), policy=policy or Policy()))
    book.sign_off(ANA, "T-01", "2025-03-10")
    return book


def told_of(book, first, last, code="T-01", scope=SITE):
    return tale(book.rule(ANA).timeline(code, scope), first, last)


def stale_from(book, first="2025-03-11", last="2027-12-31"):
    """Return the days on which a stale stretch begins."""
    return [line.split()[0] for line in told_of(book, first, last) if line.split()[1] == "stale"]


@pytest.mark.parametrize(
    ("critical", "stale"),
    [
        ("none", "2025-09-07 stale | R3.5 stale last=2025-03-10 | run | 1"),
        ("food", "2025-06-09 stale | R3.5 stale last=2025-03-10 | run | 1 2"),
    ],
)
def test_r3_5_stale_after_day_180_or_90_until_one_observed_run(critical, stale):
    book = held(critical)
    book.run(ANA, "T-01", "2025-10-01 10:00")
    entries = stale.rpartition("| ")[2]

    assert told_of(book, "2025-03-10", "2025-12-01") == [
        f"2025-03-10 in_force* |  |  | {entries} | 2025-03-10 12:00",
        stale,
        f"2025-10-01 in_force* |  |  | {entries} | 2025-10-01 10:00",
    ]


@pytest.mark.parametrize(
    ("written", "stale"),
    [
        ("log", "2025-12-29"),
        ("run", "2025-12-29"),
        ("not confirmed", "2025-12-29"),
        ("stopped", "2025-09-07"),
        ("drill", "2025-09-07"),
        ("not yet", "2025-12-29"),
    ],
)
def test_r3_5_what_counts_as_a_performance(written, stale):
    book = held()
    when = "2025-07-01"
    if written == "log":
        book.on(Performance, ANA, "T-01", when)
    elif written == "not yet":
        book.assess(ANA, "T-01", when, **NOT_YET)
    else:
        told = {"not confirmed": {"confirmed_at": None}, "stopped": {"stopped": True}, "drill": {"simulated": True}}
        book.run(ANA, "T-01", when, **told.get(written, {}))

    found = [line.split()[0] for line in told_of(book, "2025-03-11", "2027-12-31") if "R3.5 stale" in line]

    assert found[0] == stale


def test_r3_5_drills_count_up_to_their_maximum_and_a_stopped_one_is_none():
    one, two = held(simulated_max=1), held(simulated_max=1)
    one.run(ANA, "T-01", "2025-05-01", simulated=True)
    two.run(ANA, "T-01", "2025-05-01", simulated=True)
    two.run(ANA, "T-01", "2025-06-01", simulated=True)

    assert stale_from(one) == ["2025-10-29"]
    assert stale_from(two) == ["2025-10-29"]


def test_r3_5_a_stopped_run_hides_no_later_one():
    book = held()
    book.run(ANA, "T-01", "2025-05-01", stopped=True)
    book.run(ANA, "T-01", "2025-07-01")

    assert stale_from(book) == ["2025-12-29"]


def test_r3_5_of_two_observed_on_one_day_the_first_ends_it():
    book = held()
    book.assess(ANA, "T-01", "2025-10-05 09:00")
    book.run(ANA, "T-01", "2025-10-05 15:00")

    assert told_of(book, "2025-10-05", "2025-10-05") == ["2025-10-05 in_force* |  |  | 2 | 2025-10-05 09:00"]


def test_r3_5_a_performance_before_the_sign_off_does_not_make_it_older_and_one_of_its_day_counts():
    book = Book(frame(task("T-01"), policy=Policy()))
    book.on(Performance, ANA, "T-01", "2024-01-01")
    book.sign_off(ANA, "T-01", "2025-03-10")

    assert stale_from(book) == ["2025-09-07"]


def test_r3_5_a_log_of_the_first_stale_day_comes_too_late():
    book = held()
    book.on(Performance, ANA, "T-01", "2025-09-07 00:00")

    assert stale_from(book) == ["2025-09-07"]


def test_r3_5_own_log_ends_no_staleness_and_an_unconfirmed_run_neither():
    book = held()
    book.on(Performance, ANA, "T-01", "2025-10-01")
    book.run(ANA, "T-01", "2025-10-02", confirmed_at=None)
    book.run(ANA, "T-01", "2025-10-03")

    assert told_of(book, "2025-10-01", "2025-12-01") == [
        "2025-09-07 stale | R3.5 stale last=2025-03-10 | run | 1",
        "2025-10-03 in_force* |  |  | 1 | 2025-10-03 12:00",
    ]


@pytest.mark.parametrize(
    ("assessed", "end"),
    [("competent", "2025-10-05 in_force*"), ("not_yet_competent", None)],
)
def test_r3_5_a_pass_ends_staleness_and_a_not_yet_competent_does_not(assessed, end):
    book = held()
    book.assess(ANA, "T-01", "2025-10-05", outcome=assessed, judged=judged(not_met=(1,)) if end is None else {})

    starts = [line.partition(" |")[0] for line in told_of(book, "2025-09-07", "2025-10-06")]

    assert starts[0] == "2025-09-07 stale"
    assert (end in starts) if end else all("in_force" not in line for line in starts)


def test_r3_5_an_assessment_that_waits_for_its_signature_was_observed():
    book = held("food")
    book.assess(ANA, "T-01", "2025-06-20")

    assert [line.partition(" |")[0] for line in told_of(book, "2025-06-09", "2025-06-21")] == [
        "2025-06-09 stale",
        "2025-06-20 in_force*",
    ]


def test_r3_5_stale_again_counts_from_the_newest_performance():
    book = held()
    book.on(Performance, ANA, "T-01", "2025-04-01")
    book.run(ANA, "T-01", "2025-10-01")

    assert [line for line in told_of(book, "2025-04-01", "2027-01-01") if "stale" in line] == [
        "2025-09-29 stale | R3.5 stale last=2025-04-01 | run | 1",
        "2026-03-31 stale | R3.5 stale last=2025-10-01 | run | 1",
    ]


@pytest.mark.parametrize(
    ("own", "stale"),
    [(30, ["2025-04-10"]), (None, ["2025-09-07"])],
)
def test_r3_5_a_task_may_have_its_own_days(own, stale):
    assert stale_from(held(recency_days=own)) == stale


def test_r3_5_own_days_of_a_task_say_nothing_where_the_plant_asks_no_recency():
    assert stale_from(held(recency_days=30, policy=NO_RECENCY)) == []


def test_r3_5_a_task_never_held_is_never_stale():
    book = Book(frame(task("T-01"), policy=Policy()))
    book.run(ANA, "T-01", "2024-01-01")

    assert stale_from(book, "2024-01-01") == []


def refreshing(*, scope="site"):
    plant = frame(
        task("S-01", "none", scope), task("T-01", "none", scope, refreshes=("S-01",)), task("T-02"), policy=Policy()
    )
    return Book(plant)


@pytest.mark.parametrize(
    ("write", "stale"),
    [
        ("log", "2025-12-29"),
        ("run", "2025-12-29"),
        ("stopped", "2025-09-07"),
        ("assessed", "2025-12-29"),
        ("other task", "2025-09-07"),
    ],
)
def test_r3_5_a_task_that_refreshes_another_counts_for_it_as_a_log_does(write, stale):
    book = refreshing()
    book.sign_off(ANA, "S-01", "2025-03-10")
    if write == "log":
        book.on(Performance, ANA, "T-01", "2025-07-02")
    elif write == "assessed":
        book.assess(ANA, "T-01", "2025-07-02", **NOT_YET)
    elif write == "other task":
        book.on(Performance, ANA, "T-02", "2025-07-02")
    else:
        book.run(ANA, "T-01", "2025-07-02", stopped=write == "stopped")

    found = [line.split()[0] for line in told_of(book, "2025-04-01", "2026-06-01", "S-01") if " stale " in line]

    assert found == [stale if stale == "2025-09-07" else "2025-12-30"]


def test_r3_5_a_task_refreshes_another_in_its_own_place_only():
    here, there = Scope("L1"), Scope("L2")
    book = refreshing(scope="line")
    for scope in (here, there):
        book.sign_off(ANA, "S-01", "2025-03-10", scope=scope)
    book.on(Performance, ANA, "T-01", "2025-07-02", scope=here)

    stale = {
        scope.line: [
            line.split()[0] for line in told_of(book, "2025-04-01", "2026-06-01", "S-01", scope) if " stale " in line
        ]
        for scope in (here, there)
    }

    assert stale == {"L1": ["2025-12-30"], "L2": ["2025-09-07"]}


def test_r3_5_a_line_task_refreshes_the_machines_of_its_line():
    here, there = Scope("L1", "F1"), Scope("L2", "F3")
    plant = frame(task("S-01", "none", "machine"), task("T-01", "none", "line", refreshes=("S-01",)), policy=Policy())
    book = Book(plant)
    for scope in (here, there):
        book.sign_off(ANA, "S-01", "2025-03-10", scope=scope)
    book.on(Performance, ANA, "T-01", "2025-07-02", scope=Scope("L1"))

    stale = [
        [line.split()[0] for line in told_of(book, "2025-04-01", "2026-06-01", "S-01", scope) if " stale " in line]
        for scope in (here, there)
    ]

    # 180 days after 2025-07-02 is 2025-12-29.
    assert stale == [["2025-12-30"], ["2025-09-07"]]


# -- long absence ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("back", "stale"),
    [
        ("2025-06-08", []),
        ("2025-06-09", ["2025-06-09 stale | R3.6 stale last=2025-03-10 | run | 1 2"]),
        (None, ["2025-06-09 stale | R3.6 stale last=2025-03-10 | run | 1 2"]),
    ],
    ids=["89 days away", "90 days away", "still away"],
)
def test_r3_6_ninety_whole_days_between_last_worked_and_first_back(back, stale):
    book = Book(frame(task("T-01", "food"), policy=NO_RECENCY))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.write(Absence, ANA, "2025-03-10", back_on=d(back) if back else None)

    assert [line for line in told_of(book, "2025-03-10", "2026-12-31") if "stale" in line] == stale


def test_r3_6_only_an_observed_run_after_coming_back_ends_it():
    book = Book(frame(task("T-01", "food"), policy=NO_RECENCY))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.write(Absence, ANA, "2025-03-10", back_on=d("2025-07-01"))
    book.run(ANA, "T-01", "2025-06-20", by=ELI)
    book.on(Performance, ANA, "T-01", "2025-07-01")
    book.run(ANA, "T-01", "2025-07-02 09:00", by=DARA)

    assert told_of(book, "2025-06-20", "2025-12-31") == [
        "2025-06-09 stale | R3.6 stale last=2025-03-10 | run | 1 2",
        "2025-07-02 in_force* |  |  | 1 2 | 2025-07-02 09:00",
    ]


def test_r3_6_a_run_on_the_first_day_back_ends_it_and_a_short_absence_before_hides_no_long_one():
    book = Book(frame(task("T-01", "food"), policy=NO_RECENCY))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.write(Absence, ANA, "2025-02-01", back_on=d("2025-02-20"))
    book.write(Absence, ANA, "2025-03-10", back_on=d("2025-07-01"))
    book.run(ANA, "T-01", "2025-07-01 09:00")

    assert told_of(book, "2025-06-09", "2025-12-31") == [
        "2025-06-09 stale | R3.6 stale last=2025-03-10 | run | 1 2",
        "2025-07-01 in_force* |  |  | 1 2 | 2025-07-01 09:00",
    ]


def test_r3_6_somebody_still_away_is_brought_back_by_no_run_before_day_90():
    book = Book(frame(task("T-01", "food"), policy=NO_RECENCY))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.write(Absence, ANA, "2025-03-10", back_on=None)
    book.run(ANA, "T-01", "2025-06-08")

    assert told_of(book, "2025-06-09", "2025-12-31") == ["2025-06-09 stale | R3.6 stale last=2025-03-10 | run | 1 2"]


def test_r3_6_is_for_critical_tasks():
    book = Book(frame(task("T-01"), policy=NO_RECENCY))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.write(Absence, ANA, "2025-03-10", back_on=d("2025-12-01"))

    assert stale_from(book, "2025-03-10") == []
