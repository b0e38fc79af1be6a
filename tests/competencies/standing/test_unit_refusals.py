"""Who may decide, report and moderate a unit, who is put on a pathway, and all that is said against it (R8)."""

from dataclasses import replace

import pytest

from competencies.standing.credits import Qualification, Unit
from competencies.standing.facts import (
    Annulment,
    Check,
    Employment,
    Moderation,
    UnitDecision,
    UnitReported,
    Withdrawal,
)
from competencies.standing.unit_records import governing, unit_records
from competencies.standing.unit_refusals import (
    refuse_enrolment,
    refuse_moderation,
    refuse_unit_decision,
    refuse_unit_report,
)
from tests.competencies.standing.plant import ANA, DARA, ELI, GUS, HANA, Book, at, d, frame, grant, spoken, task

UNIT = Unit(code="U1", version=1, level=3, credits=5, group="K", outcomes={1: ("PK-01",), 2: ("QC-02", "calc:C01")})
NEWER = Unit(code="U1", version=2, level=3, credits=6, group="K", first_assessment_on=d("2025-03-04"))
CLOSING = Unit(code="U3", version=4, level=3, credits=4, group="K", last_assessment_on=d("2025-03-03"))
OF_ANY_AREA = Unit(code="U4", version=1, level=3, credits=4, group="K", outcomes={1: ("calc:C01",)})
FOR_ADULTS = Unit(code="U5", version=1, level=3, credits=2, group="K", adults_only=True)
UNITS = (UNIT, NEWER, CLOSING, OF_ANY_AREA, FOR_ADULTS)
ASSESSES, REPORTS, AUDITS = (grant("assess"),), (grant("coordinate"),), (grant("audit"),)
NOW = at("2025-12-31")


def learned():
    """Ana has held both tasks since 3 February and passed the sum that day."""
    book = Book(frame(task("PK-01", validity_months=24), task("QC-02", validity_months=24)))
    book.places = [book.sign_off(ANA, code, "2025-02-03", by=DARA) for code in ("PK-01", "QC-02")]
    book.write(Check, ANA, "2025-02-03", calculation="C01", passed=True, by=ELI)
    return book


def decide(book, unit=UNIT, when="2025-03-03 10:00", *, by=ELI, **fields):
    return book.write(UnitDecision, ANA, when, unit=unit.code, version=unit.version, by=by, **fields)


def refused_decision(book, *, grants=ASSESSES, units=UNITS, now=NOW):
    decision = book.facts[-1]
    return spoken(refuse_unit_decision(decision, units=units, rule=book.rule(ANA), grants=grants, now=now))


def record_of(book):
    """Return the record of the one decision in the book, as it stands on the last day of the year."""
    return governing(unit_records(book.rule(ANA).of_units, d("2025-12-31"))).get(UNIT.key)


# Decisions (R8.1, R8.4)


@pytest.mark.parametrize(
    ("grants", "is_assessor"),
    [
        (ASSESSES, True),
        ((grant("assess", "PK"),), True),
        ((grant("assess", "QC"),), True),
        ((grant("assess", "BH"),), False),
        ((grant("assess", "BH"), grant("assess", "QC")), True),
        ((grant("train"), grant("coordinate"), grant("audit")), False),
        ((grant("assess", end="2025-03-02"),), False),
        ((grant("assess", end="2025-03-03"),), True),
        ((grant("assess", start="2025-03-03"),), True),
        ((grant("assess", start="2025-03-04"),), False),
        ((), False),
    ],
    ids=str,
)
@pytest.mark.parametrize("elsewhere", [False, True], ids=["here", "elsewhere"])
def test_an_assessor_for_an_area_of_the_unit_decides_on_that_day(grants, is_assessor, elsewhere):
    book = learned()
    decide(book, elsewhere=elsewhere)

    assert refused_decision(book, grants=grants) == ("" if is_assessor else "R8.1 no_unit_authority unit=U1")


@pytest.mark.parametrize("unit", [OF_ANY_AREA, FOR_ADULTS], ids=["sums only", "no outcomes"])
def test_a_unit_without_tasks_is_decided_by_an_assessor_of_any_area(unit):
    book = learned()
    decide(book, unit)

    assert refused_decision(book, grants=(grant("assess", "BH"),)) == ""
    assert refused_decision(book, grants=(grant("assess", "BH", end="2025-03-02"),)) == (
        f"R8.1 no_unit_authority unit={unit.code}"
    )


def test_a_task_that_the_plant_does_not_have_gives_no_area():
    unit = Unit(code="U9", version=1, level=3, credits=1, group="K", outcomes={1: ("XX-99", "QC-02")})
    book = learned()
    decide(book, unit, elsewhere=True)

    assert refused_decision(book, units=[unit], grants=(grant("assess", "QC"),)) == ""
    assert refused_decision(book, units=[unit], grants=(grant("assess", "XX"),)) == "R8.1 no_unit_authority unit=U9"


