"""Two records that are one person, and one that holds two people: what forbids to join or to part them (R7)."""

import pytest

from competencies.standing import facts as kinds
from competencies.standing.facts import Scope
from competencies.standing.joining import Changing, Record, Worked, may_part, refuse_joining, refuse_parting
from tests.competencies.standing.plant import ANA, BEN, CHEN, DARA, GUS, HANA, Book, d, frame, grant, spoken, task

T = "PK-01"
NUMBERS = {ANA: "1001", BEN: "1002"}
OFFICE = (grant("coordinate"),)
ON_L1, ON_L2, AT_L1_F1 = Scope("L1"), Scope("L2"), Scope("L1", "F1")
DAY = ("2025-03-03", "day")


def empty_book():
    return Book(frame(task(T, scope="line", held_at=(ON_L1, ON_L2)), task("PK-02", "food")))


def record(book, person, *, area="PK", worked=(), is_joined=False):
    return Record(
        number=person,
        works_number=NUMBERS[person],
        area=area,
        facts=tuple(fact for fact in book.facts if fact.person == person),
        worked=frozenset(Worked(d(on), shift, line) for on, shift, line in worked),
        is_joined=is_joined,
    )


def act(*, by=HANA, grants=OFFICE, on="2025-06-02", reason="hired twice, by a temporary number first"):
    return Changing(by=by, grants=grants, on=d(on), reason=reason)


def refused(kept, other, *, signed_both=(), is_confirmed=False, **acting):
    return spoken(refuse_joining(kept, other, act=act(**acting), signed_both=signed_both, is_confirmed=is_confirmed))


def parted(book, entries, *, other=BEN, is_joined=False, areas=("PK", "PK"), **acting):
    one = record(book, ANA, area=areas[0], is_joined=is_joined)
    two = one if other == ANA else record(book, other, area=areas[1])
    return spoken(refuse_parting(one, two, entries, act=act(**acting)))


# Who joins and parts, and why


@pytest.mark.parametrize(
    ("acting", "said"),
    [
        ({}, ""),
        ({"reason": ""}, "R7 no_reason"),
        ({"reason": " \t "}, "R7 no_reason"),
        ({"by": ANA}, "R7 own_record"),
        ({"by": BEN}, "R7 own_record"),
        ({"grants": ()}, "R7 no_authority area=PK"),
        ({"grants": (grant("supervise"), grant("assess"), grant("audit"))}, "R7 no_authority area=PK"),
        ({"grants": (grant("coordinate", "PK"),)}, ""),
        ({"grants": (grant("coordinate", "BH"),)}, "R7 no_authority area=PK"),
        ({"grants": (grant("coordinate", end="2025-06-02"),)}, ""),
        ({"grants": (grant("coordinate", end="2025-06-01"),)}, "R7 no_authority area=PK"),
        ({"grants": (grant("coordinate", start="2025-06-02"),)}, ""),
        ({"grants": (grant("coordinate", start="2025-06-03"),)}, "R7 no_authority area=PK"),
        ({"by": ANA, "grants": (), "reason": ""}, "R7 no_reason; R7 own_record; R7 no_authority area=PK"),
    ],
    ids=str,
)
def test_the_coordinator_of_the_area_joins_and_parts_with_a_reason_and_never_their_own(acting, said):
    book = empty_book()
    run = book.run(ANA, T, "2025-03-03", by=GUS, scope=ON_L1)

    assert refused(record(book, ANA), record(book, BEN), **acting) == said
    assert parted(book, [run], **acting) == said


@pytest.mark.parametrize(
    ("areas", "trusted", "said"),
    [
        (("PK", "BH"), ("PK", "BH"), ""),
        (("PK", "BH"), ("PK",), "R7 no_authority area=BH"),
        (("PK", "BH"), ("BH",), "R7 no_authority area=PK"),
        (("PK", "BH"), (), "R7 no_authority area=BH; R7 no_authority area=PK"),
        (("PK", ""), ("PK",), "R7 no_authority area="),
        (("PK", ""), ("PK", None), ""),
    ],
    ids=str,
)
def test_both_areas_must_be_the_coordinators(areas, trusted, said):
    book = empty_book()
    run = book.run(ANA, T, "2025-03-03", by=GUS, scope=ON_L1)
    grants = tuple(grant("coordinate", area) for area in trusted)

    assert refused(record(book, ANA, area=areas[0]), record(book, BEN, area=areas[1]), grants=grants) == said
    assert parted(book, [run], areas=areas, grants=grants) == said


def test_a_record_is_not_joined_to_itself_whatever_else_there_is():
    book = empty_book()
    joined = record(book, ANA, is_joined=True)

    assert refused(joined, joined, signed_both=[7]) == "R7 same_record"
    assert refused(joined, joined, reason="") == "R7 no_reason; R7 same_record"


