"""What a correction writes: what is struck, what is entered instead, what goes with it, what forbids it (R7)."""

from dataclasses import replace
from datetime import UTC

import pytest

from competencies.standing import facts as kinds
from competencies.standing.facts import SITE, Scope
from competencies.standing.replacing import (
    UNWRITTEN,
    Change,
    Correcting,
    Instead,
    companions,
    going_with,
    planned,
    refuse_change,
    refuse_undoing,
    replacement,
    twins_of,
)
from competencies.vocabulary import CorrectionCause
from tests.competencies.standing.plant import (
    ANA,
    BEN,
    DARA,
    ELI,
    FAY,
    GUS,
    HANA,
    IVO,
    Book,
    at,
    d,
    frame,
    revision,
    spoken,
    task,
    wall,
)

NAMES = {ANA: "ana", BEN: "ben", DARA: "dara", ELI: "eli", FAY: "fay", GUS: "gus", HANA: "hana", IVO: "ivo"}
RUNS, SIGNED, LINE = "PK-01", "PK-02", "LC-01"
L1, L2 = Scope("L1"), Scope("L2")
SAID = "2025-06-02 15:00"
ACT = Correcting(by=HANA, on=d("2025-06-01"), happened_at=at("2025-06-01 09:00"), now=at(SAID))


def plant_of(*revisions):
    issues = revisions or (revision(1, "2024-01-01"),)
    return frame(task(RUNS, revisions=issues), task(SIGNED, "food"), task(LINE, scope="line", held_at=(L1, L2)))


def change(cause="entered_in_error", *, twin=None, **instead):
    return Change(
        cause=CorrectionCause(cause),
        reason="read from the wrong line of the sheet",
        instead=Instead(**instead) if instead else None,
        twin=twin,
    )


def entry_of(book, seq):
    return next(fact for fact in book.facts if fact.seq == seq)


def place(seq):
    """Return a place in the ledger, or "#0" for the first entry of the act, which has none yet."""
    return str(seq) if seq < UNWRITTEN else f"#{seq - UNWRITTEN}"


def line(each):
    """Return an entry to be written in words: what it says, when it was written, and what it points at."""
    fact = each.fact
    said = [place(fact.seq), type(fact).__name__, NAMES[fact.person], fact.task, str(fact.scope)]
    said += [f"{fact.on}", "at", wall(fact.happened_at), "by", NAMES[fact.by], "written", wall(fact.recorded_at)]
    pointing = {name: getattr(fact, name, None) for name in ("of", "instead", "twin")}
    said += [f"{name} {place(seq)}" for name, seq in pointing.items() if seq is not None]
    said += [f"other {NAMES[fact.other]}"] if getattr(fact, "other", None) is not None else []
    if each.source is not None:
        said.append(f"for {fact.stands_for} ({each.source.seq}),")
        said.append(f"first {fact.first_seq} {wall(fact.first_recorded_at)}")
    return " ".join(filter(None, said))


def plan(book, seq, wrong, *, made=()):
    entry = entry_of(book, seq)
    of_person = [fact for fact in book.facts if fact.person == entry.person]
    entries = planned(entry, wrong, facts=of_person, made=made, act=ACT, frame=book.plant)
    return [line(each) for each in entries]


def struck(seq, person, rest, *, number=0):
    """Return the line of a correction by Hana of an entry."""
    return f"#{number} Correction {person} {rest} 2025-06-01 at 2025-06-01 09:00 by hana written {SAID} of {seq}"


# What is written


def test_an_entry_in_error_is_struck_and_nothing_takes_its_place_or_that_of_what_points_at_it():
    book = Book(plant_of())
    assessed = book.assess(ANA, SIGNED, "2025-03-03", by=DARA)
    book.sign(assessed, "2025-03-04")

    assert plan(book, assessed, change()) == [struck(1, "ana", "PK-02") + " other dara"]


@pytest.mark.parametrize(
    ("enter", "told"),
    [
        (
            lambda book: book.run(ANA, LINE, "2025-03-03", by=GUS, scope=L1),
            struck(1, "ana", "LC-01 L1") + " other gus",
        ),
        # A run that was joined to the record of who watched it tells of nobody else.
        (lambda book: book.run(ANA, RUNS, "2025-03-03", by=ANA), struck(1, "ana", "PK-01")),
        (lambda book: book.assess(ANA, RUNS, "2025-03-03", by=ANA), struck(1, "ana", "PK-01")),
        (lambda book: book.on(kinds.Suspension, ANA, RUNS, "2025-03-03", by=GUS), struck(1, "ana", "PK-01")),
    ],
    ids=["run", "own run", "own judgement", "stop"],
)
def test_a_correction_tells_of_who_watched_or_judged_too(enter, told):
    book = Book(plant_of())
    enter(book)

    assert plan(book, 1, change()) == [told]


