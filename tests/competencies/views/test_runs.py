"""Logging a supervised run: seen, confirmed by PIN, recorded once."""

from decimal import Decimal

import pytest
from django.urls import reverse

from competencies.ledger.reading import read_entry
from competencies.models import LedgerEntry, LedgerIndex, Reading
from competencies.queries.signatures import signatures
from competencies.vocabulary import AuthorityKind, Criticality, Judgement, ScopeKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor(client):
    floor = make.make_floor(asked=make.Asked(runs=2, ranges={"bottle size": 2}, simulated_max=1))
    make.add_reading(floor.task)
    make.add_reading(floor.task, "swab", unit="result", target=None, low=None, high=None, target_text="negative")
    client.force_login(floor.trainer.user)
    return floor


@pytest.fixture
def assignment(floor):
    return make.ask(floor.trainee, floor.task, floor.trainer, ago=1)


def page_of(assignment):
    return reverse("competencies:run-log", args=[assignment.pk])


def seen(client, assignment, **changes):
    """Return what the usual case sends: all met, the trainer's PIN."""
    form = client.get(page_of(assignment)).context["form"]
    return {
        "token": form["token"].value(),
        "judged_1": "met",
        "judged_2": "met",
        "range_0": "330 mL",
        "watcher": form["watcher"].value(),
        "pin": make.PIN,
        **changes,
    }


def runs():
    return [read_entry(row) for row in LedgerEntry.objects.filter(index__kind="run").order_by("seq")]


def faults(response):
    return [str(error) for errors in response.context["form"].errors.values() for error in errors]


def test_the_usual_case_is_all_met_pin_save(client, floor, assignment):
    response = client.post(page_of(assignment), seen(client, assignment), follow=True)

    [run] = runs()
    assignment.refresh_from_db()
    assert (run["subject"], run["actor"], run["task"]) == (floor.trainee.pk, floor.trainer.pk, "PK-01")
    assert run["judged"] == {1: Judgement.MET, 2: Judgement.MET}
    assert run["range_values"] == {"bottle size": "330 mL"}
    assert (assignment.state, assignment.done_seq) == (assignment.State.DONE, run["seq"])
    assert f"recorded as entry {run['seq']}" in response.text


def test_a_run_carries_the_day_and_the_shift_that_it_was_asked_for(client, assignment):
    client.post(page_of(assignment), seen(client, assignment))

    [run] = runs()
    assert (run["happened_on"], run["shift"]) == (make.days_ago(1), "day")
    assert make.at(make.days_ago(1), "06:00") <= run["happened_at"] < make.at(make.days_ago(1), "14:00")
    assert run["happened_at"] <= run["at"]


def test_a_run_before_its_shift_is_refused(client, floor):
    assignment = make.ask(floor.trainee, floor.task, floor.trainer, ago=-2)

    response = client.post(page_of(assignment), seen(client, assignment))

    assert "That shift has not begun yet." in faults(response)
    assert runs() == []


def test_a_trainee_logs_no_runs(client, floor, assignment):
    client.force_login(floor.trainee.user)

    assert client.get(page_of(assignment)).status_code == 403
    assert client.post(page_of(assignment), {"pin": make.PIN}).status_code == 403
    assert runs() == []


def test_both_readings_are_kept_with_the_trainees_first(client, floor, assignment):
    page = client.get(page_of(assignment)).text
    sent = seen(client, assignment, trainee_1="40,5", watcher_1="40.20", asked_2="no")
    client.post(page_of(assignment), sent)

    [run] = runs()
    first, second = run["readings"]
    assert (str(first["trainee"]), str(first["assessor"]), first["unit"]) == ("40.5", "40.20", "mm")
    assert second["met"] is False
    assert "Fill height: target 40 mm, from 38 to 42 mm, the two within 1 mm" in page
    assert page.index('name="trainee_1"') < page.index('name="watcher_1"')


def test_a_reading_may_be_taken_a_second_time(client, floor, assignment):
    sent = seen(client, assignment, trainee_1="40.1", watcher_1="40.3", trainee_again_1="40,2", watcher_again_1="40")

    client.post(page_of(assignment), sent)

    [run] = runs()
    taken = [(each["number"], each.get("trainee"), each.get("assessor")) for each in run["readings"]]
    assert taken == [(1, Decimal("40.1"), Decimal("40.3")), (1, Decimal("40.2"), Decimal(40))]


