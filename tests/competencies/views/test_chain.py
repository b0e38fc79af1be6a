"""Who stands behind a sign-off: each signer's right on the day, as known then and as known now."""

import pytest
from django.urls import reverse

from competencies.models import Authority, LedgerIndex
from competencies.operations.annulments import Ruling, annul
from competencies.operations.decisions import When
from competencies.operations.rights import end_authority
from competencies.queries.chain import sign_off_chain
from competencies.queries.facts import rule_of
from competencies.standing.facts import SITE
from competencies.vocabulary import AnnulmentCause, AuthorityKind, EntryKind
from tests import factories as make
from tests.competencies.printing.people import correct_run, judge

pytestmark = pytest.mark.django_db


def assessment(made, code):
    return LedgerIndex.objects.filter(person=made.person.pk, task=code, kind=EntryKind.ASSESSMENT).first().pk


def chain(made, code):
    return sign_off_chain(made.plant, made.person, made.tasks[code], assessment(made, code))


def url(made, code, person=None, seq=None):
    person, seq = person or made.person, assessment(made, code) if seq is None else seq
    return reverse("competencies:sign-off-chain", args=[person.pk, code, seq])


def codes(word):
    return [fault.code for fault in word.faults]


def test_every_signer_is_told_with_the_entry_that_entitled_them(auditor, made):
    text = " ".join(auditor.get(url(made, "PK-02")).content.decode().split())

    for name in ("Maren Oduya", "Ines Quarrington", "Iolo Castellan"):
        assert name in text
    grant = Authority.objects.get(person=made.assessor, kind=AuthorityKind.ASSESS)
    assert f"granted by Maren Oduya (entry {grant.entry_seq})" in text
    assert "Not entitled" not in text
    assert "The assessor watched 0 of the 2 supervised runs below" in text


def test_an_authority_that_turns_out_to_have_ended_divides_the_two_answers(auditor, made):
    grant = Authority.objects.get(person=made.assessor, kind=AuthorityKind.ASSESS)
    end_authority(
        authority=grant,
        last_day=make.days_ago(81),
        by=make.signer(made.coordinator),
        now=make.at(make.today(), "00:00"),
    )

    found = chain(made, "PK-02").assessor
    assert (codes(found.then), codes(found.now)) == ([], ["no_authority"])
    assert found.differs
    text = " ".join(auditor.get(url(made, "PK-02")).content.decode().split())
    assert "As known then" in text
    assert "No authority for the area PK on that day." in text


def test_a_role_of_the_second_signatory_that_had_ended_is_found(made):
    grant = Authority.objects.get(person=made.second, kind=AuthorityKind.SIGN_FOOD)
    end_authority(
        authority=grant,
        last_day=make.days_ago(81),
        by=make.signer(made.coordinator),
        now=make.at(make.today(), "00:00"),
    )

    [found] = chain(made, "PK-02").seconds
    assert (codes(found.then), codes(found.now)) == ([], ["role_missing"])


def test_the_assessors_own_sign_off_stands_one_level_up(auditor, made):
    own = chain(made, "PK-02").assessor.now.own

    assert own.held
    assert own.on == make.days_ago(170)
    above = auditor.get(url(made, "PK-02", person=made.assessor, seq=own.seq))
    assert above.status_code == 200
    assert "Not entitled." in above.content.decode()  # the office that brought the old record in holds nothing itself


def annul_sign_off(made, person, code):
    """Have the coordinator annul the newest sign-off of a person on a task."""
    [*_others, attempt] = rule_of(person).holding(code, SITE).attempts
    ruling = Ruling(cause=AnnulmentCause.FALSE_EVIDENCE, reason="The sheet was signed for somebody else.")
    moment = make.at(make.days_ago(1))
    when = When(happened_at=moment, on=make.days_ago(1), now=moment)
    by = make.signer(made.coordinator)
    return annul(signoff=attempt.assessment, holder=person, ruling=ruling, by=by, when=when).annulment.seq


def test_an_assessor_whose_own_sign_off_was_annulled_was_entitled_then_and_is_not_now(auditor, made):
    annul_sign_off(made, made.assessor, "PK-02")

    found = chain(made, "PK-02").assessor
    assert (codes(found.then), codes(found.now)) == ([], ["not_in_force"])
    assert (found.then.own.on, found.now.own) == (make.days_ago(170), None)
    text = " ".join(auditor.get(url(made, "PK-02")).content.decode().split())
    assert "No own sign-off on this task and place by that day." in text


def test_an_annulled_sign_off_says_so_and_divides_the_answers(auditor, made):
    annulment = annul_sign_off(made, made.person, "PK-02")

    assert [fact.seq for fact in chain(made, "PK-02").since] == [annulment]
    assert "What was said of it since" in auditor.get(url(made, "PK-02")).content.decode()
    address = reverse("competencies:person-task", args=[made.person.pk, "PK-02"])
    answers = auditor.get(address, {"on": make.days_ago(40).isoformat()}).context["shown"].answers
    assert (answers.then.counts, answers.now.counts) == (True, False)
    assert [each.seq for each in answers.between] == [annulment]


def test_a_corrected_run_is_struck_in_the_chain(auditor, made):
    [first, _second] = chain(made, "PK-02").runs
    correction = correct_run(made, first.fact.seq, 0)

    assert f"corrected by entry {correction}" in auditor.get(url(made, "PK-02")).content.decode()


def test_an_entry_that_is_no_sign_off_of_this_person_and_task_is_not_there(auditor, made):
    run = LedgerIndex.objects.filter(person=made.person.pk, task="PK-02", kind=EntryKind.RUN).first().pk

    for address in (
        url(made, "PK-02", seq=run),
        url(made, "PK-02", seq=10**30),
        url(made, "PK-01", seq=assessment(made, "PK-02")),
        url(made, "PK-02", person=made.trainer, seq=assessment(made, "PK-02")),
    ):
        assert auditor.get(address).status_code == 404


def test_a_stranger_to_the_person_sees_no_chain(client, made):
    client.force_login(make.make_person(made.plant).user)

    assert client.get(url(made, "PK-02")).status_code == 403


def test_the_chain_costs_the_same_with_any_number_of_runs(auditor, made, django_assert_num_queries):
    for ago in range(6, 12):
        by = make.make_person(made.plant)
        make.hold(by, made.tasks["PK-07"], assessed=90)
        make.run(made.person, made.tasks["PK-07"], by, ago=ago, shift=("day", "late", "night")[ago % 3])
    judge(made, "PK-07", 4)

    auditor.get(url(made, "PK-01"))
    with django_assert_num_queries(28):
        assert len(auditor.get(url(made, "PK-01")).context["chain"].runs) == 2
    with django_assert_num_queries(28):
        assert len(auditor.get(url(made, "PK-07")).context["chain"].runs) == 6


def test_the_page_of_the_record_leads_to_the_chain_of_each_sign_off(auditor, made):
    address = reverse("competencies:record-print", args=[made.person.pk])

    answer = auditor.get(address)
    assert url(made, "PK-02") in answer.content.decode()
    codes_shown = {each.task_code for each in answer.context["sign_offs"]}
    assert codes_shown >= {"PK-01", "PK-02", "PK-05", "PK-06"}
    assert "PK-03" not in codes_shown
