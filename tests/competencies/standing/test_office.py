"""What the office may not decide about a task: first trainers, class of change, terms (R4). Worked by hand."""

from dataclasses import replace

import pytest

from competencies.standing.facts import Employment, InitialTrainer, Scope
from competencies.standing.framework import YoungWorker
from competencies.standing.office import (
    NewClass,
    NewIssue,
    newest_approved,
    refuse_initial_trainer,
    refuse_issue,
    refuse_reclassification,
    refuse_terms,
    teaches_by_own_signoff,
)
from tests.competencies.standing.plant import (
    ANA,
    DARA,
    ELI,
    GUS,
    HANA,
    Book,
    at,
    d,
    frame,
    grant,
    revision,
    task,
    terms,
    told,
)

T = "T-01"
OFFICE, SUPERVISES = (grant("coordinate"),), (grant("supervise"),)
NOW = "2025-12-31"


# First trainers (R4.10)


def plant_of(*, revisions=None, scope="site", held_at=(), **asked):
    return frame(
        task(T, scope=scope, revisions=revisions, held_at=held_at, runs=0, validity_months=24, **asked),
        task("T-02", runs=0),
    )


def naming_of(book, person=ANA, when="2025-05-20 09:00", *, by=HANA, **fields):
    """Return the naming as it would be written."""
    count = len(book.facts)
    book.on(InitialTrainer, person, T, when, by=by, **fields)
    return book.facts.pop(count)


def refused(book, naming, *, others=(), grants=OFFICE, now=NOW):
    rules = [book.rule(person) for person in others]
    return told(
        refuse_initial_trainer(naming, named=book.rule(naming.person), others=rules, grants=grants, now=at(now))
    )


def test_a_first_trainer_is_named_where_nobody_teaches():
    book = Book(plant_of())

    assert refused(book, naming_of(book)) == set()


@pytest.mark.parametrize(
    ("fields", "now", "said"),
    [
        ({"when": "2025-05-20 09:00"}, "2025-05-20 09:00", set()),
        ({"when": "2025-05-20 09:01"}, "2025-05-20 09:00", {"R2.6 future"}),
        ({"by": ANA}, NOW, {"R4.10 own"}),
        ({"scope": Scope("L1")}, NOW, {"R12 wrong_scope scope=L1"}),
        ({"revision": 1}, NOW, set()),
        ({"revision": 2}, NOW, {"R4.1 unknown_revision revision=2"}),
    ],
    ids=str,
)
def test_a_naming_is_checked_as_it_is_written(fields, now, said):
    book = Book(plant_of())

    assert refused(book, naming_of(book, **fields), now=now) == said


@pytest.mark.parametrize(
    ("grants", "is_entitled"),
    [
        ((grant("coordinate"),), True),
        ((grant("coordinate", "T"),), True),
        ((grant("coordinate", "PK"),), False),
        ((grant("coordinate", start="2025-05-20"),), True),
        ((grant("coordinate", start="2025-05-21"),), False),
        ((grant("coordinate", end="2025-05-19"),), False),
        ((grant("supervise"), grant("assess"), grant("train"), grant("sign_food")), False),
        ((), False),
    ],
    ids=str,
)
def test_only_the_office_names_first_trainers(grants, is_entitled):
    book = Book(plant_of())

    assert refused(book, naming_of(book), grants=grants) == (set() if is_entitled else {"R4.10 no_authority area=T"})


def test_who_left_or_is_barred_is_not_named():
    book = Book(plant_of(young_worker=YoungWorker.CLOSED))
    book.write(Employment, ANA, "2024-01-01", last_day=d("2025-05-19"), restricted_until=d("2025-06-15"))

    assert refused(book, naming_of(book)) == {"R10.1 age until=2025-06-15", "R9.7 left last_day=2025-05-19"}


def test_nobody_is_first_where_others_teach_already():
    book = Book(plant_of())
    for person in (DARA, ELI):
        book.sign_off(person, T, "2025-01-06", by=HANA)

    said = refused(book, naming_of(book), others=(ANA, DARA, ELI))

    assert said == {"R4.10 taught_already count=2 revision=1"}


def test_a_coming_major_revision_has_first_trainers_of_its_own():
    coming = [revision(1, "2001-01-01"), revision(2, "2025-07-01", approved_on=d("2025-05-01"))]
    book = Book(plant_of(revisions=coming))
    book.sign_off(DARA, T, "2025-01-06", by=HANA)

    assert refused(book, naming_of(book), others=(DARA,)) == set()
    assert refused(book, naming_of(book, revision=2), others=(DARA,)) == set()
    assert refused(book, naming_of(book, revision=1), others=(DARA,)) == {"R4.10 taught_already count=1 revision=1"}