@pytest.mark.parametrize(
    ("taken", "missing"),
    [
        ({"trainee_again_1": "40.2"}, {"trainee_1", "watcher_1", "watcher_again_1"}),
        ({"trainee_1": "40", "watcher_1": "40", "watcher_again_1": "40.2"}, {"trainee_again_1"}),
        ({"trainee_1": "40", "watcher_again_1": "40", "trainee_again_1": "40.2"}, {"watcher_1"}),
    ],
    ids=["only a second", "one of two again", "no first"],
)
def test_a_second_reading_is_taken_by_both_after_a_first(client, floor, assignment, taken, missing):
    response = client.post(page_of(assignment), seen(client, assignment, **taken))

    form = response.context["form"]
    assert set(form.errors) == missing
    assert all(form[name].value() == typed for name, typed in taken.items())
    assert "<details class='again' open>" in response.text
    assert runs() == []


def test_no_second_reading_is_offered_where_the_two_may_differ_at_will(client, floor, assignment):
    Reading.objects.filter(name="fill height").update(paired_tolerance=None)

    assert "trainee_again_1" not in client.get(page_of(assignment)).context["form"].fields


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        pytest.param({"judged_2": ""}, "judged_2", "Say whether it was met.", id="a criterion is open"),
        pytest.param({"judged_2": "not_met"}, "why_2", "what was missing", id="no reason"),
        pytest.param({"judged_1": "not_seen"}, "judged_1", "valid choice", id="not seen is for assessors"),
        pytest.param({"range_0": ""}, "range_0", "required", id="no value of the range"),
        pytest.param({"range_0": "330 mL; Tove was late\n"}, "range_0", "letters and figures", id="a sentence"),
        pytest.param({"trainee_1": "forty"}, "trainee_1", "number", id="a reading in words"),
        pytest.param({"trainee_1": "1e400"}, "trainee_1", "", id="a huge reading"),
        pytest.param({"trainee_1": "NaN"}, "trainee_1", "number", id="no number"),
        pytest.param({"watcher": "0"}, "watcher", "valid choice", id="nobody watched"),
        pytest.param({"stopped": "on", "note": ""}, "note", "why it was stopped", id="stopped for no reason"),
        pytest.param({"pin": ""}, "pin", "required", id="no PIN"),
        pytest.param({"pin": make.WRONG_PIN}, "pin", "not the PIN of Iolo Castellan", id="a wrong PIN"),
    ],
)
def test_what_is_wrong_is_said_at_the_field_and_nothing_is_lost(client, assignment, changes, field, said):
    sent = seen(client, assignment, note="good pace", trainee_1="40.1") | changes

    response = client.post(page_of(assignment), sent)

    form = response.context["form"]
    assert said in " ".join(form.errors[field])
    assert form["judged_1"].value() == sent["judged_1"]
    assert form["note"].value() == sent["note"]
    assert form["token"].value() == sent["token"]
    assert make.PIN not in response.text
    assert runs() == []


def test_a_reason_is_kept_beside_the_note(client, assignment):
    client.post(page_of(assignment), seen(client, assignment, judged_2="not_met", why_2="no lamp", note="again"))

    [run] = runs()
    kept = signatures([run["seq"]])[run["seq"]].texts["note"]
    assert kept == "Not met, criterion 2: no lamp\nagain"
    assert run["judged"][2] is Judgement.NOT_MET


def test_a_stopped_run_asks_for_no_judgement_and_counts_for_nothing(client, floor, assignment):
    sent = {"token": "t" * 20, "stopped": "on", "note": "guard was open", "watcher": floor.trainer.pk, "pin": make.PIN}

    response = client.post(page_of(assignment), sent, follow=True)

    [run] = runs()
    assert (run["stopped"], "judged" in run) == (True, False)
    assert "does not count" in response.text


def test_a_drill_is_offered_only_where_drills_count(client, floor, assignment):
    other = make.ask(floor.trainee, make.make_task(floor.area, "PK-02"), floor.trainer, ago=1)

    assert "simulated" in client.get(page_of(assignment)).context["form"].fields
    assert "simulated" not in client.get(page_of(other)).context["form"].fields


def test_a_double_tap_records_once(client, assignment):
    sent = seen(client, assignment)

    client.post(page_of(assignment), sent)
    again = client.post(page_of(assignment), sent, follow=True)

    assert len(runs()) == 1
    assert "was recorded already" in again.text


