"""Corrections: struck and entered anew in one act, with the names that signed; and what relied on the entry (R7)."""

import pytest

from competencies.ledger.reading import opened, read_entry
from competencies.ledger.verifying import verify_ledger
from competencies.models import LedgerEntry, LedgerIndex
from competencies.operations.corrections import correct
from competencies.operations.decisions import When
from competencies.operations.projection import COMPARED, rebuild_standing
from competencies.operations.recording import RefusedError
from competencies.queries.corrections import proposal
from competencies.queries.entries import entry_page
from competencies.queries.facts import own_facts, rule_of
from competencies.standing.facts import SITE, Run, Scope
from competencies.standing.replacing import Change, Correcting, Instead, twins_of
from competencies.vocabulary import AuthorityKind, CorrectionCause, Meaning
from tests import factories as make

pytestmark = pytest.mark.django_db


def when():
    moment = make.at(make.today(), "00:00")
    return When(happened_at=moment, on=make.today(), now=moment)


def fact_at(person, seq):
    return next(fact for fact in own_facts([person.pk])[person.pk] if fact.seq == seq)


def put_right(of, seq, office, cause, *, twin=None, **instead):
    change = Change(
        cause=cause, reason="two names on the tablet", instead=Instead(**instead) if instead else None, twin=twin
    )
    return correct(entry=fact_at(of, seq), person=of, by=office, when=when(), change=change)


def bodies_after(seq):
    return [read_entry(row) for row in LedgerEntry.objects.filter(seq__gt=seq).order_by("seq")]


def codes(error):
    return {refusal.code for refusal in error.value.refusals}


def test_a_wrong_person_is_put_right_in_one_act_that_reads_both_ways(floor, office):
    brother = make.make_person(floor.plant, "Tore Brandvold")
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq

    put_right(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=brother.pk)

    new, correction = bodies_after(seq)
    assert (new["kind"], new["subject"], new["stands_for"], new["by"]) == ("run", brother.pk, seq, floor.trainer.pk)
    assert (correction["kind"], correction["of"], correction["instead"]) == ("correction", seq, new["seq"])
    assert new["meaning"] is Meaning.ENTERED_INSTEAD
    assert new["actor"] == office.person.pk
    names = opened([new["by_name"], new["subject_name"]])
    assert names[new["by_name"]] == "Iolo Castellan"
    assert names[new["subject_name"]] == "Tore Brandvold"
    assert new["judged"] == read_entry(LedgerEntry.objects.get(seq=seq))["judged"]
    assert verify_ledger().count == LedgerEntry.objects.count()


def test_the_run_counts_for_the_right_person_and_keeps_its_place_before_the_assessment(floor, office):
    brother = make.make_person(floor.plant, "Tore Brandvold")
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq

    put_right(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=brother.pk)

    now = make.at(make.today(), "01:00")
    assert len(rule_of(brother).progress("PK-01", SITE, now).counted) == 1
    assert len(rule_of(floor.trainee).progress("PK-01", SITE, now).counted) == 0
    [run] = [fact for fact in own_facts([brother.pk])[brother.pk] if isinstance(fact, Run)]
    assert run.place == seq
    assert run.written_at == make.at(make.days_ago(3), "10:00")


def test_the_projection_follows_for_everybody_and_comes_out_the_same_when_rebuilt(floor, office):
    brother = make.make_person(floor.plant, "Tore Brandvold")
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    put_right(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=brother.pk)
    people = [floor.trainee, brother, floor.trainer]
    rows = [rows_of(person) for person in people]

    rebuild_standing(people=people)

    assert [rows_of(person) for person in people] == rows


def rows_of(person):
    found = person.standing_periods.values_list("task", "scope", "known_from", "known_to", *COMPARED)
    return sorted(map(repr, found))


