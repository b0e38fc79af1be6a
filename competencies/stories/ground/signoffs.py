"""What is held when a story begins, and what whoever teaches or judges is taken to hold."""

from collections.abc import Iterator
from datetime import date, timedelta

from dateutil.relativedelta import relativedelta

from competencies.ledger.writer import writing
from competencies.models import Person, Task, TaskRevision
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Signature, append_fact
from competencies.standing.calendar import add_months
from competencies.standing.facts import Assessment, Recognition, Scope, SecondSignature
from competencies.stories.ground.people import entitled_person
from competencies.stories.ground.plant import BEGINNING, STAND_INS, Ground, founder_of
from competencies.stories.moments import NOON, local
from competencies.stories.story import StoryHold
from competencies.vocabulary import Judgement, Meaning, Outcome, ScopeKind, SecondRole


@writing()
def add_hold(*, ground: Ground, told: StoryHold) -> None:
    """Let the story start from a sign-off made by the book."""
    task = ground.tasks[told.task]
    scope = ground.told_scope(told.section, task)
    person, on = entitled_person(ground, told.person), assessed_on(ground, told)
    _found_below(ground, person, task, scope, on)
    if told.last_valid_on is not None and told.last_valid_on != _usual_end(ground, told, on):
        _cut(ground, person, task, scope, on, told.last_valid_on)
    found(ground, person, task, scope, on, told.revision)


def _usual_end(ground: Ground, told: StoryHold, on: date) -> date | None:
    terms = ground.tasks[told.task].terms.order_by("effective_on").first()
    return add_months(on, terms.validity_months) if terms and terms.validity_months else None


def _cut(ground: Ground, person: Person, task: Task, scope: Scope, on: date, last_valid_on: date) -> None:
    """End a sign-off on a day on which no assessment would: as the outside certificate behind it does (R11)."""
    at = local(on, NOON, ground.zone) - timedelta(hours=2)
    founder = founder_of(ground).person
    evidence = Recognition(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=at,
        recorded_at=at,
        on=on,
        task=task.code,
        scope=scope,
        by=founder.pk,
        evidence_on=on,
        evidence_ends_on=last_valid_on,
    )
    signature = Signature(signer=Signer(founder, "import"), meaning=Meaning.RECOGNISED)
    append_fact(fact=evidence, person=person, signature=signature, now=at)


def _found_below(ground: Ground, person: Person, task: Task, scope: Scope, on: date) -> None:
    """Enter, for a sign-off made by the book, the prerequisites of which the story tells nothing about the person."""
    for prerequisite, place in _below(ground, task, scope, on):
        key = (person.pk, prerequisite.code, place, on)
        if (person.name, prerequisite.code) not in ground.told and key not in ground.founded:
            ground.founded.add(key)
            _found_below(ground, person, prerequisite, place, on)
            found(ground, person, prerequisite, place, on)


def assessed_on(ground: Ground, told: StoryHold) -> date:
    """Return the day on which a sign-off that is held was assessed: given, or reckoned from its last valid day."""
    if told.assessed_on is not None:
        return told.assessed_on
    terms = ground.tasks[told.task].terms.order_by("effective_on").first()
    months, last = (terms.validity_months if terms else None) or 0, told.last_valid_on or BEGINNING.date()
    on = last - relativedelta(months=months)
    # Six months before 31 May is 30 November, and six months after that 30 May: a day more, and the end is cut.
    return on if add_months(on, months) == last else on + timedelta(days=1)


def found(ground: Ground, person: Person, task: Task, scope: Scope, on: date, number: int | None = None) -> None:
    """Enter a sign-off with every signature, on the revision in force that day, without asking how it came about."""
    revisions = list(task.revisions.order_by("number"))
    in_force = [revision for revision in revisions if revision.effective_on <= on]
    revision = next((item for item in revisions if item.number == number), in_force[-1])
    _enter(ground, person, task, scope, on, revision, delta=False)
    for coming in revisions:
        # Whoever stands in for an entitled person has done the delta of a revision that is approved and coming.
        if number is None and coming.approved_on <= on < coming.effective_on and person.pk in ground.entitled:
            _enter(ground, person, task, scope, on, coming, delta=True)