def test_a_closed_assignment_takes_no_second_run(client, assignment):
    late = seen(client, assignment)
    client.post(page_of(assignment), seen(client, assignment))

    response = client.post(page_of(assignment), late)

    assert any("assignment is closed" in fault for fault in faults(response))
    assert len(runs()) == 1
    assert client.get(page_of(assignment)).status_code == 302


def test_the_one_who_watched_may_be_another_on_a_shared_tablet(client, floor, assignment):
    client.post(page_of(assignment), seen(client, assignment, watcher=floor.assessor.pk))

    [run] = runs()
    assert run["actor"] == floor.assessor.pk


def test_the_trainee_cannot_have_watched(client, floor, assignment):
    make.grant(floor.trainee, AuthorityKind.TRAIN)

    response = client.post(page_of(assignment), seen(client, assignment, watcher=floor.trainee.pk))

    assert "watcher" in response.context["form"].errors
    assert runs() == []


def test_what_the_rule_refuses_is_said_in_words(client, floor, assignment):
    stranger = make.make_person(floor.plant, "Arvid Holm", with_pin=True)
    make.grant(stranger, AuthorityKind.TRAIN)

    response = client.post(page_of(assignment), seen(client, assignment, watcher=stranger.pk))

    assert "The watching person was not in force on this task there on that day." in faults(response)
    assert response.context["form"]["range_0"].value() == "330 mL"
    assert runs() == []


def test_what_would_be_refused_is_said_before_anybody_watches(client, floor):
    stranger = make.make_person(floor.plant, "Arvid Holm", with_pin=True)
    make.grant(stranger, AuthorityKind.TRAIN)
    asked_of_stranger = make.ask(floor.trainee, floor.task, stranger, ago=1)
    asked_of_trainer = make.ask(floor.trainee, floor.task, floor.trainer, ago=2)

    refused = client.get(page_of(asked_of_stranger))
    usual = client.get(page_of(asked_of_trainer))

    assert {each.code for each in refused.context["refused"]} == {"not_in_force"}
    assert "Asked with Arvid Holm as the one who watches." in refused.text
    assert (usual.context["refused"], usual.context["uncounted"]) == ((), ())
    assert "this would be refused" not in usual.text


def test_a_run_that_would_not_count_is_told_before_it_is_made(client):
    floor = make.make_floor(criticality=Criticality.FOOD)
    assignment = make.ask(floor.trainee, floor.task, floor.trainer, ago=6)
    client.force_login(floor.trainer.user)

    response = client.get(page_of(assignment))

    assert [each.code for each in response.context["uncounted"]] == ["confirmed_late"]
    assert "It can be written down, and would not count" in response.text


def test_a_word_of_a_range_is_written_as_it_was_before(client, floor, assignment):
    client.post(page_of(assignment), seen(client, assignment))
    second = make.ask(floor.trainee, floor.task, floor.trainer, ago=1, shift="late")

    page = client.get(page_of(second)).text
    client.post(page_of(second), seen(client, second, range_0="  330 ml "))

    assert '<option value="330 mL">' in page
    assert runs()[-1]["range_values"] == {"bottle size": "330 mL"}


def test_hazards_and_protective_equipment_stand_on_the_page(client, assignment):
    page = client.get(page_of(assignment)).text

    assert "hot caustic" in page
    assert "face shield" in page


def test_a_text_with_markup_is_shown_as_text(client, floor):
    task = make.make_task(floor.area, "PK-05", "<b>Fill</b> {{ x }}")
    make.add_reading(task, "<script>alert(1)</script>", unit="{{ 7 }}<i>")
    assignment = make.ask(floor.trainee, task, floor.trainer, ago=1)

    page = client.get(page_of(assignment)).text

    assert "<script>alert" not in page
    assert "<b>Fill" not in page
    assert "{{ 7 }}&lt;i&gt;" in page


