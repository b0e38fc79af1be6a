"""What a record states: the same each time, changed by what is signed and by nothing else."""

from dataclasses import replace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from competencies.ledger.reading import read_entry
from competencies.models import Detached, LedgerAnchor, LedgerEntry, Person, PrintedSheet
from competencies.operations.paper import register_sheet, register_sheets
from competencies.queries.frame import frame_of
from competencies.queries.records import differences, digest_of, progress_records, statement
from competencies.queries.standing import end_of_day, standings_at
from competencies.vocabulary import Standing
from tests.competencies.printing.people import Recorded, at, days_ago, make_recorded, take_back
from tests.factories import Asked, check, hold, make_person, make_task, run, today

pytestmark = pytest.mark.django_db


@pytest.fixture
def made() -> Recorded:
    return make_recorded()


def record_of(made, *, as_of=None, known=None, size=None):
    [record] = progress_records([made.person], on=as_of or today(), known=known, size=size)
    return record


def standing(record, code):
    [line] = [line for line in record.tasks if line.code == code]
    return line.period.standing


def test_same_ledger_gives_the_same_digest(made):
    assert digest_of(record_of(made)) == digest_of(record_of(made))


def test_statement_holds_no_name_and_no_typed_text(made):
    said = statement(record_of(made))

    for word in ("Tove", "Castellan", "near miss", "Torque", "other crew", "bottle line"):
        assert word not in said


def test_erasing_every_name_and_text_leaves_the_digest_and_says_so_on_paper(made):
    before = record_of(made)
    Detached.objects.all().delete()
    after = record_of(made)

    assert digest_of(after) == digest_of(before)
    assert {signed.name for signed in after.signed} == {""}
    assert after.attempts[0].feedback == ""


def test_name_is_the_one_that_was_true_at_signing(made):
    Person.objects.filter(pk=made.trainer.pk).update(name="Iolo Renamed")

    names = {line.signed.name for line in record_of(made).runs}

    assert names == {"Iolo Castellan"}


@pytest.mark.parametrize(
    ("change", "kinds"),
    [
        (lambda made: run(made.person, made.tasks["PK-07"], made.trainer, ago=1), {"run", "task"}),
        (lambda made: check(made.person, "C09", made.trainer, ago=1), {"check"}),
        (lambda made: take_back(made, "PK-02", ago=1), {"event", "task", "unit"}),
    ],
    ids=["run", "check", "withdrawal"],
)
def test_what_is_signed_later_changes_just_its_lines(made, change, kinds):
    before = record_of(made)
    change(made)
    after = record_of(made)

    assert digest_of(after) != digest_of(before)
    assert {each.kind for each in differences(before, after)} == kinds


def test_record_up_to_a_size_is_the_record_as_it_was(made):
    before = record_of(made)
    take_back(made, "PK-02", ago=1)
    again = record_of(made, known=at(today(), "23:59"), size=before.size)

    assert digest_of(again) == digest_of(before)
    assert {each.kind for each in again.since} == {"event", "task", "unit"}


def test_as_known_then_leaves_out_what_was_written_later(made):
    then = record_of(made, as_of=days_ago(15), known=at(days_ago(14)))

    assert len(then.runs) == 9
    assert then.corrections == ()
    assert {each.kind for each in then.since} >= {"run", "correction"}
    assert then.size < record_of(made).size


def test_as_of_leaves_out_what_happened_later(made):
    record = record_of(made, as_of=days_ago(115))

    assert {line.task for line in record.runs} == {"PK-01"}
    assert record.checks == ()
    assert record.attempts == ()
    assert record.events == ()
    assert [line.code for line in record.tasks if line.is_begun] == ["PK-01", "PK-05"]
    assert record.pathways[0].total == 0


def test_record_says_what_the_projected_standing_says(made):
    record, moment = record_of(made), end_of_day(today(), made.plant)

    held = {each.task_code: each.period for each in standings_at(people=[made.person.pk], moment=moment)}
    lines = {line.code: line.period for line in record.tasks if line.is_begun}
    assert lines == held


