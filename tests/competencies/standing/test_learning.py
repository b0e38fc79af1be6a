"""Before the first sign-off, first trainers, and what a period shows (R2.1, R2.4, R4.10), told period by period."""

from dataclasses import replace

from competencies.standing.facts import SITE, InitialTrainer, Withdrawal
from tests.competencies.standing.plant import ANA, GUS, HANA, Book, d, frame, revision, tale, task, terms


def told_of(book, first, last):
    return tale(book.rule(ANA).timeline("T-01", SITE), first, last)


def test_r2_1_who_has_not_begun_is_asked_the_runs_of_the_terms_of_the_day():
    issues = (terms(runs=4), terms(effective_on=d("2025-06-01"), runs=2))
    book = Book(frame(replace(task("T-01"), terms=issues)))

    assert told_of(book, "2025-05-31", "2025-06-01") == [
        "always not_started | R2.1 not_started | run x4, assessment",
        "2025-06-01 not_started | R2.1 not_started | run x2, assessment",
    ]


def test_r4_10_a_learner_who_is_named_gains_at_the_minute_and_learns_on_after_day_90():
    # Named on 2025-05-16: day 90 is 2025-08-14.
    book = Book(frame(task("T-01", runs=2)))
    book.run(ANA, "T-01", "2025-05-12")
    book.on(InitialTrainer, ANA, "T-01", "2025-05-16 15:00", by=HANA)

    assert told_of(book, "2025-05-12", "2025-08-15") == [
        "2025-05-12 learning | R2.1 not_signed_off | run x2, assessment",
        "2025-05-16 in_force* | R4.10 initial_trainer until=2025-08-14 |  | 2 | 2025-05-16 15:00",
        "2025-08-15 learning | R2.1 not_signed_off | run x2, assessment",
    ]


def test_r4_10_so_does_who_was_ready():
    book = Book(frame(task("T-01")))
    book.run(ANA, "T-01", "2025-05-12")
    book.on(InitialTrainer, ANA, "T-01", "2025-05-16 15:00", by=HANA)

    assert told_of(book, "2025-05-12", "2025-08-15") == [
        "2025-05-12 ready | R2.1 not_signed_off | assessment",
        "2025-05-16 in_force* | R4.10 initial_trainer until=2025-08-14 |  | 2 | 2025-05-16 15:00",
        "2025-08-15 ready | R2.1 not_signed_off | assessment",
    ]


def test_r4_10_so_does_who_waits_for_a_signature_that_never_comes():
    # Assessed on 2025-05-12: the signature may come through day 14, 2025-05-26.
    book = Book(frame(task("T-01", "food")))
    book.assess(ANA, "T-01", "2025-05-12")
    book.on(InitialTrainer, ANA, "T-01", "2025-05-16 15:00", by=HANA)
    named = "R4.10 initial_trainer until=2025-08-14"
    asked = "run, assessment, second_signature"

    assert told_of(book, "2025-05-12", "2025-08-15") == [
        "2025-05-12 awaiting_signature | R2.4 awaiting_signature | second_signature",
        f"2025-05-16 in_force* | {named} |  | 2 | 2025-05-16 15:00",
        f"2025-05-27 in_force* | R2.4 void assessed=2025-05-12; {named} |  | 2",
        f"2025-08-15 learning | R2.1 not_signed_off; R2.4 void assessed=2025-05-12 | {asked}",
    ]


def test_r4_10_a_holder_who_is_named_has_nothing_to_gain():
    # The minor revision is to be read by day 30, 2025-07-01; day 90 after 2025-06-10 is 2025-09-08.
    issues = [revision(1, "2001-01-01"), revision(2, "2025-06-01", "minor")]
    book = Book(frame(task("T-01", revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.on(InitialTrainer, ANA, "T-01", "2025-06-10 15:00", by=HANA)

    assert told_of(book, "2025-06-01", "2025-06-30") == [
        "2025-06-01 in_force* | R4.2 acknowledgement_due revision=2 until=2025-07-01 |  | 1",
        "2025-06-10 in_force* | R4.10 initial_trainer until=2025-09-08 |  | 1 2",
    ]


def test_r2_4_a_signature_is_awaited_also_after_a_withdrawal_that_it_cannot_mend():
    # Assessed again on 2025-06-02: the signature may come through day 14, 2025-06-16.
    book = Book(frame(task("T-01", "food", validity_months=36)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.assess(ANA, "T-01", "2025-06-02")
    book.on(Withdrawal, ANA, "T-01", "2025-06-04 10:00", by=GUS)
    back = "assessment, second_signature"

    assert told_of(book, "2025-06-02", "2025-06-17") == [
        "2025-06-02 in_force* | R2.4 awaiting_signature |  | 1 2",
        f"2025-06-04 10:00 withdrawn | R6.2 withdrawn; R2.4 awaiting_signature | {back} | 1 2 4",
        f"2025-06-17 withdrawn | R6.2 withdrawn; R2.4 void assessed=2025-06-02 | {back} | 1 2 4",
    ]


def test_a_task_without_a_written_procedure_shows_the_revision_signed_for():
    book = Book(frame(replace(task("T-01"), revisions=())))
    book.sign_off(ANA, "T-01", "2025-03-10")
    period = book.period(ANA, "T-01", "2025-03-11")

    assert (period.standing.value, period.revision, period.rests_on) == ("in_force", 1, (1,))


def test_nobody_who_was_never_signed_off_shows_a_revision():
    # A delta alone makes no sign-off.
    book = Book(frame(task("T-01")))
    book.assess(ANA, "T-01", "2025-03-10", delta=True)
    period = book.period(ANA, "T-01", "2025-03-11")

    assert (period.last_valid_on, period.revision, period.rests_on) == (None, None, ())