def _enter(  # noqa: PLR0913 - what a sign-off is
    ground: Ground, person: Person, task: Task, scope: Scope, on: date, revision: TaskRevision, *, delta: bool
) -> None:
    at = local(on, NOON, ground.zone) - timedelta(hours=1)
    criteria = revision.touches if delta else [criterion.number for criterion in revision.criteria.all()]
    assessment = Assessment(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=at,
        recorded_at=at,
        on=on,
        task=task.code,
        scope=scope,
        by=founder_of(ground).person.pk,
        revision=revision.number,
        outcome=Outcome.COMPETENT,
        judged=dict.fromkeys(criteria, Judgement.MET),
        delta=delta,
    )
    # Taken over from before the story: whoever enters it is not who judged, and casts no doubt on other sign-offs.
    founder = Signer(founder_of(ground).person, "import")
    signature = Signature(signer=founder, meaning=Meaning.COMPETENT)
    appended = append_fact(fact=assessment, person=person, signature=signature, now=at)
    roles = {"none": (), "food": (SecondRole.FOOD,), "safety": (SecondRole.SAFETY,), "both": tuple(SecondRole)}
    if wanted := roles[task.criticality]:
        second = SecondSignature(
            seq=UNWRITTEN,
            person=person.pk,
            happened_at=at,
            recorded_at=at,
            on=on,
            task=task.code,
            scope=scope,
            by=entitled_person(ground, STAND_INS[2]).pk,
            of=appended.seq,
            roles=frozenset(wanted),
        )
        signer = Signer(entitled_person(ground, STAND_INS[2]), "story")
        append_fact(fact=second, person=person, signature=Signature(signer=signer, meaning=Meaning.REVIEWED), now=at)


@writing()
def keep_entitled(*, ground: Ground, person: Person, task: Task, scope: Scope, on: date) -> None:
    """Keep whoever teaches or judges in force, on a day, on a task and all it builds on.

    That is a stand-in, and somebody entrusted with it of whom the story tells nothing about the task.
    """
    is_untold = person.pk in ground.entrusted and (person.name, task.code) not in ground.told
    if not (person.pk in ground.entitled or is_untold) or (person.pk, task.code, scope, on) in ground.founded:
        return
    ground.founded.add((person.pk, task.code, scope, on))
    for prerequisite, place in _below(ground, task, scope, on):
        keep_entitled(ground=ground, person=person, task=prerequisite, scope=place, on=on)
    found(ground, person, task, scope, on)


def _below(ground: Ground, task: Task, scope: Scope, on: date) -> Iterator[tuple[Task, Scope]]:
    """Yield what a task builds on from a day on: at each place that its terms name, else where it is usually held."""
    terms = task.terms.filter(effective_on__lte=on).order_by("-effective_on").first()
    for prerequisite in terms.prerequisites.all() if terms else ():
        named = terms.prerequisite_places.get(prerequisite.code, ()) if terms else ()
        for place in [Scope.parse(text) for text in named] or [scope_below(ground, prerequisite, scope)]:
            yield prerequisite, place


def scope_below(ground: Ground, task: Task, scope: Scope) -> Scope:
    """Return where a prerequisite is held for somebody at `scope`."""
    if task.scope_kind == ScopeKind.SITE:
        return Scope()
    usual = ground.usual_scope(task)
    line = scope.line or usual.line
    if task.scope_kind == ScopeKind.LINE:
        return Scope(line)
    here = Scope(line, scope.machine or usual.machine)
    places = {(place.line.code, place.machine.code if place.machine else "") for place in task.places.all()}
    return here if not places or (here.line, here.machine) in places else usual