@pytest.mark.parametrize(
    ("when", "said"),
    [
        # Ninety days from 1 March 2025 end with 30 May; only an own sign-off counts after that.
        ("2025-05-30 09:00", {"R4.10 named_before until=2025-05-30"}),
        ("2025-09-01 09:00", {"R4.10 named_before until=2025-05-30"}),
    ],
)
def test_being_named_twice_is_no_way_round_the_ninety_days(when, said):
    book = Book(plant_of())
    book.on(InitialTrainer, ANA, T, "2025-03-01 09:00", by=HANA)

    assert refused(book, naming_of(book, when=when)) == said


def test_a_naming_for_another_revision_is_another_one():
    issues = [revision(1, "2001-01-01"), revision(2, "2025-05-01")]
    book = Book(plant_of(revisions=issues))
    book.on(InitialTrainer, ANA, T, "2025-03-01 09:00", by=HANA, revision=1)

    assert refused(book, naming_of(book, revision=2)) == set()


@pytest.mark.parametrize(
    ("on", "number"),
    [("2025-04-30", 1), ("2025-05-01", 2), ("2025-07-02", 2), ("2000-12-31", 1)],
)
def test_the_newest_approved_revision_counts_in_force_or_coming(on, number):
    coming = [revision(1, "2001-01-01"), revision(2, "2025-07-01", approved_on=d("2025-05-01"))]

    assert newest_approved(plant_of(revisions=coming), T, d(on)) == number


@pytest.mark.parametrize(
    ("story", "teaches"),
    [
        (lambda book: None, False),
        (lambda book: book.sign_off(DARA, T, "2025-01-06", by=HANA), True),
        # A gain acts on its date (3.17), from midnight on.
        (lambda book: book.sign_off(DARA, T, "2025-05-20 11:00", by=HANA), True),
        (lambda book: book.sign_off(DARA, T, "2025-05-21 08:00", by=HANA), False),
        # 24 months and 30 days of grace: held through 20 May, and through 19 May.
        (lambda book: book.sign_off(DARA, T, "2023-04-20", by=HANA), True),
        (lambda book: book.sign_off(DARA, T, "2023-04-19", by=HANA), False),
        (lambda book: book.on(InitialTrainer, DARA, T, "2025-05-01", by=HANA), False),
        (
            lambda book: (
                book.sign_off(DARA, T, "2025-01-06", by=HANA),
                book.write(Employment, DARA, "2024-01-01", last_day=d("2025-05-19")),
            ),
            False,
        ),
        (
            lambda book: (
                book.sign_off(DARA, T, "2025-01-06", by=HANA),
                book.write(Employment, DARA, "2024-01-01", last_day=d("2025-05-20")),
            ),
            True,
        ),
    ],
    ids=[
        "never",
        "signed off",
        "that day",
        "next day",
        "in grace",
        "lapsed",
        "first trainer",
        "left before",
        "last day",
    ],
)
def test_who_holds_the_task_teaches_it(story, teaches):
    book = Book(plant_of())
    story(book)

    assert teaches_by_own_signoff(book.rule(DARA), naming_of(book), 1) is teaches


def test_a_revision_that_was_not_learned_is_not_taught():
    issues = [revision(1, "2001-01-01"), revision(2, "2025-06-01", approved_on=d("2025-05-01"))]
    book = Book(plant_of(revisions=issues))
    book.sign_off(DARA, T, "2025-01-06", by=HANA)
    naming = naming_of(book)

    assert teaches_by_own_signoff(book.rule(DARA), naming, 1)
    assert not teaches_by_own_signoff(book.rule(DARA), naming, 2)


def test_a_first_trainer_who_was_signed_off_since_teaches_by_that():
    issues = [revision(1, "2001-01-01"), revision(2, "2025-06-01", approved_on=d("2025-05-01"))]
    book = Book(plant_of(revisions=issues))
    book.sign_off(DARA, T, "2025-01-06", by=HANA)
    book.on(InitialTrainer, DARA, T, "2025-05-02", by=HANA, revision=2)

    assert not teaches_by_own_signoff(book.rule(DARA), naming_of(book), 2)
    assert teaches_by_own_signoff(book.rule(DARA), naming_of(book), 1)

    book.sign_off(DARA, T, "2025-05-12", by=HANA, revision=2)

    assert teaches_by_own_signoff(book.rule(DARA), naming_of(book), 2)


# The class of a revision (R4.1, R4.8)

ISSUES = [
    revision(1, "2024-01-01", "minor"),
    revision(2, "2025-01-01", "minor"),
    revision(3, "2025-03-01", "major"),
]