def test_what_is_right_is_entered_first_and_what_points_at_the_entry_goes_with_it():
    book = Book(plant_of())
    assessed = book.assess(ANA, SIGNED, "2025-03-03 10:00", by=DARA, recorded="2025-03-03 11:00")
    book.sign(assessed, "2025-03-04 10:00", by=FAY)
    book.of(kinds.OutcomeSeen, assessed, "2025-03-05 10:00", by=ANA)
    book.of(kinds.Annulment, book.assess(ANA, SIGNED, "2025-03-06", by=DARA), "2025-03-07")

    assert plan(book, assessed, change("wrong_person", person=BEN)) == [
        (
            f"#0 Assessment ben PK-02 2025-03-03 at 2025-03-03 10:00 by dara written {SAID} for 1 (1),"
            " first 1 2025-03-03 11:00"
        ),
        struck(1, "ana", "PK-02", number=1) + " instead #0 other dara",
        (
            f"#2 SecondSignature ben PK-02 2025-03-04 at 2025-03-04 10:00 by fay written {SAID} of #0 for 2 (2),"
            " first 2 2025-03-04 10:00"
        ),
        struck(2, "ana", "PK-02", number=3) + " instead #2",
        (
            f"#4 OutcomeSeen ben PK-02 2025-03-05 at 2025-03-05 10:00 by ana written {SAID} of #0 for 3 (3),"
            " first 3 2025-03-05 10:00"
        ),
        struck(3, "ana", "PK-02", number=5) + " instead #4",
    ]


def test_what_goes_with_an_entry_goes_to_its_task_and_place():
    book = Book(plant_of())
    run = book.run(ANA, LINE, "2025-03-03", by=GUS, scope=L1)
    book.of(kinds.RunAccepted, run, "2025-03-10", by=HANA)

    told = plan(book, run, change("wrong_task", task=RUNS, scope=SITE))

    assert [text.split(" by ")[0] for text in told] == [
        "#0 Run ana PK-01 2025-03-03 at 2025-03-03 12:00",
        "#1 Correction ana LC-01 L1 2025-06-01 at 2025-06-01 09:00",
        "#2 RunAccepted ana PK-01 2025-03-10 at 2025-03-10 12:00",
        "#3 Correction ana LC-01 L1 2025-06-01 at 2025-06-01 09:00",
    ]


def test_what_was_corrected_before_goes_nowhere():
    book = Book(plant_of())
    assessed = book.assess(ANA, SIGNED, "2025-03-03", by=DARA)
    wrong = book.sign(assessed, "2025-03-04", by=FAY)
    book.of(kinds.Correction, wrong, "2025-03-05", by=HANA)
    book.sign(assessed, "2025-03-05", by=GUS)

    told = plan(book, assessed, change("wrong_date", on=d("2025-03-02")))

    assert [text.split()[1] for text in told] == ["Assessment", "Correction", "SecondSignature", "Correction"]
    assert "by gus" in told[2]


def test_the_order_of_the_first_of_a_chain_stays():
    book = Book(plant_of())
    first = book.run(ANA, RUNS, "2025-03-03 10:00", by=GUS, recorded="2025-03-03 11:00")
    second = book.run(
        ANA, RUNS, "2025-03-02 10:00", by=GUS, recorded="2025-04-01", stands_for=first, first_seq=first,
        first_recorded_at=at("2025-03-03 11:00"),
    )  # fmt: skip

    told = plan(book, second, change("wrong_date", on=d("2025-03-01")))

    assert told[0] == (
        f"#0 Run ana PK-01 2025-03-01 at 2025-03-01 10:00 by gus written {SAID} for 2 (2), first 1 2025-03-03 11:00"
    )


