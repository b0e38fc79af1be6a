"""What was shown early, on a revision that is not in force yet (R4.3, R4.5, R4.7), worked by hand.

Held at 1. Revision 2 is in force from 2025-02-01; 3 is approved on 04-01 and in force from 05-01. Shown on 3 on 04-10.
"""

import pytest

from competencies.standing.refusals import AuthorityGrant, refuse_assessment
from competencies.vocabulary import AuthorityKind
from tests.competencies.standing.plant import ANA, DARA, Book, at, codes, d, frame, judged, revision, task

ASSESSES = (AuthorityGrant(kind=AuthorityKind.ASSESS, area=None, from_on=d("2020-01-01"), until_on=None),)


def shown_early(second, critical="food"):
    """Return a book in which Ana shows the changes on the coming revision 3; `second` is the class of revision 2."""
    issues = [
        revision(1, "2001-01-01"),
        revision(2, "2025-02-01", second, touches=(2,)),
        revision(3, "2025-05-01", touches=(3,), approved_on=d("2025-04-01")),
    ]
    book = Book(frame(task("T-01", critical, validity_months=24, runs=2, revisions=issues)))
    for person in (ANA, DARA):
        book.sign_off(person, "T-01", "2024-10-10")
    book.run(ANA, "T-01", "2025-04-09", revision=3)
    book.sign_off(ANA, "T-01", "2025-04-10", revision=3, delta=True, judged=judged(met=(2, 3)))
    return book


@pytest.mark.parametrize(
    ("second", "day", "counts", "reasons"),
    [
        pytest.param("major", "2025-04-10", False, {"out_of_revision"}, id="major: what is in force was never shown"),
        pytest.param("major", "2025-04-30 23:59", False, {"out_of_revision"}, id="major: to the last minute"),
        pytest.param("major", "2025-05-01 00:00", True, set(), id="major: from the day it is in force"),
        pytest.param("minor", "2025-04-09", False, {"not_acknowledged"}, id="minor: not read"),
        pytest.param("minor", "2025-04-10", True, set(), id="minor: the delta includes the acknowledgement"),
        pytest.param("minor", "2025-05-01", True, set(), id="minor: and the day comes"),
    ],
)
def test_r4_7_a_delta_on_a_coming_revision(second, day, counts, reasons):
    period = shown_early(second).period(ANA, "T-01", day)

    assert (period.counts, codes(period.reasons)) == (counts, reasons)


@pytest.mark.parametrize(
    ("day", "number", "is_refused"),
    [
        pytest.param("2025-04-20", 2, False, id="the one in force may still be shown"),
        pytest.param("2025-04-20", 3, True, id="the coming one was shown"),
        pytest.param("2025-05-02", 2, True, id="in force, the later one does for both"),
    ],
)
def test_r4_4_what_was_shown_need_not_be_shown_again(day, number, is_refused):
    book = shown_early("major", "none")
    place = book.assess(ANA, "T-01", day, by=DARA, revision=number, delta=True, judged=judged(met=(2, 3)))
    entry = next(fact for fact in book.facts if fact.seq == place)
    book.facts.remove(entry)

    found = refuse_assessment(
        entry, trainee=book.rule(ANA), assessor=book.rule(DARA), grants=ASSESSES, now=at("2025-06-01")
    )

    assert ("nothing_changed" in codes(found)) is is_refused
