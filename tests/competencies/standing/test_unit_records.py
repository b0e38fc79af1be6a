"""Which of several decisions on one version of a unit speaks for it (R8.4, R8.8)."""

import pytest

from competencies.standing.facts import Moderation, UnitDecision, UnitReported
from competencies.standing.unit_records import governing, unit_records
from tests.competencies.standing.plant import ANA, ELI, HANA, Book, d, frame

# What became of a decision: it counts; it counts and is disputed; it does not count.
CLEAN, DISPUTED, AWAY = ("report",), ("report", "no"), ("no",)


def decided(*stories):
    """Return the records of decisions on one unit, a month each, with what became of each."""
    book = Book(frame())
    for month, acts in enumerate(stories, 1):
        decision = book.write(UnitDecision, ANA, f"2025-{month:02}-03", unit="U1", version=1, by=ELI)
        for number, act in enumerate(acts):
            when = f"2025-{month:02}-{10 + number}"
            if act == "report":
                book.write(UnitReported, ANA, when, of=decision, by=HANA)
            else:
                book.write(Moderation, ANA, when, of=decision, agrees=False, by=HANA)
    return unit_records(book.facts, d("2025-12-31"))


@pytest.mark.parametrize(
    ("stories", "speaks"),
    [
        ((CLEAN,), 0),
        ((AWAY,), 0),
        ((CLEAN, CLEAN), 0),
        ((DISPUTED, DISPUTED), 0),
        ((AWAY, AWAY), 0),
        ((DISPUTED, CLEAN), 1),
        ((CLEAN, DISPUTED), 0),
        ((AWAY, DISPUTED), 1),
        ((DISPUTED, AWAY), 0),
        ((AWAY, CLEAN), 1),
        ((CLEAN, AWAY), 0),
        ((AWAY, DISPUTED, CLEAN), 2),
        ((DISPUTED, CLEAN, AWAY), 1),
    ],
    ids=str,
)
def test_the_first_that_counts_undisputed_speaks_for_the_unit_else_the_first_that_counts(stories, speaks):
    records = decided(*stories)

    assert governing(records) == {("U1", 1): records[speaks]}


def test_each_version_has_a_record_of_its_own():
    book = Book(frame())
    for version, unit in ((1, "U1"), (2, "U1"), (1, "U2")):
        book.write(UnitDecision, ANA, "2025-01-03", unit=unit, version=version, by=ELI)

    found = governing(unit_records(book.facts, d("2025-12-31")))

    assert {key: record.decision.seq for key, record in found.items()} == {("U1", 1): 1, ("U1", 2): 2, ("U2", 1): 3}
