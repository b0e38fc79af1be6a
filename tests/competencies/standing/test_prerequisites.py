"""Blocked while a prerequisite is out, healed by itself (R6.3, R12), and which place a prerequisite means (3.12)."""

from dataclasses import replace

import pytest

from competencies.standing.facts import SITE, Lifting, Scope, Suspension, Withdrawal
from competencies.standing.scopes import (
    CircularPrerequisites,
    all_prerequisites,
    can_be_held,
    heaviest_bar,
    kind_of,
    serving_scopes,
)
from competencies.vocabulary import YoungWorker
from tests.competencies.standing.plant import (
    ANA,
    GUS,
    Book,
    at,
    d,
    frame,
    tale,
    task,
    terms,
)

F1, F2, F3, L1, L2 = Scope("L1", "F1"), Scope("L1", "F2"), Scope("L2", "F3"), Scope("L1"), Scope("L2")
BLOCKED = "R6.3 blocked scope= task=S-01"


def told_of(book, first, last, code="T-01", scope=SITE):
    return tale(book.rule(ANA).timeline(code, scope), first, last)


def two(**asked):
    """Return a book in which Ana holds S-01 for a year and T-01, which needs it, for three, both since 2025-03-10."""
    plant = frame(
        task("S-01", validity_months=12, grace_days=0, runs=2),
        task("T-01", validity_months=36, prerequisites=("S-01",), **asked),
    )
    book = Book(plant)
    book.sign_off(ANA, "S-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2025-03-10")
    return book


def test_r6_3_blocked_by_the_calendar_until_the_prerequisite_is_back():
    book = two()
    book.run(ANA, "S-01", "2026-03-15")
    book.sign_off(ANA, "S-01", "2026-03-20 15:00")

    assert told_of(book, "2025-03-10", "2026-12-01") == [
        "2025-03-10 in_force* |  |  | 2 | 2025-03-10 12:00",
        f"2026-03-11 blocked | {BLOCKED} | run S-01, assessment S-01 | 2",
        f"2026-03-15 blocked | {BLOCKED} | assessment S-01 | 2",
        "2026-03-20 in_force* |  |  | 2 | 2026-03-20 15:00",
    ]


def test_r6_3_blocked_by_a_decision_from_its_minute():
    book = two()
    place = book.on(Suspension, ANA, "S-01", "2025-05-05 10:40", by=GUS)
    book.of(Lifting, place, "2025-05-05 15:00")

    assert told_of(book, "2025-05-05", "2025-06-01") == [
        "2025-03-10 in_force* |  |  | 2 | 2025-03-10 12:00",
        f"2025-05-05 10:40 blocked | {BLOCKED} | lifting S-01 | 2",
        "2025-05-05 15:00 in_force* |  |  | 2 | 2025-05-05 15:00",
    ]


def test_r6_3_a_newcomer_is_blocked_from_the_first_entry_on_and_learning_goes_first():
    plant = frame(task("S-01", runs=2), task("T-01", prerequisites=("S-01",)))
    book = Book(plant)
    book.run(ANA, "T-01", "2025-03-03")

    assert told_of(book, "2025-03-02", "2025-12-01") == [
        "always not_started | R2.1 not_started | run, assessment",
        f"2025-03-03 learning | R2.1 not_signed_off; {BLOCKED} | run x2 S-01, assessment S-01, run, assessment",
    ]


def test_r6_3_a_prerequisite_that_the_plant_does_not_know_blocks_with_nothing_to_do():
    book = Book(frame(task("T-01", prerequisites=("X-99",))))
    book.sign_off(ANA, "T-01", "2025-03-10")

    assert told_of(book, "2025-03-10", "2025-03-10") == [
        "2025-03-10 blocked | R6.3 blocked scope= task=X-99 |  | 1",
    ]


def test_r6_3_through_two_levels_the_root_comes_first():
    plant = frame(
        task("A-01", "food", validity_months=12),
        task("B-01", validity_months=36, prerequisites=("A-01",)),
        task("C-01", validity_months=36, prerequisites=("B-01", "A-01")),
    )
    book = Book(plant)
    for code in plant.tasks:
        book.sign_off(ANA, code, "2025-03-10")

    assert told_of(book, "2026-03-11", "2026-03-11", "C-01") == [
        (
            "2026-03-11 blocked | R6.3 blocked scope= task=A-01; R6.3 blocked scope= task=B-01 | "
            "run A-01, assessment A-01, second_signature A-01 | 4"
        ),
    ]


