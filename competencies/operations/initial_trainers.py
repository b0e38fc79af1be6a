"""Initial trainers: somebody must be first at a new task, machine or issue of a procedure (R4.10)."""

from competencies.ledger.writer import Appended, writing
from competencies.models import Person
from competencies.operations.decisions import When
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, OnTask, Signature, append_fact, refuse_if
from competencies.queries.facts import grants_of, rules_of
from competencies.standing.facts import InitialTrainer
from competencies.standing.office import refuse_initial_trainer
from competencies.standing.refusals import Refusal
from competencies.vocabulary import AuthorityKind, Meaning


@writing()
def name_initial_trainer(*, on_task: OnTask, revision: int | None = None, by: Signer, when: When) -> Appended:
    """Name a first trainer for a task, or for one revision of it. Raises RefusedError with every reason (R4.10)."""
    refuse_if(naming_refusals(on_task=on_task, revision=revision, by=by.person, when=when))
    return append_fact(
        fact=_naming(on_task, revision, by.person, when),
        person=on_task.person,
        signature=Signature(signer=by, meaning=Meaning.ADMINISTERED, role=AuthorityKind.COORDINATE),
        now=when.now,
    )


def naming_refusals(*, on_task: OnTask, revision: int | None, by: Person, when: When) -> tuple[Refusal, ...]:
    """Return why a first trainer may not be named, so that the form can say it before it is sent."""
    touching = Person.objects.filter(plant=on_task.person.plant_id, standing_periods__task=on_task.task)
    others = list(touching.exclude(pk=on_task.person.pk).select_related("plant").distinct())
    rules = rules_of([on_task.person, *others])
    return refuse_initial_trainer(
        _naming(on_task, revision, by, when),
        named=rules[on_task.person.pk],
        others=list(rules.values()),
        grants=grants_of([by.pk])[by.pk],
        now=when.now,
    )


def _naming(on_task: OnTask, revision: int | None, by: Person, when: When) -> InitialTrainer:
    return InitialTrainer(
        seq=UNWRITTEN,
        person=on_task.person.pk,
        happened_at=when.happened_at,
        recorded_at=when.now,
        on=when.on,
        task=on_task.task.code,
        scope=on_task.scope,
        by=by.pk,
        revision=revision,
    )