@pytest.mark.parametrize(
    ("unit", "when", "said"),
    [
        (NEWER, "2025-03-03", "R8.4 version_coming first_day=2025-03-04 unit=U1"),
        (NEWER, "2025-03-04", ""),
        (CLOSING, "2025-03-03", ""),
        (CLOSING, "2025-03-04", "R8.4 version_closed last_day=2025-03-03 unit=U3"),
        (replace(NEWER, version=3), "2025-03-04", "R8.4 unknown_version unit=U1 version=3"),
        (replace(NEWER, code="U8"), "2025-03-04", "R8.4 unknown_version unit=U8 version=2"),
    ],
    ids=["the day before its first", "first day", "last day", "the day after", "no such version", "no such unit"],
)
def test_the_decision_day_picks_the_version(unit, when, said):
    book = learned()
    decide(book, unit, when)

    assert refused_decision(book) == said


@pytest.mark.parametrize(
    ("unit", "until", "said"),
    [
        (FOR_ADULTS, "2025-03-04", "R8 age unit=U5 until=2025-03-04"),
        (FOR_ADULTS, "2025-03-03", ""),
        (FOR_ADULTS, None, ""),
        (OF_ANY_AREA, "2025-03-04", ""),
    ],
    ids=["a day too young", "of age that day", "no bar", "a unit for all"],
)
def test_a_unit_for_adults_is_not_decided_for_a_young_worker(unit, until, said):
    book = learned()
    book.write(Employment, ANA, "2025-01-06", started_on=d("2025-01-06"), restricted_until=until and d(until))
    decide(book, unit)

    assert refused_decision(book) == said


def test_without_a_word_on_employment_there_is_no_bar():
    book = learned()
    decide(book, FOR_ADULTS)

    assert refused_decision(book) == ""


@pytest.mark.parametrize(
    ("change", "elsewhere", "said"),
    [
        (lambda book: None, False, ""),
        (lambda book: book.of(Annulment, book.places[0], "2025-02-10"), False, "R8.1 outcome_not_met outcome=1"),
        (lambda book: book.of(Annulment, book.places[1], "2025-02-10"), False, "R8.1 outcome_not_met outcome=2"),
        (
            lambda book: [book.of(Annulment, place, "2025-02-10") for place in book.places],
            False,
            "R8.1 outcome_not_met outcome=1; R8.1 outcome_not_met outcome=2",
        ),
        (lambda book: book.of(Annulment, book.places[0], "2025-02-10"), True, ""),
        # To the minute: a decision at 10:00.
        (
            lambda book: book.on(Withdrawal, ANA, "PK-01", "2025-03-03 10:00", by=GUS),
            False,
            "R8.1 outcome_not_met outcome=1",
        ),
        (lambda book: book.on(Withdrawal, ANA, "PK-01", "2025-03-03 10:01", by=GUS), False, ""),
    ],
    ids=["all stand", "first", "second", "both", "gained elsewhere", "withdrawn by then", "withdrawn a minute later"],
)
def test_each_outcome_stands_when_it_is_decided(change, elsewhere, said):
    book = learned()
    change(book)
    decide(book, elsewhere=elsewhere)

    assert refused_decision(book) == said


def test_all_that_is_against_a_decision_is_said_at_once_in_order():
    unit = Unit(
        code="U7",
        version=1,
        level=3,
        credits=1,
        group="K",
        outcomes={1: ("PK-01",), 4: ("PK-01",)},
        last_assessment_on=d("2025-03-02"),
        adults_only=True,
    )
    book = Book(frame(task("PK-01")))
    book.write(Employment, ANA, "2025-01-06", restricted_until=d("2025-06-15"))
    decide(book, unit, by=ANA)

    assert refused_decision(book, units=[unit], grants=(), now=at("2025-03-03 09:59")).split("; ") == [
        "R2.6 future",
        "R8.1 own",
        "R8.4 version_closed last_day=2025-03-02 unit=U7",
        "R8.1 no_unit_authority unit=U7",
        "R8 age unit=U7 until=2025-06-15",
        "R8.1 outcome_not_met outcome=1",
        "R8.1 outcome_not_met outcome=4",
    ]
    assert refused_decision(book, units=[unit], grants=(), now=at("2025-03-03 10:00")).startswith("R8.1 own")


# Reports (R8.8)


def refused_report(book, when, *, of=None, grants=REPORTS, by=HANA, now=NOW, record="known"):
    known = record_of(book) if record == "known" else record
    book.write(UnitReported, ANA, when, of=of or 0, by=by)
    return spoken(refuse_unit_report(book.facts.pop(), record=known, grants=grants, now=now))