def test_who_watched_is_no_more_fresh_by_a_run_that_was_struck(floor, office):
    asked = make.Asked(runs=1, recency_days=5)
    task = make.make_task(floor.area, "PK-02", asked=asked)
    make.hold(floor.trainer, task, assessed=7)
    make.roster(floor.trainer)
    seq = make.run(floor.trainee, task, floor.trainer, ago=3).seq
    now = make.at(make.today(), "01:00")
    assert rule_of(floor.trainer).timeline("PK-02", SITE).at(now).counts

    put_right(floor.trainee, seq, office, CorrectionCause.ENTERED_IN_ERROR)

    assert "stale" in {each.code for each in rule_of(floor.trainer).timeline("PK-02", SITE).at(now).reasons}


@pytest.mark.parametrize(
    ("cause", "instead", "code"),
    [
        pytest.param(CorrectionCause.WRONG_PERSON, {}, "nothing_instead", id="the same person"),
        pytest.param(
            CorrectionCause.WRONG_DATE, {"on": make.days_ago(1)}, "recorded_before", id="after it was written"
        ),
        pytest.param(CorrectionCause.WRONG_SCOPE, {"scope": Scope("L1")}, "wrong_scope", id="not held there"),
        pytest.param(CorrectionCause.WRONG_DATE, {"on": make.days_ago(600)}, "not_in_force", id="who watched was not"),
    ],
)
def test_what_cannot_stand_is_refused_and_nothing_is_written(floor, office, cause, instead, code):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    size = LedgerEntry.objects.count()
    instead = instead or {"person": floor.trainee.pk}

    with pytest.raises(RefusedError) as error:
        put_right(floor.trainee, seq, office, cause, **instead)

    assert code in codes(error)
    assert LedgerEntry.objects.count() == size


def test_only_a_coordinator_of_the_area_corrects(floor, office):
    elsewhere = make.make_person(floor.plant)
    make.grant(elsewhere, AuthorityKind.COORDINATE, area=make.make_area(floor.plant, "SY", "Syrup room"))
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq

    with pytest.raises(RefusedError) as error:
        put_right(floor.trainee, seq, make.signer(elsewhere), CorrectionCause.ENTERED_IN_ERROR)

    assert "no_authority" in codes(error)
    assert put_right(floor.trainee, seq, office, CorrectionCause.ENTERED_IN_ERROR).seq


def test_nobody_corrects_an_entry_onto_their_own_record(floor, office):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq

    with pytest.raises(RefusedError) as error:
        put_right(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=office.person.pk)

    assert "own_signoff" in codes(error)


def test_nobody_brings_their_own_sign_off_back(floor, office):
    assessed = make.hold(office.person, floor.task)
    other = make.make_person(floor.plant)
    make.grant(other, AuthorityKind.COORDINATE)
    struck = put_right(office.person, assessed.seq, make.signer(other), CorrectionCause.ENTERED_IN_ERROR)

    with pytest.raises(RefusedError) as error:
        put_right(office.person, struck.seq, office, CorrectionCause.ENTERED_IN_ERROR)

    assert "own_signoff" in codes(error)


def test_a_double_points_at_the_other_of_the_pair(floor, office):
    first = make.run(floor.trainee, floor.task, floor.trainer).seq
    second = make.run(floor.trainee, floor.task, floor.trainer).seq
    assert [
        fact.seq for fact in twins_of(fact_at(floor.trainee, second), own_facts([floor.trainee.pk])[floor.trainee.pk])
    ] == [first]

    put_right(floor.trainee, second, office, CorrectionCause.DOUBLE_ENTRY, twin=first)

    [correction] = bodies_after(second)
    assert (correction["of"], correction["twin"], correction["reason"]) == (second, first, "double_entry")


def test_a_correction_is_undone_with_what_it_made(floor, office):
    brother = make.make_person(floor.plant, "Tore Brandvold")
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    struck = put_right(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=brother.pk)

    put_right(floor.trainee, struck.seq, office, CorrectionCause.ENTERED_IN_ERROR)

    now = make.at(make.today(), "01:00")
    assert len(rule_of(floor.trainee).progress("PK-01", SITE, now).counted) == 1
    assert len(rule_of(brother).progress("PK-01", SITE, now).counted) == 0
    made = struck.seq - 1
    assert set(LedgerIndex.objects.filter(kind="correction").values_list("of", flat=True)) == {seq, struck.seq, made}


