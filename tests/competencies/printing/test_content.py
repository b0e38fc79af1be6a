"""What stands on the sheets: every line a progress record must hold, in words, with signature and moment."""

import re

import pytest

from competencies.printing.records import in_groups
from competencies.printing.words import day, moment
from tests.factories import days_ago, today

pytestmark = pytest.mark.django_db


def section(record, title):
    """Return the text from a heading to the next one that is known."""
    titles = [
        "Known since",
        "Signed off",
        "On the way, not signed off",
        "Next",
        "Certificate in Filling",
        "Units achieved",
        "Units in part",
        "Needed by the pathway, not begun",
        "Calculations passed under supervision",
        "Supervised runs Each",
        "Assessments that gave no sign-off",
        "Decisions on standings",
        "Corrections",
        "Signatures behind the sign-offs",
        "Remarks and signatures on paper",
        "What this record is not",
        "How to check it",
    ]
    text = record.text
    start = text.index(title)
    ends = [text.find(other, start + len(title)) for other in titles if other != title]
    return text[start : min(end for end in [*ends, len(text)] if end > start)]


def test_first_sheet_says_who_what_as_of_when_and_how_to_check(printed):
    first = printed.texts[0]

    assert "Progress record Tove Brandvold" in first
    assert f"Employee number {printed.record.person.works_number}" in first
    assert "Area Packaging" in first
    assert f"Started on {day(days_ago(730))}" in first
    assert "Alder Quay, Quay Road 4, Alderport" in first
    assert f"As it stood at the end of {today():%-d %B %Y}" in first
    assert printed.proof.address in first.replace(" ", "")


def test_signed_off_task_says_until_when_by_whose_signature_and_on_which_revision(printed):
    held = section(printed, "Signed off")

    assert "PK-02 Check the fill height at the filler critical for food safety In force" in held
    assert f"Assessed {day(days_ago(80))} on revision 1 Maren Oduya second: Ines Quarrington" in held
    assert f"In effect from {day(days_ago(76))}" in held
    assert "2 of 2 runs, on 2 shifts (1 asked)" in held
    assert f"C07 passed {day(days_ago(100))}" in held


def test_stopped_task_says_every_reason_and_the_way_back(printed):
    held = section(printed, "Signed off")

    assert "Suspended It is suspended while something is looked into." in held
    assert "Way back: Have the suspension on PK-01 lifted" in held
    assert "Renewal due The last valid day" in held


def test_late_entry_is_marked(printed):
    assert f"entered late, on {day(days_ago(36))}" in section(printed, "Signed off")
    assert f"entered late, on {day(days_ago(36))}" in section(printed, "Signatures behind the sign-offs")


def test_task_on_the_way_says_runs_range_and_what_is_wanted(printed):
    begun = section(printed, "On the way, not signed off")

    assert "PK-03 Change the labels Learning" in begun
    assert "1 of 3 runs, on 1 shift (1 asked) bottle size: 330 mL (1 of 2)" in begun
    assert "1 of 3 supervised runs count so far." in begun


def test_pathway_says_credits_distance_and_units(printed):
    pathway = section(printed, "Certificate in Filling, level 2")

    assert "Q-FILL-2, version 1" in pathway
    assert "Not awarded" in pathway
    assert "Core units, all of them 6 11 5" in pathway
    assert "Electives of group P, at least 0 4 4" in pathway
    assert "Credits in all 6 15 9" in pathway
    assert "Surplus, kept and not counted 0" in pathway
    achieved = section(printed, "Units achieved")
    assert f"U101 v1 Run a bottle line 3, core 6 0 {day(days_ago(70))} Maren Oduya" in achieved
    in_part = section(printed, "Units in part")
    assert "U102 v1 Change over and hand over 5 1: met 2: still wants PK-07" in in_part


def test_needed_task_that_is_not_begun_is_listed(printed):
    wanted = section(printed, "Needed by the pathway, not begun")

    assert "PK-07 Release the line after maintenance Not started 0 of 4 runs, on 0 shifts (3 asked)" in wanted