@pytest.mark.parametrize(
    ("grants", "is_entitled"),
    [
        (REPORTS, True),
        ((grant("coordinate", "BH"),), True),
        ((grant("coordinate", end="2025-04-01"),), True),
        ((grant("coordinate", end="2025-03-31"),), False),
        ((grant("coordinate", start="2025-04-02"),), False),
        ((grant("assess"), grant("audit"), grant("train")), False),
        ((), False),
    ],
    ids=str,
)
def test_a_coordinator_of_any_area_reports_a_unit(grants, is_entitled):
    book = learned()
    decide(book)

    assert refused_report(book, "2025-04-01", grants=grants) == ("" if is_entitled else "R8.8 not_coordinator")


@pytest.mark.parametrize(
    ("when", "said"),
    [
        ("2025-03-02", "R8.8 before_decision decided=2025-03-03"),
        # A day is reported, no minute.
        ("2025-03-03 08:00", ""),
        ("2025-03-04", ""),
    ],
)
def test_nothing_is_reported_before_it_was_decided(when, said):
    book = learned()
    decide(book)

    assert refused_report(book, when) == said


@pytest.mark.parametrize(
    ("story", "when", "said"),
    [
        ([("report", "2025-03-10")], "2025-04-01", "R8.8 already_reported reported=2025-03-10"),
        ([("no", "2025-03-10")], "2025-03-10 12:00", "R8.8 moderator_disagrees disagreed=2025-03-10"),
        ([("no", "2025-03-10")], "2025-03-10 11:59", ""),
        ([("no", "2025-03-10"), ("no", "2025-03-20")], "2025-03-15", "R8.8 moderator_disagrees disagreed=2025-03-10"),
        ([("no", "2025-03-10"), ("yes", "2025-03-20")], "2025-04-01", ""),
        ([("yes", "2025-03-10"), ("no", "2025-03-20")], "2025-04-01", "R8.8 moderator_disagrees disagreed=2025-03-20"),
        ([("report", "2025-03-10"), ("no", "2025-03-20")], "2025-04-01", "R8.8 already_reported reported=2025-03-10"),
    ],
    ids=lambda value: "-".join(f"{what} {when}" for what, when in value) if isinstance(value, list) else None,
)
def test_a_unit_is_reported_once_and_not_while_a_moderator_disagrees(story, when, said):
    book = learned()
    decision = decide(book)
    for what, day in story:
        if what == "report":
            book.write(UnitReported, ANA, day, of=decision, by=HANA)
        else:
            book.write(Moderation, ANA, day, of=decision, agrees=what == "yes", by=HANA)

    assert refused_report(book, when) == said


def test_all_that_is_against_a_report_is_said_at_once_in_order():
    book = learned()
    decision = decide(book)
    unknown = refused_report(book, "2025-04-01", grants=(), by=ANA, record=None, now=at("2025-03-31"))
    book.write(UnitReported, ANA, "2025-03-10", of=decision, by=HANA)

    assert unknown == "R2.6 future; R8.8 own; R8.8 not_coordinator; R8.8 unknown_decision"
    assert refused_report(book, "2025-03-02", grants=(), by=ANA) == "; ".join(
        [
            "R8.8 own",
            "R8.8 not_coordinator",
            "R8.8 before_decision decided=2025-03-03",
            "R8.8 already_reported reported=2025-03-10",
        ]
    )


# Moderation (R8.8)


def refused_moderation(
    book, when="2025-04-01", *, by=GUS, agrees=True, grants=AUDITS, record="known", now=NOW, **said
):
    known = record_of(book) if record == "known" else record
    book.write(Moderation, ANA, when, of=0, agrees=agrees, by=by)
    said.setdefault("reason", "")
    return spoken(refuse_moderation(book.facts.pop(), record=known, grants=iter(grants), now=now, **said))