def test_a_double_points_at_the_other_and_its_signature_goes_there():
    book = Book(plant_of())
    assessed = book.assess(ANA, SIGNED, "2025-03-03 10:00", by=DARA)
    double = book.assess(ANA, SIGNED, "2025-03-03 10:05", by=DARA)
    book.sign(double, "2025-03-04 10:00", by=FAY)

    assert plan(book, double, change("double_entry", twin=assessed)) == [
        struck(2, "ana", "PK-02") + " twin 1 other dara",
        (
            f"#1 SecondSignature ana PK-02 2025-03-04 at 2025-03-04 10:00 by fay written {SAID} of 1 for 3 (3),"
            " first 3 2025-03-04 10:00"
        ),
        struck(3, "ana", "PK-02", number=2) + " instead #1",
    ]


# Corrections of corrections


def corrected_sign_off():
    """A judgement with its signature was moved from Ben's record to Ana's: places 1 to 6."""
    book = Book(plant_of())
    assessed = book.assess(BEN, SIGNED, "2025-03-03", by=DARA)
    signed = book.sign(assessed, "2025-03-04", by=FAY)
    moved = book.assess(ANA, SIGNED, "2025-03-03", by=DARA, recorded="2025-04-01", stands_for=1)
    book.of(kinds.Correction, assessed, "2025-04-01", by=HANA, instead=moved, other=DARA)
    signature = book.sign(moved, "2025-03-04", by=FAY, recorded="2025-04-01", stands_for=2)
    book.of(kinds.Correction, signed, "2025-04-01", by=HANA, instead=signature)
    return book


def test_to_correct_a_correction_brings_back_all_that_it_struck_and_strikes_what_it_made():
    book = corrected_sign_off()
    made = [entry_of(book, 3), entry_of(book, 5)]

    assert plan(book, 4, change(), made=made) == [
        struck(4, "ben", "PK-02") + " other dara",
        struck(6, "ben", "PK-02", number=1),
        struck(3, "ana", "PK-02", number=2) + " other dara",
        struck(5, "ana", "PK-02", number=3),
    ]


def test_what_was_brought_back_by_itself_is_not_brought_back_again():
    book = corrected_sign_off()
    book.of(kinds.Correction, 6, "2025-05-01", by=HANA)

    assert [text.split(" of ")[1] for text in plan(book, 4, change())] == ["4 other dara"]


@pytest.mark.parametrize(
    ("write", "is_with"),
    [
        (lambda book, signed, run: book.of(kinds.Correction, signed, "2025-04-01", by=HANA), True),
        (lambda book, signed, run: book.of(kinds.Correction, signed, "2025-04-01", by=GUS), False),
        (lambda book, signed, run: book.of(kinds.Correction, signed, "2025-04-01 12:01", by=HANA), False),
        # A run goes with nothing, and a signature with one judgement only.
        (lambda book, signed, run: book.of(kinds.Correction, run, "2025-04-01", by=HANA), False),
        (lambda book, signed, run: book.sign(1, "2025-04-01", by=HANA), False),
    ],
    ids=["same act", "by another", "a minute later", "of a run", "no correction"],
)
def test_a_correction_was_written_with_those_of_the_same_act(write, is_with):
    book = Book(plant_of())
    assessed = book.assess(ANA, SIGNED, "2025-03-03", by=DARA)
    signed = book.sign(assessed, "2025-03-04", by=FAY)
    run = book.run(ANA, SIGNED, "2025-03-02", by=GUS)
    correction = book.of(kinds.Correction, assessed, "2025-04-01", by=HANA)
    seq = write(book, signed, run)

    found = [each.seq for each in companions(entry_of(book, correction), book.facts)]

    assert found == ([seq] if is_with else [])


def test_a_signature_on_another_judgement_was_corrected_by_itself():
    book = Book(plant_of())
    one, two = (book.assess(ANA, SIGNED, when, by=DARA) for when in ("2025-03-03", "2025-03-05"))
    signed = [book.sign(one, "2025-03-06", by=FAY), book.sign(two, "2025-03-06", by=FAY)]
    corrections = [book.of(kinds.Correction, each, "2025-04-01", by=HANA) for each in (one, *signed)]
    # What it corrects is on another record: nothing is known of it here.
    stray = replace(entry_of(book, corrections[0]), seq=99, of=77)

    found = [each.seq for each in companions(entry_of(book, corrections[0]), [*book.facts, stray])]

    assert found == [corrections[1]]