class TestWithoutAnAssignment:
    """A run that nobody asked for: the address says whose, of what, when and where."""

    PAGE = reverse("competencies:run-new")

    def test_it_asks_whose_and_of_what_first(self, client, floor):
        response = client.get(self.PAGE)

        assert response.templates[0].name == "competencies/run_place.html"
        assert not response.context["form"].is_bound

    def test_it_is_recorded_for_the_shift_that_is_named(self, client, floor):
        address = f"{self.PAGE}?person={floor.trainee.pk}&task=PK-01&on={make.days_ago(1)}&shift=late"
        form = client.get(address).context["form"]

        response = client.post(
            address,
            {
                "token": form["token"].value(),
                "judged_1": "met",
                "judged_2": "met",
                "range_0": "500 mL",
                "watcher": floor.trainer.pk,
                "pin": make.PIN,
            },
        )

        assert response.status_code == 302
        [run] = runs()
        assert (run["shift"], run["happened_on"]) == ("late", make.days_ago(1))

    @pytest.mark.parametrize(
        "asked",
        [
            {"person": "x", "task": "PK-01"},
            {"person": "9" * 300, "task": "PK-01"},
            {"person": "1", "task": "PK-99"},
            {"person": "1", "task": "PK-01", "on": "never"},
            {"person": "1", "task": "PK-01", "shift": "dawn", "machine": "9" * 40},
        ],
    )
    def test_odd_addresses_ask_again(self, client, floor, asked):
        response = client.get(self.PAGE, asked)

        assert response.status_code == 200
        assert response.templates[0].name == "competencies/run_place.html"

    def test_a_machine_task_asks_for_the_machine(self, client, floor):
        task = make.make_task(floor.area, "PK-04", scope_kind=ScopeKind.MACHINE)
        machine = make.make_machine(floor.line)

        without = client.get(self.PAGE, {"person": floor.trainee.pk, "task": task.code})
        named = client.get(self.PAGE, {"person": floor.trainee.pk, "task": task.code, "machine": machine.pk})

        assert "machine" in without.context["form"].errors
        assert str(named.context["sheet"].scope) == "L1/F1"


def test_a_run_of_a_lined_task_without_a_line_says_what_to_do(client, floor):
    task = make.make_task(floor.area, "PK-06", scope_kind=ScopeKind.LINE)
    assignment = make.ask(floor.trainee, task, floor.trainer, ago=1)

    assert "none is named" in client.get(page_of(assignment)).text


@pytest.mark.parametrize("size", [1, 6])
def test_the_sheet_costs_the_same_queries_at_any_size(client, size, django_assert_num_queries):
    floor = make.make_floor(criteria=size + 1, asked=make.Asked(runs=2, ranges={"bottle size": 2}))
    for number in range(size):
        make.add_reading(floor.task, f"reading {number}")
        make.run(floor.trainee, floor.task, floor.trainer, ago=3 + number)
        make.grant(make.make_person(floor.plant), AuthorityKind.TRAIN)
    assignment = make.ask(floor.trainee, floor.task, floor.trainer, ago=1)
    client.force_login(floor.trainer.user)
    client.get(page_of(assignment))

    with django_assert_num_queries(14):
        client.get(page_of(assignment))


def test_late_runs_on_critical_tasks_are_written_and_do_not_count(client):
    floor = make.make_floor(criticality=Criticality.FOOD)
    assignment = make.ask(floor.trainee, floor.task, floor.trainer, ago=6)
    client.force_login(floor.trainer.user)
    form = client.get(page_of(assignment)).context["form"]
    sent = {"token": form["token"].value(), "judged_1": "met", "judged_2": "met"}

    client.post(page_of(assignment), {**sent, "watcher": floor.trainer.pk, "pin": make.PIN})

    [row] = LedgerIndex.objects.filter(kind="run")
    later = make.ask(floor.trainee, floor.task, floor.trainer)
    progress = client.get(page_of(later)).context["sheet"].progress
    assert progress.counted == ()
    assert dict(progress.not_counted)[row.pk][0].code == "confirmed_late"


def test_a_run_can_be_made_on_the_coming_revision(client):
    """Who shows the changes before they come into effect never stops counting."""
    floor = make.make_floor()
    assignment = make.ask(floor.trainee, floor.task, floor.trainer, ago=1)
    make.make_revision(floor.task, 2, effective_on=make.days_ago(-9), approved_on=make.days_ago(2), touches=(1,))
    client.force_login(floor.trainer.user)

    usual = client.get(page_of(assignment))
    coming = client.get(page_of(assignment), {"coming": "1"})

    assert "Revision 2 is approved" in usual.text
    assert "?coming=1" in usual.text
    assert usual.context["sheet"].revision.number == 1
    assert coming.context["sheet"].revision.number == 2