NAMED = {"grants": REPORTS, "moderator": "R. Holm"}


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, ""),
        ({"grants": (grant("audit", "BH"),)}, ""),
        ({"grants": (grant("audit", end="2025-04-01"),)}, ""),
        ({"grants": (grant("audit", end="2025-03-31"),)}, "R8.8 not_moderator; R8.8 moderator_unnamed"),
        ({"grants": (grant("audit", start="2025-04-02"),), "moderator": "R. Holm"}, "R8.8 not_moderator"),
        (NAMED, ""),
        ({**NAMED, "grants": (grant("coordinate", "BH"),)}, ""),
        ({**NAMED, "grants": (grant("coordinate", end="2025-03-31"),)}, "R8.8 not_moderator"),
        ({"grants": REPORTS}, "R8.8 moderator_unnamed"),
        ({**NAMED, "moderator": " "}, "R8.8 moderator_unnamed"),
        # Who may audit moderates in person, whatever else they are entrusted with.
        ({"grants": (*REPORTS, *AUDITS)}, ""),
        ({**NAMED, "grants": (grant("assess"), grant("train"))}, "R8.8 not_moderator"),
        ({"agrees": False}, "R8.8 no_reason"),
        ({"agrees": False, "reason": " "}, "R8.8 no_reason"),
        ({"agrees": False, "reason": "no readings"}, ""),
        ({"by": ELI}, "R8.8 decided_it"),
        ({"by": ELI, **NAMED}, "R8.8 decided_it"),
        ({"by": ANA}, "R8.8 own"),
        ({"when": "2025-03-02"}, "R8.8 before_decision decided=2025-03-03"),
        ({"when": "2025-03-03 08:00"}, ""),
        ({"now": at("2025-04-01 11:59")}, "R2.6 future"),
        ({"now": at("2025-04-01 12:00")}, ""),
    ],
    ids=str,
)
def test_an_auditor_moderates_and_a_coordinator_writes_down_what_a_named_moderator_said(fields, said):
    book = learned()
    decide(book)

    assert refused_moderation(book, **fields) == said


def test_all_that_is_against_a_moderation_is_said_at_once_in_order():
    book = learned()
    decide(book)
    against = ["R8.8 own", "R8.8 not_moderator", "R8.8 no_reason", "R8.8 moderator_unnamed"]

    unknown = refused_moderation(book, by=ANA, agrees=False, grants=(), record=None, now=at("2025-03-31"))
    known = refused_moderation(book, "2025-03-02", by=ANA, agrees=False, grants=())

    assert unknown.split("; ") == ["R2.6 future", *against, "R8.8 unknown_decision"]
    assert known.split("; ") == [*against, "R8.8 before_decision decided=2025-03-03"]


def test_who_decided_it_is_told_before_the_day():
    book = learned()
    decide(book)

    assert refused_moderation(book, "2025-03-02", by=ELI) == (
        "R8.8 decided_it; R8.8 before_decision decided=2025-03-03"
    )


# Pathways (R8.6, R8.9)


@pytest.mark.parametrize(
    ("version", "enrolled", "on", "grants", "said"),
    [
        (1, [], "2025-06-30", REPORTS, ""),
        (1, [], "2025-07-01", REPORTS, "R8.6 enrolment_closed last_day=2025-06-30"),
        (1, [1], "2025-06-30", REPORTS, "R8.9 already_enrolled version=1"),
        (1, [2], "2025-06-30", REPORTS, "R8.9 older_version current=2 version=1"),
        (2, [1, 3], "2025-06-30", REPORTS, "R8.9 older_version current=3 version=2"),
        (1, [1, 3], "2025-06-30", REPORTS, "R8.9 already_enrolled version=1"),
        (2, [1], "2025-06-30", (grant("coordinate", "PK"),), ""),
        (1, [], "2025-06-30", ASSESSES, "R8.9 not_coordinator"),
        (1, [], "2025-06-30", (grant("coordinate", end="2025-06-29"),), "R8.9 not_coordinator"),
        (1, [], "2025-06-30", (grant("coordinate", end="2025-06-30"),), ""),
        (1, [], "2025-06-30", (grant("coordinate", start="2025-07-01"),), "R8.9 not_coordinator"),
    ],
    ids=str,
)
def test_a_coordinator_puts_a_person_on_a_version_and_never_back_on_an_older_one(version, enrolled, on, grants, said):
    qualification = Qualification(code="Q", version=version, total=9, last_enrolment_on=d("2025-06-30"))

    found = refuse_enrolment(qualification, enrolled=enrolled, grants=grants, on=d(on), today=d("2025-12-31"))

    assert spoken(found) == said


@pytest.mark.parametrize(
    ("today", "said"),
    [("2025-09-01", ""), ("2025-08-31", "R2.6 future")],
    ids=["today", "tomorrow"],
)
def test_nobody_is_put_on_a_pathway_beforehand(today, said):
    open_ended = Qualification(code="Q", total=9)

    found = refuse_enrolment(open_ended, enrolled=[], grants=REPORTS, on=d("2025-09-01"), today=d(today))

    assert spoken(found) == said


def test_all_that_is_against_an_enrolment_is_said_at_once_in_order():
    qualification = Qualification(code="Q", version=1, total=9, last_enrolment_on=d("2025-06-30"))

    found = refuse_enrolment(qualification, enrolled=[2], grants=(), on=d("2025-09-01"), today=d("2025-08-31"))

    assert spoken(found).split("; ") == [
        "R8.9 not_coordinator",
        "R2.6 future",
        "R8.6 enrolment_closed last_day=2025-06-30",
        "R8.9 older_version current=2 version=1",
    ]