def test_what_goes_with_an_entry_points_at_it_and_stands():
    book = Book(plant_of())
    assessed = book.assess(ANA, SIGNED, "2025-03-03", by=DARA)
    wrong = book.sign(assessed, "2025-03-04", by=FAY)
    seen = book.of(kinds.OutcomeSeen, assessed, "2025-03-04", by=ANA)
    book.of(kinds.Correction, wrong, "2025-03-05", by=HANA)
    appealed = book.of(kinds.Appeal, assessed, "2025-03-06", by=ANA)
    book.of(kinds.Lifting, book.on(kinds.Suspension, ANA, SIGNED, "2025-03-07", by=GUS), "2025-03-08")

    assert [each.seq for each in going_with(entry_of(book, assessed), iter(book.facts))] == [seen, appealed]


# The entry as it should have been


def told_of(fact):
    names = ("shift", "revision")
    told = [f"{name} {getattr(fact, name)}" for name in names if hasattr(fact, name)]
    return " ".join([NAMES[fact.person], fact.task, f"{fact.scope}", f"{fact.on}", wall(fact.happened_at), *told])


@pytest.mark.parametrize(
    ("instead", "told"),
    [
        ({"person": BEN}, "ben LC-01 L1 2025-03-03 2025-03-03 12:00 shift day revision 1"),
        ({"task": RUNS, "scope": SITE}, "ana PK-01  2025-03-03 2025-03-03 12:00 shift day revision 1"),
        ({"scope": L2}, "ana LC-01 L2 2025-03-03 2025-03-03 12:00 shift day revision 1"),
        ({"shift": "late"}, "ana LC-01 L1 2025-03-03 2025-03-03 12:00 shift late revision 1"),
        ({"shift": ""}, "ana LC-01 L1 2025-03-03 2025-03-03 12:00 shift day revision 1"),
        ({"revision": 3}, "ana LC-01 L1 2025-03-03 2025-03-03 12:00 shift day revision 3"),
        ({"on": d("2025-03-01")}, "ana LC-01 L1 2025-03-01 2025-03-01 12:00 shift day revision 1"),
    ],
    ids=str,
)
def test_what_is_not_named_stays_as_it_was(instead, told):
    book = Book(plant_of())
    book.run(ANA, LINE, "2025-03-03", by=GUS, scope=L1)

    right = replacement(book.facts[0], Instead(**instead), frame=book.plant)

    assert told_of(right) == told
    assert (right.by, right.seq, right.confirmed_at) == (GUS, 1, at("2025-03-03"))


def test_only_a_run_has_a_shift():
    book = Book(plant_of())
    book.on(kinds.Suspension, ANA, RUNS, "2025-03-03", by=GUS)
    wrong = Instead(person=BEN, shift="late", revision=2)

    assert replacement(book.facts[0], wrong, frame=book.plant) == replace(book.facts[0], person=BEN)


@pytest.mark.parametrize(
    ("when", "on", "instead", "moved"),
    [
        ("2025-03-03 09:20", None, {"on": d("2025-02-27")}, "2025-02-27 2025-02-27 09:20"),
        # The small hours of a night belong to the day before, and go on doing so.
        ("2025-03-04 02:15", "2025-03-03", {"on": d("2025-03-10")}, "2025-03-10 2025-03-11 02:15"),
        # The clocks went forward on 30 March 2025: the time on the wall stays.
        ("2025-03-28 09:20", None, {"on": d("2025-04-02")}, "2025-04-02 2025-04-02 09:20"),
        ("2025-04-02 00:20", None, {"on": d("2025-03-28")}, "2025-03-28 2025-03-28 00:20"),
        ("2025-03-03 09:20", None, {"on": d("2025-03-03")}, "2025-03-03 2025-03-03 09:20"),
        # A moment that is named: the date that the shift starts moves by as many days.
        ("2025-03-03 09:20", None, {"happened_at": at("2025-03-03 09:50")}, "2025-03-03 2025-03-03 09:50"),
        ("2025-03-03 09:20", None, {"happened_at": at("2025-03-01 23:50")}, "2025-03-01 2025-03-01 23:50"),
        ("2025-03-04 02:15", "2025-03-03", {"happened_at": at("2025-03-06 01:00")}, "2025-03-05 2025-03-06 01:00"),
        # By the plant's clock, which showed 00:30 on 2 June when it was still 1 June in UTC.
        ("2025-06-01 09:00", None, {"happened_at": at("2025-06-02 00:30")}, "2025-06-02 2025-06-02 00:30"),
        (
            *("2025-03-04 02:15", "2025-03-03"),
            {"happened_at": at("2025-03-06 01:00"), "on": d("2025-03-06")},
            "2025-03-06 2025-03-06 01:00",
        ),
    ],
    ids=[
        *("date", "small hours of a night", "over the clock change", "and back", "same date"),
        *("minute", "two days earlier", "night by the minute", "by the plant's clock", "both named"),
    ],
)
def test_a_right_date_keeps_the_time_and_a_right_time_moves_the_date(when, on, instead, moved):
    book = Book(plant_of())
    book.run(ANA, RUNS, when, on=on, by=GUS)

    right = replacement(book.facts[0], Instead(**instead), frame=book.plant)

    assert f"{right.on} {wall(right.happened_at)}" == moved
    assert right.happened_at.tzinfo is UTC


