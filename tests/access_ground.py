"""One of everything that an address can name, about one trainee, and somebody of every role to ask for it."""

import uuid
from datetime import timedelta

from django.utils import timezone

from assessments.models import PracticeAttempt, PracticeRound
from competencies.jobs.asking import enqueue
from competencies.models import PendingFile, SavedView, User
from competencies.operations.decisions import Verdict, When, assess
from competencies.operations.doors import KeyAsked, make_access_key, make_calendar_address
from competencies.operations.holds import HoldCover, set_hold
from competencies.operations.incidents import Opening, open_incident
from competencies.operations.paper import register_sheet
from competencies.operations.recording import OnTask
from competencies.operations.runs import Observed
from competencies.queries.incidents.finding import Asked
from competencies.queries.records import progress_records
from competencies.vocabulary import AuthorityKind, Criticality, Judgement, Outcome
from tests import factories as make
from tests.assessments.plant_formulas.told import drafted_by
from tests.assessments.series import series_for
from tests.assessments.sheets import worksheet_for
from tests.assessments.sittings import sitting_for

ABSENT = 999_999_999
# Who is entrusted with what, for the whole plant; trainer and assessor come with the small floor.
ENTRUSTED = {
    "signatory": AuthorityKind.SIGN_FOOD,
    "supervisor": AuthorityKind.SUPERVISE,
    "coordinator": AuthorityKind.COORDINATE,
    "auditor": AuthorityKind.AUDIT,
}


def people_of_every_role(floor):
    """Return a person of each role: `trainee` is whom all is about, `peer` another without any authority."""
    people = {"trainee": floor.trainee, "peer": make.make_person(floor.plant)}
    people |= {"trainer": floor.trainer, "assessor": floor.assessor}
    for role, kind in ENTRUSTED.items():
        people[role] = make.make_person(floor.plant)
        make.grant(people[role], kind)
    people["leaver"] = make.make_person(floor.plant, last_day=make.days_ago(2))
    make.grant(people["leaver"], *AuthorityKind)
    return people


def sign_in_without_a_person():
    """Return a sign-in that nobody of any plant stands behind."""
    return User.objects.create(username="nobody")


def stranger():
    """Return the sign-in of somebody who may do everything, in another plant."""
    person = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    make.grant(person, *AuthorityKind)
    return person.user


def one_of_everything(floor, coordinator):
    """Make what the addresses name, and return the parts that name it; the coordinator has a file waiting."""
    make.hold(floor.trainee, floor.task)
    now = timezone.now()
    cover = HoldCover(incident="A-1", task=floor.task)
    hold = set_hold(plant=floor.plant, cover=cover, by=make.signer(coordinator), now=now)
    return {
        "person_id": floor.trainee.pk,
        "task_code": floor.task.code,
        "entry_seq": _awaiting_signature(floor).seq,
        "hold_id": hold.pk,
        "incident_id": _incident(floor, coordinator, now).pk,
        "assignment_id": make.ask(floor.trainee, floor.task, floor.trainer).pk,
        "sitting_id": sitting_for(floor.trainee, floor.trainer).pk,
        "view_id": _saved_view(coordinator, now).pk,
        "series_id": series_for(floor.trainee).pk,
        "number": 1,
        "round_id": _round(floor.trainee, now).pk,
        "reading_id": make.add_reading(floor.task).pk,
        "attempt_id": _attempt(floor.trainee, now).pk,
        "pending_id": {
            **{kind: _pending(kind, coordinator, now).pk for kind in ("syllabus", "people")},
            "plan": _pending("roster", coordinator, now).pk,
        },
        "kind": "roster",
        "version_id": drafted_by(coordinator).pk,
        "job_code": _job(coordinator, now).code,
        "line_code": floor.line.code,
        "worksheet_id": worksheet_for(floor.trainer, people=[floor.trainee]).pk,
        "part": "key",
        "day": "2026-01-31",
        "year": make.today().year,
        "month": make.today().month,
        "shift_name": "day",
        "calculation": "C03-strike",
        "seed": 7,
        "sheet_kind": "task-card",
        "key_id": _key(coordinator, now),
        "secret": make_calendar_address(person=floor.trainee, now=now),
        "sheet": _sheet(floor.trainee, now).code,
    }


def _awaiting_signature(floor):
    task = make.make_task(floor.area, "PK-02", criticality=Criticality.FOOD)
    for person in (floor.trainer, floor.assessor):
        make.hold(person, task, assessed=60)
    for ago in (4, 3):
        make.run(floor.trainee, task, floor.trainer, ago=ago)
    day = make.days_ago(2)
    judged = {1: Judgement.MET, 2: Judgement.MET}
    return assess(
        on_task=OnTask(person=floor.trainee, task=task),
        assessor=make.signer(floor.assessor),
        verdict=Verdict(outcome=Outcome.COMPETENT, revision=1, observed=Observed(judged=judged)),
        when=When(happened_at=make.at(day), on=day, now=make.at(day)),
    )


def _saved_view(person, now):
    return SavedView.objects.create(plant=person.plant, owner=person, name="Bottles", query="area=PK", saved_at=now)


def _attempt(person, now):
    return PracticeAttempt.objects.create(
        person=person,
        calculation="C03-strike",
        seed=7,
        givens={},
        answer="1",
        typed="1",
        verdict="right",
        at=now,
        token=uuid.uuid4(),
    )


def _key(person, now):
    asked = KeyAsked(title="Wall screen", scopes=[], expires_at=now + timedelta(days=1))
    return make_access_key(asked=asked, by=person, now=now)[0].pk


def _round(person, now):
    reason = {"why": "new", "names": "", "on": ""}
    return PracticeRound.objects.create(
        person=person, started_at=now, ended_at=now, calculation="C03-strike", seed=7, reason=reason
    )


def _pending(kind, person, now):
    content = b"number,name\n" if kind == "people" else b"areas: []\n"
    return PendingFile.objects.create(
        plant=person.plant, kind=kind, name=f"{kind}.txt", content=content, uploaded_by=person, uploaded_at=now
    )


def _job(person, now):
    return enqueue("records", {}, title="Progress records", by=person, site="https://plant.example/", now=now)


def _sheet(person, now):
    [record] = progress_records([person], on=make.today(), known=None)
    return register_sheet(record=record, printed_by=person, now=now).sheet


def _incident(floor, coordinator, now):
    asked = Asked(line=floor.line, shift=make.shift_of(floor.plant), on=make.days_ago(1), moment=now, now=now)
    return open_incident(opening=Opening(asked=asked, number="A-2"), by=make.signer(coordinator))