def reclassified(number=2, *, second=GUS, grants=OFFICE, second_grants=SUPERVISES):
    decision = NewClass(task=T, revision=number, by=HANA, second=second, on=d("2025-05-20"))
    plant = plant_of(revisions=ISSUES)
    return told(refuse_reclassification(decision, frame=plant, grants=grants, second_grants=second_grants))


def test_two_people_make_a_minor_revision_major():
    assert reclassified() == set()


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (1, {"R4.8 first_revision revision=1"}),
        (3, {"R4.8 major_already revision=3"}),
        (4, {"R4.8 unknown_revision revision=4"}),
    ],
)
def test_not_every_revision_can_be_made_major(number, said):
    assert reclassified(number) == said


def test_a_task_without_revisions_has_none_to_make_major():
    plant = frame(replace(task(T), revisions=()))
    decision = NewClass(task=T, revision=1, by=HANA, second=GUS, on=d("2025-05-20"))

    said = told(refuse_reclassification(decision, frame=plant, grants=OFFICE, second_grants=(grant("assess"),)))

    assert said == {"R4.8 unknown_revision revision=1"}


def test_one_person_is_not_two():
    assert reclassified(second=HANA) == {"R4.1 two_people"}


@pytest.mark.parametrize(
    ("kind", "agrees"),
    [
        ("coordinate", True),
        ("supervise", True),
        ("assess", True),
        ("sign_food", True),
        ("sign_safety", True),
        ("train", False),
        ("audit", False),
    ],
)
def test_the_second_answers_for_the_work_in_the_area(kind, agrees):
    said = set() if agrees else {"R4.1 second_no_authority area=T"}

    assert reclassified(second_grants=(grant(kind),)) == said


@pytest.mark.parametrize("span", [{"start": "2025-05-21"}, {"end": "2025-05-19"}, {"area": "PK"}], ids=str)
def test_both_are_entitled_in_the_area_on_the_day_of_the_decision(span):
    assert reclassified(grants=(grant("coordinate", **span),)) == {"R4.8 no_authority area=T"}
    assert reclassified(second_grants=(grant("assess", **span),)) == {"R4.1 second_no_authority area=T"}
    assert reclassified(grants=(grant("coordinate", "T"),), second_grants=(grant("assess", "T"),)) == set()


# Terms by decision (R4.11)


def decided(*, grants=OFFICE, plant=None, **changes):
    asked = terms(**{"effective_on": d("2025-06-01"), **changes})
    return told(refuse_terms(asked, task=T, frame=plant or plant_of(), grants=grants, now=at("2025-05-20 09:00")))


def test_terms_are_changed_forward():
    assert decided() == set()
    assert decided(effective_on=d("2025-05-20")) == set()
    assert decided(effective_on=d("2025-05-19")) == {"R4.11 terms_in_past today=2025-05-20"}


def test_today_is_the_plants_own_day():
    # 23:30 UTC on the 19th is half past midnight of the 20th in Dublin's summer.
    late = at("2025-05-20 00:30")
    plant = plant_of()

    said = refuse_terms(terms(effective_on=d("2025-05-19")), task=T, frame=plant, grants=OFFICE, now=late)

    assert told(said) == {"R4.11 terms_in_past today=2025-05-20"}


@pytest.mark.parametrize(
    "grants",
    [(), (grant("supervise"),), (grant("coordinate", start="2025-05-21"),), (grant("coordinate", "PK"),)],
    ids=str,
)
def test_only_the_office_changes_terms(grants):
    assert decided(grants=grants) == {"R4.11 no_authority area=T"}
    assert decided(grants=(grant("coordinate", "T"),)) == set()


def test_terms_do_not_slip_in_before_later_ones():
    framed = task(T)
    planned = [terms(effective_on=d(day)) for day in ("2025-07-01", "2025-08-01")]
    plant = frame(replace(framed, terms=(*framed.terms, *planned)))

    assert decided(plant=plant) == {"R4.11 terms_before_later later=2025-08-01"}
    assert decided(plant=plant, effective_on=d("2025-08-01")) == set()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"applies_to_held_on": d("2025-06-01")}, set()),
        ({"applies_to_held_on": d("2025-05-31")}, {"R4.11 decided_before_terms effective=2025-06-01"}),
        ({"runs": 3, "distinct_shifts": 3}, set()),
        ({"runs": 3, "distinct_shifts": 4}, {"R1.3 more_shifts_than_runs runs=3"}),
        ({"runs": 3, "simulated_max": 3}, set()),
        ({"runs": 3, "simulated_max": 4}, {"R1.7 more_drills_than_runs runs=3"}),
        ({"runs": 3, "ranges": {"size": 3}}, set()),
        (
            {"runs": 2, "ranges": {"size": 3, "line": 2, "beer": 4}},
            {"R1.5 range_beyond_runs name=size runs=2", "R1.5 range_beyond_runs name=beer runs=2"},
        ),
    ],
    ids=["decided with", "decided before", "shifts", "more shifts", "drills", "more drills", "range", "wider range"],
)
def test_terms_fit_together(changes, said):
    assert decided(**changes) == said