def test_late_entry_acts_from_its_recording_and_is_marked(made):
    """R2.6: assessed 48 days ago and written down 36 days ago, more than 7 days after."""
    [line] = [line for line in record_of(made).tasks if line.code == "PK-06"]

    assert line.signoff.effective_on == days_ago(36)
    assert line.signoff.assessor.recorded_late_on == days_ago(36)
    assert standing(record_of(made, as_of=days_ago(40)), "PK-06") is not Standing.IN_FORCE


def test_not_yet_competent_is_kept_with_the_open_criterion(made):
    [attempt] = record_of(made).attempts

    assert [(number, judged.value) for number, _, judged in attempt.open_criteria] == [(2, "not_met")]
    assert attempt.signed.name == "Maren Oduya"


def test_next_actions_are_three_and_begin_with_what_is_out(made):
    actions = record_of(made).next_actions

    assert [(each.step.action, each.step.task) for each in actions] == [
        ("lifting", "PK-01"),
        ("assessment", "PK-05"),
        ("run", "PK-04"),
    ]
    assert actions[1].until is not None


def test_calculation_comes_next_when_the_runs_are_done(made):
    made.tasks["PK-08"] = make_task(made.tasks["PK-01"].area, "PK-08", asked=Asked(runs=1, calculations=("C11",)))
    hold(made.trainer, made.tasks["PK-08"], assessed=40)
    run(made.person, made.tasks["PK-08"], made.trainer, ago=5)
    [line] = [line for line in record_of(made).tasks if line.code == "PK-08"]

    assert line.calculations == (("C11", None),)
    assert [reason.code for reason in line.missing] == ["calculation"]


def test_records_cost_the_same_queries_for_one_and_for_many(made):
    people = [made.person]
    others = [made.trainer, made.assessor, made.second, make_person(made.plant)]
    frame_of(made.plant)

    with CaptureQueriesContext(connection) as one:
        progress_records(people, on=today(), known=None)
    with CaptureQueriesContext(connection) as many:
        found = progress_records([*others, *people], on=today(), known=None)

    assert len(many) == len(one)
    assert len(one) <= 14
    assert [record.person for record in found] == [*others, *people]


def test_known_then_costs_one_query_more(made):
    with CaptureQueriesContext(connection) as now:
        record_of(made)
    with CaptureQueriesContext(connection) as then:
        record_of(made, known=at(days_ago(5)))

    assert len(then) == len(now) + 1


def test_nobody_gives_no_records():
    assert progress_records([], on=today(), known=None) == []


def test_register_keeps_digest_size_head_and_a_root(made):
    record, now = record_of(made), at(today(), "23:00")
    registered = register_sheet(record=record, printed_by=made.coordinator, now=now)

    sheet = PrintedSheet.objects.get(pk=registered.sheet.pk)
    last = LedgerEntry.objects.order_by("-seq").first()
    assert sheet.digest == digest_of(record)
    assert (sheet.ledger_size, sheet.ledger_head) == (last.seq + 1, bytes(last.hash).hex())
    assert (sheet.kind, sheet.person, sheet.as_of) == ("record", made.person, today())
    anchor = LedgerAnchor.objects.get()
    assert (anchor.why, anchor.size, anchor.at) == ("print", last.seq + 1, now)
    assert read_entry(last)["seq"] == last.seq


def test_one_job_keeps_one_root_and_a_sheet_each(made):
    records = progress_records([made.person, made.trainer], on=today(), known=at(days_ago(50)))
    registered = register_sheets(records=records, printed_by=None, now=at(today(), "23:00"))

    assert LedgerAnchor.objects.count() == 1
    assert len({each.sheet.code for each in registered}) == 2
    assert {each.sheet.ledger_size for each in registered} == {records[0].size}
    assert all(each.anchor.size > each.sheet.ledger_size for each in registered)


def test_signature_is_found_for_every_line(made):
    record = record_of(made)

    assert len(record.signed) == len({each.seq for each in record.signed})
    assert all(each.meaning for each in record.signed)
    assert {line.seq for line in record.runs} <= {each.seq for each in record.signed}


def test_rule_is_asked_not_the_cache(made):
    made.person.standing_periods.all().delete()

    assert standing(record_of(made), "PK-02") is Standing.IN_FORCE


def test_difference_is_told_by_both_lines(made):
    before = record_of(made)
    changed = replace(before, tasks=before.tasks[1:])

    [found] = differences(before, changed)
    assert (found.kind, found.before, found.after) == ("task", before.tasks[0], None)