ISSUES = (revision(1, "2024-01-01"), revision(2, "2025-02-01"), revision(3, "2025-05-01", approved_on=d("2025-02-20")))


@pytest.mark.parametrize(
    ("was", "instead", "number"),
    [
        (2, {"on": d("2025-03-01")}, 2),
        (2, {"on": d("2025-02-01")}, 2),
        (2, {"on": d("2025-01-31")}, 1),
        (2, {"happened_at": at("2025-01-31 09:00")}, 1),
        # On an old or on a coming one: it was meant, and stays.
        (1, {"on": d("2025-03-01")}, 1),
        (3, {"on": d("2025-01-31")}, 3),
        (2, {"on": d("2025-01-31"), "revision": 2}, 2),
        # Of another task the one in force there; where there is none, nothing better is known.
        (2, {"task": SIGNED}, 4),
        (2, {"task": LINE}, 2),
        (2, {"task": "XX-99"}, 2),
        (2, {"on": d("2023-12-31")}, 2),
    ],
    ids=str,
)
@pytest.mark.parametrize("kind", [kinds.Run, kinds.Assessment, kinds.Acknowledgement])
def test_what_was_on_the_revision_in_force_is_on_the_one_in_force_on_the_right_day(kind, was, instead, number):
    tasks = [task(RUNS, revisions=ISSUES), task(SIGNED, revisions=[revision(4, "2025-01-01")])]
    book = Book(frame(*tasks, task(LINE, revisions=[revision(1, "2026-01-01")])))
    if kind is kinds.Run:
        book.run(ANA, RUNS, "2025-03-03", by=GUS, revision=was)
    elif kind is kinds.Assessment:
        book.assess(ANA, RUNS, "2025-03-03", by=GUS, revision=was)
    else:
        book.on(kind, ANA, RUNS, "2025-03-03", by=ANA, revision=was)

    assert replacement(book.facts[0], Instead(**instead), frame=book.plant).revision == number


def test_the_revision_stays_where_the_task_of_the_entry_is_not_known():
    book = Book(plant_of())
    book.run(ANA, "XX-99", "2025-03-03", by=GUS, revision=7)

    assert replacement(book.facts[0], Instead(task=RUNS), frame=book.plant).revision == 7


# What is refused


def refused(book, seq, wrong):
    return spoken(refuse_change(entry_of(book, seq), wrong, facts=book.facts, frame=book.plant))


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (change(), ""),
        (change("wrong_person", person=BEN), ""),
        (change("wrong_task", task=SIGNED), ""),
        (change("wrong_scope", scope=L1), ""),
        (change("wrong_date", on=d("2025-03-02")), ""),
        (change("wrong_person", person=ANA), "R7 nothing_instead"),
        (change("wrong_date", on=d("2025-03-03")), "R7 nothing_instead"),
        (change("wrong_task", task=RUNS, scope=SITE, revision=1, shift="day"), "R7 nothing_instead"),
        # Nothing is recorded beforehand: it was written down at 14:00 on 4 March.
        (change("wrong_date", happened_at=at("2025-03-04 14:00")), ""),
        (change("wrong_date", happened_at=at("2025-03-04 14:01")), "R7 recorded_before at=2025-03-04T14:00:00+00:00"),
        (change("wrong_date", on=d("2025-03-05")), "R7 recorded_before at=2025-03-04T14:00:00+00:00"),
    ],
    ids=str,
)
def test_what_is_right_differs_and_lies_before_the_writing_down(wrong, said):
    book = Book(plant_of())
    run = book.run(ANA, RUNS, "2025-03-03", by=GUS, recorded="2025-03-04 14:00")

    assert refused(book, run, wrong) == said