def test_shifts_that_relied_on_an_entry_are_told_before_and_after(floor, office):
    assessed = make.hold(floor.trainee, floor.task, assessed=20)
    for ago in (21, 10, 2):
        make.roster(floor.trainee, ago=ago, line=floor.line)
    make.roster(floor.trainee, ago=-3, line=floor.line)
    change = Change(cause=CorrectionCause.ENTERED_IN_ERROR, reason="it was her brother")
    act = Correcting(by=office.person.pk, on=when().on, happened_at=when().happened_at, now=when().now)
    entry = fact_at(floor.trainee, assessed.seq)

    before = proposal(entry=entry, person=floor.trainee, change=change, act=act).shifts(when().now)
    correct(entry=entry, person=floor.trainee, by=office, when=when(), change=change)
    after = entry_page(floor.plant, assessed.seq).shifts

    told = [(each.on, each.shift.name, each.line, each.counted, each.counts) for each in before]
    assert told == [(make.days_ago(ago), "day", floor.line, True, False) for ago in (10, 2)]
    assert list(after) == before


@pytest.mark.parametrize("size", [1, 6])
def test_a_proposal_costs_the_same_queries_at_any_size(floor, office, size, django_assert_num_queries):
    for place in range(size):
        make.run(floor.trainee, floor.task, floor.trainer, ago=10 + place)
        make.roster(floor.trainee, ago=place + 1)
    seq = make.hold(floor.trainee, floor.task, assessed=8).seq
    change = Change(cause=CorrectionCause.WRONG_DATE, reason="slip", instead=Instead(on=make.days_ago(9)))
    act = Correcting(by=office.person.pk, on=when().on, happened_at=when().happened_at, now=when().now)
    entry = fact_at(floor.trainee, seq)
    rule_of(floor.trainee)

    with django_assert_num_queries(5):
        proposal(entry=entry, person=floor.trainee, change=change, act=act).shifts(when().now)


@pytest.mark.parametrize("size", [1, 6])
def test_the_page_of_an_entry_costs_the_same_queries_at_any_size(floor, office, size, django_assert_num_queries):
    seq = make.hold(floor.trainee, floor.task, assessed=20).seq
    for place in range(size):
        make.run(floor.trainee, floor.task, floor.trainer, ago=10 + place)
        make.roster(floor.trainee, ago=place + 1)
    put_right(floor.trainee, seq, office, CorrectionCause.ENTERED_IN_ERROR)
    rule_of(floor.trainee)

    with django_assert_num_queries(15):
        assert len(entry_page(floor.plant, seq).shifts) == size


def test_what_was_made_in_place_and_corrected_since_is_corrected_first(floor, office):
    brother = make.make_person(floor.plant, "Tore Brandvold")
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    struck = put_right(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=brother.pk)
    again = put_right(brother, struck.seq - 1, office, CorrectionCause.WRONG_DATE, on=make.days_ago(4))

    # Undone in the order in which they were made, the last one first.
    assert put_right(brother, again.seq, office, CorrectionCause.ENTERED_IN_ERROR).seq
    assert put_right(floor.trainee, struck.seq, office, CorrectionCause.ENTERED_IN_ERROR).seq
    now = make.at(make.today(), "01:00")
    assert len(rule_of(floor.trainee).progress("PK-01", SITE, now).counted) == 1
    assert len(rule_of(brother).progress("PK-01", SITE, now).counted) == 0


def test_undoing_what_was_built_upon_is_refused(floor, office):
    brother = make.make_person(floor.plant, "Tore Brandvold")
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    struck = put_right(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=brother.pk)
    put_right(brother, struck.seq - 1, office, CorrectionCause.WRONG_DATE, on=make.days_ago(4))

    with pytest.raises(RefusedError) as error:
        put_right(floor.trainee, struck.seq, office, CorrectionCause.ENTERED_IN_ERROR)

    assert codes(error) == {"instead_corrected"}
