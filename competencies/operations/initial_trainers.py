"""Initial trainers: somebody must be first at a new task, machine or issue of a procedure (R4.10)."""

from competencies.ledger.writer import Appended, writing
from competencies.operations.decisions import When
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, OnTask, Signature, append_fact
from competencies.operations.rights import RightsError
from competencies.standing.facts import InitialTrainer
from competencies.vocabulary import Meaning


@writing()
def name_initial_trainer(*, on_task: OnTask, revision: int | None = None, by: Signer, when: When) -> Appended:
    """Name a first trainer for a task, or for one revision of it. Raises RightsError for naming oneself."""
    if by.person.pk == on_task.person.pk:
        raise RightsError("Nobody names themselves as a first trainer.")
    fact = InitialTrainer(
        seq=UNWRITTEN,
        person=on_task.person.pk,
        happened_at=when.happened_at,
        recorded_at=when.now,
        on=when.on,
        task=on_task.task.code,
        scope=on_task.scope,
        by=by.person.pk,
        revision=revision,
    )
    return append_fact(
        fact=fact,
        person=on_task.person,
        signature=Signature(signer=by, meaning=Meaning.ADMINISTERED),
        now=when.now,
    )