def test_of_a_chain_the_first_writing_down_is_the_end_of_right_dates():
    book = Book(plant_of())
    run = book.run(ANA, RUNS, "2025-03-03", by=GUS, recorded="2025-04-01", first_recorded_at=at("2025-03-04 14:00"))

    assert refused(book, run, change("wrong_date", on=d("2025-03-04"))) == ""
    assert refused(book, run, change("wrong_date", on=d("2025-03-05"))) == (
        "R7 recorded_before at=2025-03-04T14:00:00+00:00"
    )


@pytest.mark.parametrize("cause", ["wrong_person", "wrong_task", "wrong_scope", "entered_in_error", "wrong_date"])
def test_of_what_points_at_an_entry_only_the_date_is_put_right_by_itself(cause):
    book = Book(plant_of())
    signed = book.sign(book.assess(ANA, SIGNED, "2025-03-03", by=DARA), "2025-03-05", by=FAY)
    said = "" if cause == "wrong_date" else "R7 follows_another entry=1"

    assert refused(book, signed, change(cause, on=d("2025-03-04"))) == said
    assert refused(book, signed, change(cause)) == ""


def test_the_date_of_a_signature_is_put_right_to_another_one_before_it_was_written_down():
    book = Book(plant_of())
    signed = book.sign(book.assess(ANA, SIGNED, "2025-03-03", by=DARA), "2025-03-05", by=FAY)

    assert refused(book, signed, change("wrong_date", on=d("2025-03-05"))) == "R7 nothing_instead"
    assert refused(book, signed, change("wrong_date", on=d("2025-03-06"))) == (
        "R7 recorded_before at=2025-03-05T12:00:00+00:00"
    )


@pytest.mark.parametrize(
    ("write", "wrong", "said"),
    [
        (
            lambda book: book.write(kinds.Employment, ANA, "2025-03-03", by=HANA, started_on=d("2025-03-03")),
            change("wrong_person", person=BEN),
            "R7 not_replaceable",
        ),
        (
            lambda book: book.write(kinds.Employment, ANA, "2025-03-03", by=HANA, started_on=d("2025-03-03")),
            change("entered_in_error"),
            "",
        ),
        (
            lambda book: book.write(kinds.Check, ANA, "2025-03-03", calculation="C01", passed=True, by=ELI),
            change("wrong_task", task=RUNS),
            "R7 not_replaceable",
        ),
        (
            lambda book: book.write(kinds.Check, ANA, "2025-03-03", calculation="C01", passed=True, by=ELI),
            change("wrong_scope", scope=L1),
            "R7 not_replaceable",
        ),
        (
            lambda book: book.write(kinds.Check, ANA, "2025-03-03", calculation="C01", passed=True, by=ELI),
            change("wrong_person", person=BEN),
            "",
        ),
        (
            lambda book: book.write(kinds.PeopleJoined, ANA, "2025-03-03", by=HANA, other=BEN),
            change(),
            "R7 part_instead",
        ),
        (
            lambda book: book.write(kinds.PeopleParted, ANA, "2025-03-03", by=HANA, other=BEN, entries=frozenset({1})),
            change("wrong_person", person=IVO),
            "R7 part_instead",
        ),
    ],
    ids=["hired: who", "hired: struck", "sum: task", "sum: place", "sum: who", "joining", "parting"],
)
def test_only_deeds_are_replaced_and_a_joining_is_parted(write, wrong, said):
    book = Book(plant_of())

    assert refused(book, write(book), wrong) == said


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (change(), ""),
        (change("wrong_date", on=d("2025-03-02")), "R7 not_replaceable"),
        (change("double_entry", twin=1), "R7 not_replaceable"),
    ],
    ids=["undone", "replaced", "double"],
)
def test_a_correction_is_undone_and_never_replaced(wrong, said):
    book = Book(plant_of())
    correction = book.of(kinds.Correction, book.run(ANA, RUNS, "2025-03-03", by=GUS), "2025-03-04", by=HANA)

    assert refused(book, correction, wrong) == said


# Doubles