@pytest.mark.parametrize(
    ("joined", "said"),
    [
        ((ANA,), "R7 already_joined number=1001"),
        ((BEN,), "R7 already_joined number=1002"),
        ((ANA, BEN), "R7 already_joined number=1001; R7 already_joined number=1002"),
    ],
    ids=["kept", "other", "both"],
)
def test_a_record_that_was_joined_is_not_joined_again(joined, said):
    book = empty_book()
    kept, other = (record(book, person, is_joined=person in joined) for person in (ANA, BEN))

    assert refused(kept, other) == said


# Two people signed


@pytest.mark.parametrize(
    ("signs", "is_told"),
    [
        (lambda book: book.run(ANA, T, "2025-03-03", by=BEN, scope=ON_L1), True),
        (lambda book: book.run(BEN, T, "2025-03-03", by=ANA, scope=ON_L1), True),
        (lambda book: book.assess(ANA, T, "2025-03-03", by=BEN, scope=ON_L1), True),
        (lambda book: book.sign(book.assess(ANA, "PK-02", "2025-03-03", by=DARA), "2025-03-04", by=BEN), True),
        (lambda book: book.on(kinds.Recognition, ANA, T, "2025-03-03", by=BEN, evidence_on=d("2025-01-01")), True),
        (lambda book: book.write(kinds.Check, ANA, "2025-03-03", calculation="C01", passed=True, by=BEN), True),
        (lambda book: book.run(ANA, T, "2025-03-03", by=GUS, scope=ON_L1), False),
        (lambda book: book.run(CHEN, T, "2025-03-03", by=ANA, scope=ON_L1), False),
        # A word that judges nothing: whoever may stop a person stops them.
        (lambda book: book.on(kinds.Suspension, ANA, T, "2025-03-03", by=BEN, scope=ON_L1), False),
    ],
    ids=[
        *("run", "run the other way", "assessment", "second signature", "recognition", "sum"),
        *("by a third", "for a third", "stop"),
    ],
)
def test_who_signed_for_each_other_are_two_people(signs, is_told):
    book = empty_book()
    entry = signs(book)

    said = refused(record(book, ANA), record(book, BEN))

    assert said == (f"R7 signed_for_each_other entry={entry}" if is_told else "")


def test_each_such_entry_is_told_in_order_until_it_is_put_right():
    book = empty_book()
    one = book.run(BEN, T, "2025-03-04", by=ANA, scope=ON_L1)
    two = book.run(ANA, T, "2025-03-03", by=BEN, scope=ON_L1)
    both = refused(record(book, ANA), record(book, BEN))
    book.of(kinds.Correction, one, "2025-03-05", by=HANA)

    assert both == f"R7 signed_for_each_other entry={one}; R7 signed_for_each_other entry={two}"
    assert refused(record(book, ANA), record(book, BEN)) == f"R7 signed_for_each_other entry={two}"


def test_who_signed_one_sign_off_together_are_two_people_and_all_is_told_in_order():
    book = empty_book()
    run = book.run(ANA, T, "2025-03-03", by=BEN, scope=ON_L1)
    kept = record(book, ANA, worked=[(*DAY, "L1")], is_joined=True)
    other = record(book, BEN, worked=[(*DAY, "L2")])

    assert refused(kept, other, signed_both=[31, 7], reason="") == "; ".join(
        [
            "R7 no_reason",
            "R7 already_joined number=1001",
            f"R7 signed_for_each_other entry={run}",
            "R7 signed_both entry=7",
            "R7 signed_both entry=31",
            "R7 worked_both on=2025-03-03 shift=day",
        ]
    )


# Two people worked

L1, L2, L3, SOMEWHERE = "L1", "L2", "L3", ""


@pytest.mark.parametrize(
    ("mine", "theirs", "is_told"),
    [
        ([L1], [L2], True),
        ([L1], [L1], False),
        ([L1], [], False),
        # Where no line is named, it may have been the same.
        ([SOMEWHERE], [L1], False),
        ([SOMEWHERE], [SOMEWHERE], False),
        ([SOMEWHERE, L1], [L2], True),
        ([SOMEWHERE, L1], [SOMEWHERE, L1], False),
        # Somebody who was moved between lines stood at another line than the other for a part of the shift.
        ([L1, L2], [L1], True),
        ([L1, L2], [L2], True),
        ([L1, L2], [L3], True),
    ],
    ids=str,
)
def test_a_shift_that_both_worked_at_different_places_must_be_confirmed(mine, theirs, is_told):
    book = empty_book()
    one = record(book, ANA, worked=[(*DAY, line) for line in mine])
    two = record(book, BEN, worked=[(*DAY, line) for line in theirs])
    said = "R7 worked_both on=2025-03-03 shift=day" if is_told else ""

    assert refused(one, two) == refused(two, one) == said
    assert refused(one, two, is_confirmed=True) == ""


