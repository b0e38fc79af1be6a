"""R5.1 and R2.3: what is asked after a not yet competent, worked by hand from the rules (plant policy, no source)."""

import pytest

from competencies.standing.facts import SITE
from competencies.standing.refusals import AuthorityGrant, refuse_assessment
from competencies.vocabulary import AuthorityKind
from tests.competencies.standing.plant import ANA, DARA, ELI, Book, at, d, frame, judged, revision, task, told

ASSESSES = (AuthorityGrant(kind=AuthorityKind.ASSESS, area=None, from_on=d("2020-01-01"), until_on=None),)
NOT_YET = {"by": ELI, "outcome": "not_yet_competent"}


def learner(*tries, revisions=None, critical_criteria=frozenset({1})):
    """Return a book in which Ana was found not yet competent on some days, with a run before and after each."""
    issues = revisions or [revision(1, "2001-01-01", critical_criteria=critical_criteria)]
    book = Book(frame(task("T-01", validity_months=12, runs=1, revisions=issues)))
    book.sign_off(DARA, "T-01", "2025-01-10")
    book.run(ANA, "T-01", "2025-03-01")
    for day, number, judgements in tries:
        book.assess(ANA, "T-01", day, revision=number, judged=judgements, **NOT_YET)
        book.run(ANA, "T-01", f"{day} 15:00", revision=number)
    return book


def asked(book, day, **fields):
    return book.rule(ANA).purpose_at("T-01", SITE, at(day), **fields).criteria


FOUR_MISSED = judged(met=(1, 2, 3), not_met=(4,))


@pytest.mark.parametrize(
    ("tries", "day", "expected"),
    [
        pytest.param([("2025-11-03", 1, FOUR_MISSED)], "2025-12-03", (1, 4), id="day 30: the unmet and the critical"),
        pytest.param([("2025-11-03", 1, FOUR_MISSED)], "2025-12-04", (1, 2, 3, 4), id="day 31: all"),
        pytest.param(
            [("2025-11-03", 1, judged(met=(1, 2), not_met=(3,), not_seen=(4,)))],
            "2025-11-10",
            (1, 3, 4),
            id="not seen is not met yet",
        ),
        pytest.param(
            [("2025-11-03", 1, judged(met=(1, 2), not_met=(3,)))], "2025-11-10", (1, 3, 4), id="nor is not judged"
        ),
        pytest.param([("2025-11-03", 1, {})], "2025-11-10", (1, 2, 3, 4), id="nothing judged: all"),
        pytest.param(
            [
                ("2025-11-03", 1, judged(met=(1, 2), not_met=(3, 4))),
                ("2025-11-10", 1, judged(met=(1, 4), not_met=(3,))),
            ],
            "2025-11-20",
            (1, 3),
            id="what an earlier try has shown stays shown",
        ),
        pytest.param(
            [("2025-11-03", 1, FOUR_MISSED), ("2025-11-10", 1, judged(met=(1, 4), not_met=(2,)))],
            "2025-11-20",
            (1, 2),
            id="shown once and missed later is unmet",
        ),
    ],
)
def test_r5_1_what_the_next_try_asks(tries, day, expected):
    assert asked(learner(*tries), day) == expected


def test_r5_1_a_criterion_touched_by_a_revision_since_is_asked_again():
    issues = [revision(1, "2001-01-01"), revision(2, "2025-11-08", touches=(2,))]
    book = learner(("2025-11-03", 1, FOUR_MISSED), revisions=issues)

    assert asked(book, "2025-11-07") == (4,)
    assert asked(book, "2025-11-10") == (2, 4)


def test_r5_1_on_a_task_without_an_issue_in_force_no_criterion_is_asked():
    book = learner(("2025-11-03", 1, FOUR_MISSED), revisions=[revision(3, "2026-01-01")])

    assert asked(book, "2025-11-10") == ()


@pytest.mark.parametrize(
    ("judgements", "expected"),
    [
        pytest.param(judged(met=(1, 4)), set(), id="only what is asked"),
        pytest.param(judged(met=(1, 4), not_seen=(2, 3)), set(), id="the others told as not seen"),
        pytest.param(
            judged(met=(4,), not_seen=(1,)), {"R2.3 criterion_not_seen criterion=1"}, id="a critical one not seen"
        ),
        pytest.param(judged(met=(4,)), {"R2.3 criterion_not_judged criterion=1"}, id="a critical one left out"),
        pytest.param(
            judged(met=(1, 4), not_met=(2,)), {"R2.3 criterion_not_met criterion=2"}, id="a fault in one not asked"
        ),
    ],
)
def test_r2_3_not_seen_is_neither_a_pass_nor_a_fault(judgements, expected):
    book = learner(("2025-11-03", 1, FOUR_MISSED))
    place = book.assess(ANA, "T-01", "2025-11-10", by=DARA, judged=judgements)
    entry = next(fact for fact in book.facts if fact.seq == place)
    book.facts.remove(entry)

    found = refuse_assessment(
        entry, trainee=book.rule(ANA), assessor=book.rule(DARA), grants=ASSESSES, now=at("2025-11-10 18:00")
    )

    assert told(found) == expected


@pytest.mark.parametrize(
    ("day", "is_delta", "expected"),
    [
        pytest.param("2025-05-20", True, (2, 3), id="the changes again: a delta"),
        # 60 days before the last valid day, 2026-01-10, a renewal does both.
        pytest.param("2025-11-11", False, (1, 2, 3, 4), id="in the due window: a renewal"),
    ],
)
def test_r4_4_a_delta_that_is_done_again_is_a_delta(day, is_delta, expected):
    issues = [revision(1, "2001-01-01"), revision(2, "2025-05-01", touches=(2, 3))]
    book = Book(frame(task("T-01", validity_months=12, runs=1, revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.run(ANA, "T-01", "2025-05-10", revision=2)
    book.assess(ANA, "T-01", "2025-05-12", revision=2, delta=True, judged=judged(met=(), not_met=(2, 3)), **NOT_YET)

    purpose = book.rule(ANA).purpose_at("T-01", SITE, at(day))

    assert (purpose.is_delta, purpose.criteria) == (is_delta, expected)
    assert purpose.kind == "reassessment"