def test_the_other_of_a_pair_says_the_same_and_the_nearest_comes_first():
    book = Book(plant_of())
    entries = [book.run(ANA, RUNS, f"2025-03-{day:02} 10:00", by=GUS) for day in (1, 3, 4, 6, 3, 10)]
    one, two, three, four, five, wrong = entries
    book.of(kinds.Correction, wrong, "2025-03-11", by=HANA)
    # Of the same minute: the one that was written first; of the same distance either way, too.
    expected = [five, three, one, four]

    assert [each.seq for each in twins_of(entry_of(book, two), iter(book.facts))] == expected
    assert refused(book, two, change("double_entry", twin=four)) == ""
    assert refused(book, two, change("double_entry", twin=wrong)) == "R7 no_twin"
    assert refused(book, two, change("double_entry", twin=two)) == "R7 no_twin"
    assert refused(book, two, change("double_entry")) == "R7 no_twin"
    assert refused(book, two, change(twin=wrong)) == ""


@pytest.mark.parametrize(
    ("write", "is_double"),
    [
        (lambda book: book.run(ANA, LINE, "2025-03-04", by=DARA, scope=L1, shift="late"), True),
        (lambda book: book.run(BEN, LINE, "2025-03-03", by=GUS, scope=L1), False),
        (lambda book: book.run(ANA, RUNS, "2025-03-03", by=GUS, scope=L1), False),
        (lambda book: book.run(ANA, LINE, "2025-03-03", by=GUS, scope=L2), False),
        (lambda book: book.assess(ANA, LINE, "2025-03-03", by=GUS, scope=L1), False),
    ],
    ids=["another day and watcher", "person", "task", "place", "kind"],
)
def test_a_double_is_of_the_same_kind_person_task_and_place(write, is_double):
    book = Book(plant_of())
    run = book.run(ANA, LINE, "2025-03-03", by=GUS, scope=L1)
    other = write(book)

    assert [each.seq for each in twins_of(entry_of(book, run), book.facts)] == ([other] if is_double else [])


def test_a_double_is_of_the_same_sum_and_of_the_same_entry():
    book = Book(plant_of())
    sums = [
        book.write(kinds.Check, ANA, "2025-03-03", calculation=code, passed=passed, by=ELI)
        for code, passed in (("C01", True), ("C02", True), ("C01", False))
    ]
    judged = [book.assess(ANA, SIGNED, when, by=DARA) for when in ("2025-03-03", "2025-03-04")]
    signed = [book.sign(of, "2025-03-05", by=by) for of, by in ((judged[0], FAY), (judged[1], FAY), (judged[0], GUS))]

    assert [each.seq for each in twins_of(entry_of(book, sums[0]), book.facts)] == [sums[2]]
    assert [each.seq for each in twins_of(entry_of(book, signed[0]), book.facts)] == [signed[2]]


# What a correction made, and what became of it


@pytest.mark.parametrize(
    ("since", "said"),
    [
        (lambda book: None, ""),
        (lambda book: book.of(kinds.Correction, 3, "2025-05-01", by=HANA), "R7 instead_corrected entry=3"),
        (lambda book: book.of(kinds.OutcomeSeen, 3, "2025-05-01", by=ANA), "R7 instead_corrected entry=3"),
        (lambda book: book.of(kinds.Correction, 5, "2025-05-01", by=HANA), "R7 instead_corrected entry=5"),
        (
            lambda book: [book.of(kinds.Correction, seq, "2025-05-01", by=HANA) for seq in (5, 3)],
            "R7 instead_corrected entry=3; R7 instead_corrected entry=5",
        ),
        # What stands again is no longer corrected.
        (
            lambda book: book.of(
                kinds.Correction, book.of(kinds.Correction, 3, "2025-05-01", by=HANA), "2025-05-02", by=HANA
            ),
            "",
        ),
        (lambda book: book.assess(ANA, SIGNED, "2025-05-01", by=DARA), ""),
    ],
    ids=["nothing", "corrected", "signed", "signature corrected", "both corrected", "undone again", "another entry"],
)
def test_a_correction_is_not_undone_once_what_it_made_was_corrected_or_signed(since, said):
    book = corrected_sign_off()
    made = [entry_of(book, 3), entry_of(book, 5)]
    since(book)
    of_ana = [fact for fact in book.facts if fact.person == ANA]

    found = refuse_undoing(made=made, facts_of_made=iter(of_ana))

    assert spoken(found) == said