def test_ranges_are_told_in_the_order_of_their_names():
    asked = terms(effective_on=d("2025-06-01"), runs=1, ranges={"size": 3, "beer": 4})

    said = refuse_terms(asked, task=T, frame=plant_of(), grants=OFFICE, now=at("2025-05-20"))

    assert [dict(each.params)["name"] for each in said] == ["beer", "size"]


def leaning(**requires):
    """Return a plant whose tasks lean on others, newest terms last; T-01 asks for nothing yet."""
    others = [task(code.replace("_", "-"), prerequisites=needed) for code, needed in requires.items()]
    return frame(task(T), *others)


@pytest.mark.parametrize(
    ("plant", "prerequisites", "circles"),
    [
        (leaning(A_1=()), ("A-1",), []),
        (leaning(), (T,), [T]),
        (leaning(A_1=(T,)), ("A-1",), ["A-1"]),
        (leaning(A_1=("A-2",), A_2=("A-3",), A_3=(T,)), ("A-1",), ["A-1"]),
        (leaning(A_1=("A-2", "A-3"), A_2=(), A_3=(T,), A_4=()), ("A-4", "A-1", "A-2"), ["A-1"]),
        # A circle among others is not this task's, and does not go on for ever.
        (leaning(A_1=("A-2",), A_2=("A-1",)), ("A-1",), []),
        (leaning(A_1=("Z-9",)), ("A-1",), []),
        (leaning(), ("Z-9",), []),
    ],
    ids=["plain", "itself", "direct", "through two", "one of three", "circle elsewhere", "unknown below", "unknown"],
)
def test_tasks_do_not_lean_on_each_other_in_a_circle(plant, prerequisites, circles):
    said = decided(plant=plant, prerequisites=prerequisites)

    assert said == {f"R6.3 circle task={code}" for code in circles}


def test_the_newest_terms_tell_what_a_prerequisite_leans_on():
    framed = task("A-1", prerequisites=(T,))
    plant = frame(task(T), replace(framed, terms=(*framed.terms, terms(effective_on=d("2025-01-01")))))

    assert decided(plant=plant, prerequisites=("A-1",)) == set()


# A procedure issued anew (R4.1)


def issued(*, grants=OFFICE, second_grants=SUPERVISES, **changed):
    newest = max(ISSUES, key=lambda each: each.number)
    given = {
        "task": T,
        "base": newest.number,
        "approved_on": d("2025-12-30"),
        "effective_on": d("2026-01-10"),
        "touches": (1,),
        "criteria": 3,
        "by": HANA,
        "second": GUS,
        "on": d("2025-12-31"),
    }
    issue = NewIssue(**{**given, **changed})
    return told(refuse_issue(issue, frame=plant_of(revisions=ISSUES), grants=grants, second_grants=second_grants))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, set()),
        ({"effective_on": d("2025-12-31")}, set()),
        ({"approved_on": d("2025-12-31"), "touches": (1, 3)}, set()),
        ({"touches": (0, 4)}, {"R4.1 no_criterion number=0", "R4.1 no_criterion number=4"}),
        ({"effective_on": d("2025-12-30")}, {"R4.1 issue_in_past today=2025-12-31"}),
        ({"approved_on": d("2026-01-01")}, {"R4.1 approved_later today=2025-12-31"}),
        ({"base": 1}, {f"R4.1 issued_since revision={max(each.number for each in ISSUES)}"}),
        ({"second": HANA}, {"R4.1 two_people"}),
        ({"grants": ()}, {"R4.1 no_authority area=T"}),
        ({"second_grants": (grant("train"),)}, {"R4.1 second_no_authority area=T"}),
    ],
)
def test_a_procedure_is_issued_by_two_forward_and_from_the_newest(changed, said):
    assert issued(**changed) == said


def test_a_revision_is_not_in_force_before_the_one_it_follows():
    coming = (*ISSUES, revision(9, "2026-03-01"))
    common = {"task": T, "base": 9, "approved_on": d("2025-12-30"), "touches": (), "criteria": 1}
    issue = NewIssue(**common, by=HANA, second=GUS, on=d("2025-12-31"), effective_on=d("2026-02-28"))

    found = told(refuse_issue(issue, frame=plant_of(revisions=coming), grants=OFFICE, second_grants=SUPERVISES))

    assert found == {"R4.1 issue_before_last effective=2026-03-01"}