def test_r4_11_a_sign_off_keeps_the_prerequisites_it_was_given_under_and_a_newcomer_gets_the_new_ones():
    issues = (
        terms(validity_months=36),
        terms(effective_on=d("2025-06-01"), validity_months=36, prerequisites=("S-01",), runs=3),
        terms(effective_on=d("2026-06-01"), validity_months=36, runs=2),
    )
    book = Book(frame(task("S-01"), replace(task("T-01"), terms=issues)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    newcomer = Book(book.plant)
    newcomer.run(ANA, "T-01", "2025-05-01")

    assert told_of(book, "2025-03-10", "2026-12-01") == ["2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00"]
    assert told_of(newcomer, "2025-05-01", "2026-12-01") == [
        "2025-05-01 ready | R2.1 not_signed_off | assessment",
        f"2025-06-01 learning | R2.1 not_signed_off; {BLOCKED} | run S-01, assessment S-01, run x3, assessment",
        "2026-06-01 learning | R2.1 not_signed_off | run x2, assessment",
    ]


def test_r4_11_a_renewal_takes_the_prerequisites_of_its_day():
    issues = (terms(validity_months=36), terms(effective_on=d("2025-06-01"), prerequisites=("S-01",)))
    book = Book(frame(task("S-01"), replace(task("T-01"), terms=issues)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2025-07-10")

    assert told_of(book, "2025-06-01", "2025-12-01") == [
        "2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00",
        f"2025-07-10 blocked | {BLOCKED} | run S-01, assessment S-01 | 2",
    ]


# -- places (R12, 3.12, 3.17) ----------------------------------------------------------------------------------------


def on_lines(*held, needed_by="line", serves="machine", places=None, held_at=()):
    """Return a book in which Ana holds S-01 at some scopes and T-01 on line L1."""
    named = {"prerequisite_places": {"S-01": places}} if places else {}
    plant = frame(
        task("S-01", "none", serves, validity_months=12, grace_days=0, held_at=held_at),
        task("T-01", "none", needed_by, validity_months=36, prerequisites=("S-01",), **named),
    )
    book = Book(plant)
    for scope in held:
        book.sign_off(ANA, "S-01", "2025-03-10", scope=scope)
    book.sign_off(ANA, "T-01", "2025-03-10", scope=L1)
    return book


def out(book, day):
    """Return where a prerequisite is out on a day, or None."""
    reasons = book.period(ANA, "T-01", day, scope=L1).reasons
    return next((dict(each.params)["scope"] for each in reasons if each.code == "blocked"), None)


@pytest.mark.parametrize(
    ("held", "place"),
    [((F1,), None), ((F2,), None), ((F1, F2), None), ((F3,), "L1"), ((), "L1")],
    ids=["one", "another", "both", "of another line", "none"],
)
def test_r12_a_line_task_needs_any_one_machine_of_its_line(held, place):
    assert out(on_lines(*held), "2025-03-11") == place


@pytest.mark.parametrize(
    ("held", "places", "place"),
    [((F1, F2), (F1, F2), None), ((F1,), (F1, F2), "L1/F2"), ((F2,), (F1, F2), "L1/F1"), ((F1,), (F1,), None)],
)
def test_r12_where_machines_are_named_all_of_them_are_needed(held, places, place):
    assert out(on_lines(*held, places=places), "2025-03-11") == place


def test_r12_one_machine_out_is_no_matter_while_another_is_held_and_the_nearest_way_is_told():
    book = on_lines(F1, F2)
    book.on(Withdrawal, ANA, "S-01", "2025-05-05", scope=F1, by=GUS)
    book.on(Suspension, ANA, "S-01", "2025-06-05 12:00", scope=F2, by=GUS)

    assert out(book, "2025-05-06") is None
    assert told_of(book, "2025-06-06", "2025-06-06", scope=L1) == [
        "2025-06-05 12:00 blocked | R6.3 blocked scope=L1/F1 task=S-01 | assessment S-01 at L1/F1 | 3",
    ]


def test_r12_what_is_missing_at_any_machine_of_a_line_is_asked_of_the_line():
    book = on_lines()

    assert told_of(book, "2025-03-11", "2025-03-11", scope=L1) == [
        "2025-03-10 blocked | R6.3 blocked scope=L1 task=S-01 | run S-01, assessment S-01 | 1",
    ]


@pytest.mark.parametrize(
    ("scope", "kind"), [(SITE, "site"), (L1, "line"), (F1, "machine"), (Scope("", "F1"), "machine")]
)
def test_the_kind_of_a_scope(scope, kind):
    assert kind_of(scope) == kind


@pytest.mark.parametrize(
    ("kind", "held_at", "scope", "can"),
    [
        ("machine", (), F1, True),
        ("machine", (F1,), F1, True),
        ("machine", (F1,), F2, False),
        ("machine", (), L1, False),
        ("line", (), L1, True),
        ("line", (L1,), L2, False),
        ("site", (), SITE, True),
        ("site", (), L1, False),
    ],
)
def test_a_task_is_held_at_its_own_kind_of_scope_and_among_those_named(kind, held_at, scope, can):
    assert can_be_held(task("S-01", scope=kind, held_at=held_at), scope) is can


@pytest.mark.parametrize(
    ("kind", "held_at", "at_scope", "known", "expected"),
    [
        ("machine", (F1, F2), F1, (F2,), (F1,)),
        ("machine", (F2, F1), L1, (), (F1, F2)),
        ("machine", (F3,), L1, (), (F3,)),
        ("machine", (F3, F2), L1, (F1,), (F2,)),
        ("machine", (), L1, (), ()),
        ("machine", (), L1, (F3,), ()),
        ("machine", (), SITE, (F3, F1), (F1, F3)),
        ("line", (L2,), F1, (), (L2,)),
        ("line", (L1, L2), SITE, (), (L1, L2)),
        ("line", (), F1, (L2,), (L1,)),
    ],
)
def test_3_12_the_same_place_else_any_of_the_line_else_any(kind, held_at, at_scope, known, expected):
    assert serving_scopes(task("S-01", scope=kind, held_at=held_at), at_scope, known) == expected


def test_all_prerequisites_go_down_by_any_terms_and_name_the_unknown():
    both = (terms(prerequisites=("B-01",)), terms(effective_on=d("2026-01-01"), prerequisites=("C-01",)))
    plant = frame(
        replace(task("A-01"), terms=both),
        task("B-01", prerequisites=("D-01", "X-99")),
        task("C-01"),
        task("D-01", prerequisites=("E-01",)),
    )

    assert all_prerequisites(plant, "A-01") == {"B-01", "C-01", "D-01", "E-01", "X-99"}
    assert all_prerequisites(plant, "C-01") == frozenset()
    assert all_prerequisites(plant, "X-99") == frozenset()


@pytest.mark.parametrize("code", ["A-01", "B-01"])
def test_a_task_that_needs_itself_is_named(code):
    plant = frame(task("A-01", prerequisites=("B-01",)), task("B-01", prerequisites=("A-01",)))

    with pytest.raises(CircularPrerequisites, match=f"^{code} needs itself$"):
        all_prerequisites(plant, code)


def test_a_circle_further_down_is_walked_once():
    plant = frame(
        task("A-01", prerequisites=("B-01",)),
        task("B-01", prerequisites=("C-01",)),
        task("C-01", prerequisites=("B-01",)),
    )

    assert all_prerequisites(plant, "A-01") == {"B-01", "C-01"}


@pytest.mark.parametrize(
    ("bars", "expected"),
    [((), "open"), (("open", "closed", "training_only"), "closed"), (("training_only", "open"), "training_only")],
)
def test_the_heaviest_bar(bars, expected):
    assert heaviest_bar(YoungWorker(bar) for bar in bars) == expected


def test_r6_3_a_block_begins_no_sooner_than_the_first_entry_and_cover_waits_for_the_gain():
    book = Book(frame(task("S-01", validity_months=12), task("T-01", prerequisites=("S-01",))))
    book.sign_off(ANA, "S-01", "2025-03-12 15:00")
    book.sign_off(ANA, "T-01", "2025-03-10")

    assert told_of(book, "2025-03-09", "2025-03-13") == [
        "always not_started | R2.1 not_started | run, assessment",
        f"2025-03-10 blocked | {BLOCKED} | run S-01, assessment S-01 | 2",
        "2025-03-12 in_force* |  |  | 2 | 2025-03-12 15:00",
    ]
    assert book.rule(ANA).in_force_at("S-01", SITE, at("2025-03-12 00:00"))
    assert not book.rule(ANA).in_force_at("S-01", SITE, at("2025-03-11 23:59"))


@pytest.mark.parametrize(
    ("held", "missing"), [((F1, F2), ()), ((F1,), (("S-01", F2),)), ((), (("S-01", F1), ("S-01", F2)))]
)
def test_r2_1_what_is_missing_is_told_with_its_place(held, missing):
    progress = on_lines(*held, places=(F1, F2)).rule(ANA).progress("T-01", L1, at("2025-03-09"))
    later = on_lines(*held, places=(F1, F2)).rule(ANA).progress("T-01", L1, at("2025-03-11"))

    assert progress.prerequisites_missing == (("S-01", F1), ("S-01", F2))
    assert later.prerequisites_missing == missing


@pytest.mark.parametrize(
    ("places", "held", "counts"),
    [((F1, F2), (F1,), False), ((F1, F2), (F1, F2), True), ((), (F1,), True)],
    ids=["one of two named", "both named", "none named: any of the line"],
)
def test_r1_1_a_safety_prerequisite_is_needed_at_every_place_named(places, held, counts):
    named = {"prerequisite_places": {"S-01": places}} if places else {}
    plant = frame(task("S-01", "safety", "machine"), task("T-01", "none", "line", prerequisites=("S-01",), **named))
    book = Book(plant)
    for scope in held:
        book.sign_off(ANA, "S-01", "2025-03-01", scope=scope)
    place = book.run(ANA, "T-01", "2025-03-03", scope=L1)

    assert (book.rule(ANA).progress("T-01", L1, at("2025-03-04")).counted == (place,)) is counts


def test_r6_3_a_critical_prerequisite_without_an_entry_asks_its_second_signature_too():
    plant = frame(task("S-01", "food", "machine"), task("T-01", "none", "line", prerequisites=("S-01",)))
    book = Book(plant)
    book.sign_off(ANA, "T-01", "2025-03-10", scope=L1)

    assert told_of(book, "2025-03-11", "2025-03-11", scope=L1) == [
        (
            "2025-03-10 blocked | R6.3 blocked scope=L1 task=S-01 | "
            "run S-01, assessment S-01, second_signature S-01 | 1"
        ),
    ]