def test_it_is_told_once_a_shift_of_the_same_day_in_order():
    book = empty_book()
    mine = [("2025-03-04", "day", L1), ("2025-03-03", "late", L1), ("2025-03-03", "day", L1)]
    theirs = [
        ("2025-03-04", "day", L2),
        ("2025-03-04", "day", L3),
        ("2025-03-03", "late", L2),
        ("2025-03-05", "day", L2),
    ]
    theirs.append(("2025-03-03", "night", L2))

    said = refused(record(book, ANA, worked=mine), record(book, BEN, worked=theirs))

    assert said == "R7 worked_both on=2025-03-03 shift=late; R7 worked_both on=2025-03-04 shift=day"


def test_a_run_tells_where_somebody_worked_on_the_date_its_shift_starts():
    book = empty_book()
    run = book.run(ANA, T, "2025-03-04 02:00", on="2025-03-03", by=GUS, scope=AT_L1_F1, shift="night")
    ben = record(book, BEN, worked=[("2025-03-03", "night", L2), ("2025-03-04", "night", L2)])
    before = refused(record(book, ANA), ben)
    book.of(kinds.Correction, run, "2025-03-05", by=HANA)

    assert before == "R7 worked_both on=2025-03-03 shift=night"
    assert refused(record(book, ANA), ben) == ""


def test_a_judgement_is_made_at_no_shift():
    book = empty_book()
    book.assess(ANA, T, "2025-03-03", by=GUS, scope=ON_L1)

    assert record(book, ANA).shifts == set()


# Parting


def test_entries_that_stand_alone_are_parted():
    book = empty_book()
    run = book.run(ANA, T, "2025-03-03", by=GUS, scope=ON_L1)
    assessed = book.assess(ANA, T, "2025-03-04", by=DARA, scope=ON_L1)

    assert parted(book, [run, assessed]) == ""
    assert parted(book, [run, run]) == ""


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"entries": []}, "R7 no_entries"),
        ({"entries": [999]}, "R7 not_of_person entry=999"),
        ({"entries": [2, 1, 2]}, "R7 not_of_person entry=2"),
        ({"entries": [999, 2]}, "R7 not_of_person entry=2; R7 not_of_person entry=999"),
        ({"entries": [1], "other": ANA}, "R7 same_record"),
        ({"entries": [1], "is_joined": True}, "R7 already_joined number=1001"),
        (
            {"entries": [], "other": ANA, "reason": "", "is_joined": True},
            "R7 no_reason; R7 same_record; R7 already_joined number=1001; R7 no_entries",
        ),
    ],
    ids=["nothing", "unknown", "of another", "each in order", "to itself", "joined away", "all at once"],
)
def test_only_entries_of_the_record_are_parted_from_it(fields, said):
    book = empty_book()
    book.run(ANA, T, "2025-03-03", by=GUS, scope=ON_L1)
    book.run(BEN, T, "2025-03-03", by=GUS, scope=ON_L1)

    assert parted(book, **fields) == said


def test_what_was_joined_to_a_record_is_not_parted_as_its_own():
    book = empty_book()
    run = book.run(BEN, T, "2025-03-03", by=GUS, scope=ON_L1)
    both = Record(number=ANA, works_number="1001", area="PK", facts=tuple(book.facts))

    found = refuse_parting(both, record(book, BEN), [run], act=act())

    assert spoken(found) == f"R7 not_of_person entry={run}"


def test_what_points_at_an_entry_goes_with_it():
    book = empty_book()
    assessed = book.assess(ANA, "PK-02", "2025-03-03", by=DARA)
    pointing = [
        book.sign(assessed, "2025-03-04"),
        book.of(kinds.Annulment, assessed, "2025-03-05"),
        book.of(kinds.OutcomeSeen, assessed, "2025-03-06", by=ANA),
        book.of(kinds.Correction, assessed, "2025-03-07"),
    ]

    assert parted(book, [assessed]) == ""
    assert parted(book, pointing) == "; ".join(
        f"R7 goes_with_another entry={entry} of={assessed}" for entry in pointing
    )


def test_what_the_other_signed_is_not_about_the_other():
    book = empty_book()
    watched = book.run(ANA, T, "2025-03-03", by=BEN, scope=ON_L1)
    own = book.run(ANA, T, "2025-03-04", by=GUS, scope=ON_L1)

    assert parted(book, [own, watched]) == f"R7 signed_for_each_other entry={watched}"


def test_what_is_about_the_person_and_no_deed_stays_with_the_record():
    book = empty_book()
    hired = book.write(kinds.Employment, ANA, "2025-01-06", started_on=d("2025-01-06"), by=BEN)

    assert parted(book, [hired]) == f"R7 not_of_person entry={hired}"
    assert not may_part(book.facts[0])
    assert not may_part(None)