def test_calculation_says_day_right_answers_and_who_opened_it(printed):
    checks = section(printed, "Calculations passed under supervision")

    assert f"{day(days_ago(100))} C07 4 of 5 Iolo Castellan" in checks


def test_runs_are_listed_counted_or_with_the_reason(printed):
    runs = section(printed, "Supervised runs Each")

    assert runs.count("Iolo Castellan") == 8
    assert runs.count("Counted") == 1 + 7
    assert "Not counted It was stopped part-way: neither a run nor a fault." in runs
    assert "bottle size: 330 mL" in runs


def test_attempt_is_called_not_yet_competent_and_never_a_failure(printed):
    attempts = section(printed, "Assessments that gave no sign-off")

    assert "PK-04 Set the capper torque" in attempts
    assert "Not yet competent 2. PK-04 step 2 of revision 1: not met" in attempts
    assert "Feedback: Torque was set before the head had warmed up." in attempts
    assert "To practise: Wait for the lamp, then set the torque." in attempts
    assert not re.search(r"\bfail", printed.text, re.IGNORECASE)


def test_correction_names_the_entry_what_was_wrong_and_by_whom(printed):
    corrections = section(printed, "Corrections")
    [line] = printed.record.corrections

    assert f"#{line.of}, supervised run, {day(days_ago(19))}" in corrections
    assert "wrong person: It was the other crew's run." in corrections
    assert "Rhona Vass" in corrections


def test_every_signature_has_name_meaning_and_moment_with_offset(printed):
    """US 21 CFR 11.50: the printed name, the date and time, the meaning (the clause from memory)."""
    spoken = section(printed, "Signatures behind the sign-offs")

    for signed in printed.record.signed:
        assert moment(signed.signed_at) in printed.text
        assert signed.name in printed.text
    assert re.search(r"\d{2}:\d{2} \+0[01]00", spoken)
    assert "I observed the performance and judge it competent" in spoken
    assert "I have checked the record and sign it as the second person" in spoken
    assert "Ines Quarrington, second signatory, food" in spoken


def test_next_three_actions_are_given_with_who_does_them(printed):
    actions = section(printed, "Next")

    assert "Have the suspension on PK-01 Start the bottle line after a clean lifted" in actions
    assert "Full assessment on PK-05 Clear a jam at the packer, an assessor for the area, by" in actions
    assert "1 supervised run on PK-04 Set the capper torque, with somebody in force on the task" in actions
    assert len(printed.record.next_actions) == 3


def test_paper_has_room_for_ink(printed):
    ink = section(printed, "Remarks and signatures on paper")

    assert all(word in ink for word in ("Trainee", "Training coordinator", "Assessor or moderator", "Signature"))


def test_sheet_says_what_it_is_not(printed):
    said = section(printed, "What this record is not")

    assert "no leave to work alone on a shift" in said
    assert "no licence, no medical clearance" in said
    assert "The law and licensed practice of the place go first" in said


def test_proof_gives_ledger_size_hash_and_root_in_groups_of_four(printed):
    proof = section(printed, "How to check it")

    assert f"the first {printed.proof.size} entries of the ledger" in proof
    assert in_groups(printed.proof.head) in proof
    assert in_groups(printed.proof.root) in proof
    assert printed.proof.code in proof
    assert re.fullmatch(r"([0-9a-f]{4} ){15}[0-9a-f]{4}", in_groups(printed.proof.head))


def test_foot_says_printed_when_and_by_whom(printed):
    for text in printed.texts:
        assert f"Printed {printed.proof.printed_at:%-d %B %Y}" in text
        assert "by Rhona Vass" in text


def test_both_answers_are_printed_when_what_was_known_then_differs(printed_as_known_then):
    since = section(printed_as_known_then, "Known since")

    assert "As known then As known now" in since
    assert "Supervised run" in since
    assert "counts not there" in since
    runs_then = section(printed_as_known_then, "Supervised runs Each")
    assert runs_then.count("Iolo Castellan") == 9
    assert "Corrections The entry" not in printed_as_known_then.text


def test_all_known_now_prints_no_second_answer(printed):
    assert "As known then" not in printed.text
