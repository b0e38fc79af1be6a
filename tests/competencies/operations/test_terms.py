"""What a task asks is changed from a day on; a decision may reach sign-offs given before (R4.11)."""

from dataclasses import replace
from datetime import timedelta

import pytest

from competencies.ledger.reading import read_entry
from competencies.models import LedgerEntry, TaskTerms
from competencies.operations.recording import RefusedError
from competencies.operations.terms import AskedCalculation, change_terms
from competencies.queries.facts import rule_of
from competencies.queries.frame import frame_of
from competencies.queries.previews import touched_by, with_terms
from competencies.queries.standing import standings_at
from competencies.standing.facts import SITE
from competencies.standing.framework import Terms
from competencies.vocabulary import AuthorityKind, EntryKind, Standing
from tests import factories as make
from tests.factories import at, days_ago, signer

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor(asked=make.Asked(validity_months=24))


@pytest.fixture
def hana(floor):
    person = make.make_person(floor.plant)
    make.grant(person, AuthorityKind.COORDINATE, area=floor.area)
    return signer(person)


def asked(floor, *, ago=0, **changes):
    now = frame_of(floor.plant).tasks[floor.task.code].terms[-1]
    return replace(now, effective_on=days_ago(ago), recorded_at=at(days_ago(ago)), **changes)


def changed(floor, hana, terms, *, ago=0):
    return change_terms(task=floor.task, terms=terms, calculations=(), by=hana, now=at(days_ago(ago), "09:00"))


def test_new_terms_leave_earlier_sign_offs_alone_unless_decided(floor, hana):
    before = rule_of(floor.trainer).timeline(floor.task.code, SITE)

    row = changed(floor, hana, asked(floor, validity_months=1))

    assert rule_of(floor.trainer).timeline(floor.task.code, SITE).periods == before.periods
    entry = read_entry(LedgerEntry.objects.get(seq=TaskTerms.objects.get(pk=row.pk).entry_seq))
    assert entry["kind"] is EntryKind.TERMS
    assert "applies_to_held_on" not in entry


def test_a_decision_reaches_them_from_its_day_and_not_before(floor, hana):
    now = at(days_ago(10), "09:00")
    decided = asked(floor, ago=10, validity_months=1, applies_to_held_on=days_ago(5))

    changed(floor, hana, decided, ago=10)

    timeline = rule_of(floor.trainer).timeline(floor.task.code, SITE)
    last, first = timeline.at(at(days_ago(6), "23:59")), timeline.at(at(days_ago(5), "00:00"))
    assert (last.standing, last.last_valid_on > days_ago(0)) == (Standing.IN_FORCE, True)
    assert first.last_valid_on < days_ago(5)
    assert "terms_applied" in {reason.code for reason in first.reasons}
    [held] = standings_at(people=[floor.trainer.pk], moment=at(days_ago(0)), known=now - timedelta(minutes=1))
    assert held.period.last_valid_on == last.last_valid_on


def test_the_preview_names_who_is_touched(floor):
    now = at(days_ago(0), "12:00")
    decided = asked(floor, validity_months=1, applies_to_held_on=days_ago(0))

    found = touched_by(
        floor.plant, with_terms(frame_of(floor.plant), floor.task.code, decided), floor.task.code, now=now
    )

    assert {each.person for each in found} == {floor.trainer, floor.assessor}
    assert all(each.after.last_valid_on < each.before.last_valid_on for each in found)
    assert TaskTerms.objects.filter(task=floor.task).count() == 1


@pytest.mark.parametrize("size", [1, 5])
def test_the_preview_costs_the_same_queries_at_any_size(floor, size, django_assert_num_queries):
    for _ in range(size):
        make.hold(make.make_person(floor.plant), floor.task)
    now, decided = at(days_ago(0)), asked(floor, validity_months=1, applies_to_held_on=days_ago(0))
    frame = with_terms(frame_of(floor.plant), floor.task.code, decided)

    with django_assert_num_queries(3):
        found = touched_by(floor.plant, frame, floor.task.code, now=now)

    assert len(found) == 2 + size


def test_what_the_form_does_not_ask_is_kept(floor, hana):
    base = make.make_task(floor.area, "PK-02")
    terms = asked(floor, prerequisites=("PK-02",), calculations=("C01",), ranges={"bottle size": 2})

    calculations = [AskedCalculation("C01", 6, 5)]
    change_terms(task=floor.task, terms=terms, calculations=calculations, by=hana, now=at(days_ago(0)))

    found = frame_of(floor.plant).tasks[floor.task.code].terms_on(days_ago(0))
    assert (found.prerequisites, found.calculations, found.ranges) == ((base.code,), ("C01",), {"bottle size": 2})
    row = TaskTerms.objects.latest("effective_on").calculations.get()
    assert (row.problems, row.pass_mark) == (6, 5)


@pytest.mark.parametrize(
    ("changes", "ago", "codes"),
    [
        ({}, 1, {"terms_in_past"}),
        ({"applies_to_held_on": days_ago(3)}, 0, {"decided_before_terms"}),
        ({"distinct_shifts": 3}, 0, {"more_shifts_than_runs"}),
        ({"simulated_max": 3}, 0, {"more_drills_than_runs"}),
        ({"ranges": {"bottle size": 3}}, 0, {"range_beyond_runs"}),
        ({"prerequisites": ("PK-09",)}, 0, {"circle"}),
        (
            {"distinct_shifts": 3, "simulated_max": 3},
            1,
            {"terms_in_past", "more_shifts_than_runs", "more_drills_than_runs"},
        ),
    ],
    ids=["past", "decision first", "shifts", "drills", "range", "circle", "all at once"],
)
def test_what_cannot_be_asked_is_refused_with_every_reason(floor, hana, changes, ago, codes):
    make.make_task(floor.area, "PK-09", asked=make.Asked(prerequisites=(floor.task,)))

    with pytest.raises(RefusedError) as refused:
        change_terms(
            task=floor.task, terms=asked(floor, ago=ago, **changes), calculations=(), by=hana, now=at(days_ago(0))
        )

    assert {refusal.code for refusal in refused.value.refusals} == codes
    assert TaskTerms.objects.filter(task=floor.task).count() == 1


def test_only_the_coordinator_of_the_area_changes_terms(floor):
    with pytest.raises(RefusedError) as refused:
        changed(floor, signer(floor.assessor), asked(floor))

    assert [refusal.code for refusal in refused.value.refusals] == ["no_authority"]


def test_terms_do_not_slip_in_before_later_ones(floor, hana):
    changed(floor, hana, Terms(effective_on=days_ago(-30), recorded_at=at(days_ago(0)), runs=2))

    with pytest.raises(RefusedError) as refused:
        changed(floor, hana, asked(floor))

    assert [refusal.code for refusal in refused.value.refusals] == ["terms_before_later"]
