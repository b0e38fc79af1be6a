"""How far a person is with each kind: as it is kept, and as the attempts make it where nothing is kept yet."""

from collections.abc import Iterable
from itertools import groupby

from assessments.models import PracticeAttempt, PracticeProgress
from assessments.scheduling.memory import Memory
from assessments.scheduling.progress import Answer, Progress, Stage, replayed
from assessments.vocabulary import Help, Verdict
from competencies.models import Person

SLIP_LENGTH = 200
#: What of an attempt the progress is made of.
NEEDED = ("calculation", "verdict", "at", "help", "seconds", "step_answers", "slips")


def progress_of(person: Person) -> dict[str, Progress]:
    """Return the progress by calculation; kinds never tried are left out. Two queries.

    Attempts made before there was anything to keep are replayed here, and are kept with the next answer.
    """
    found = {row.calculation: progress_in(row) for row in PracticeProgress.objects.filter(person=person)}
    others = PracticeAttempt.objects.filter(person=person).exclude(calculation__in=list(found))
    return {**found, **replayed_by_kind(others.only(*NEEDED).order_by("calculation", "at", "pk"))}


def progress_of_kind(person: Person, code: str) -> Progress | None:
    """Return the progress with one kind; None where it was never tried. One query, or two."""
    row = PracticeProgress.objects.filter(person=person, calculation=code).first()
    if row is not None:
        return progress_in(row)
    attempts = PracticeAttempt.objects.filter(person=person, calculation=code)
    return replayed_by_kind(attempts.order_by("at", "pk")).get(code)


def replayed_by_kind(attempts: Iterable[PracticeAttempt]) -> dict[str, Progress]:
    """Return what attempts make, by calculation; they come sorted by calculation and time."""
    grouped = groupby(attempts, key=lambda attempt: attempt.calculation)
    found = {code: replayed(answer_in(attempt) for attempt in group) for code, group in grouped}
    return {code: progress for code, progress in found.items() if progress is not None}


def progress_in(row: PracticeProgress) -> Progress:
    """Return the progress that a row keeps."""
    memory = Memory(
        stability=row.stability,
        difficulty=row.difficulty,
        phase=row.phase,
        step=row.step,
        due_at=row.due_at,
        last_at=row.last_at,
    )
    return Progress(
        memory=memory,
        stage=Stage(row.stage),
        misses=row.misses,
        right_at=row.right_at,
        wrong_at=row.wrong_at,
        slip=row.slip,
    )


def answer_in(attempt: PracticeAttempt) -> Answer:
    """Return what of an attempt matters for the progress."""
    return Answer(
        verdict=Verdict(attempt.verdict),
        at=attempt.at,
        help=Help(attempt.help),
        seconds=attempt.seconds,
        steps_right=all(step["is_right"] for step in attempt.step_answers),
        slip=attempt.slips[0][:SLIP_LENGTH] if attempt.slips else "",
    )
