"""Whether an event was refused as its story says, and for the reasons told."""

from datetime import time, timedelta

from competencies.ledger.writer import Appended
from competencies.operations.recording import RefusedError
from competencies.queries.facts import rule_of
from competencies.stories.moments import local
from competencies.stories.player.playing import Difference, Play
from competencies.stories.player.told import on_task_told
from competencies.stories.story import StoryEvent
from competencies.vocabulary import EntryKind

MIDNIGHT = time(0)
# What a story may say in place of a narrower code.
WIDER = {
    "same_person": "own",
    "own_signoff": "own",
    "in_grace": "not_in_force",
    "night": "age",
    "assessed_it": "same_assessor",
    "appeal_to_another": "same_assessor",
    "not_a_signoff": "unknown_entry",
}


def is_uncounted(playing: Play, event: StoryEvent, appended: Appended | None) -> bool:
    """Whether a run was taken and does not count, for the reasons told: to a story that is a refusal."""
    if event.kind != EntryKind.RUN or appended is None:
        return False
    on_task = on_task_told(playing, event)
    end = local(event.on + timedelta(days=1), MIDNIGHT, playing.ground.zone) - timedelta(seconds=1)
    progress = rule_of(on_task.person).progress(on_task.task.code, on_task.scope, end)
    reasons = dict(progress.not_counted).get(appended.seq, ())
    return bool(reasons) and set(event.refused) <= {each.code for each in reasons}


def refusal_codes(error: RefusedError) -> list[str]:
    """Return the codes of a refusal and the wider words that a story may use for them."""
    found = [refusal.code for refusal in error.refusals]
    return found + [WIDER[code] for code in found if code in WIDER]


def judge_refusal(playing: Play, event: StoryEvent, codes: list[str]) -> None:
    """Note a refusal that the story does not tell of, or tells otherwise."""
    missing = [code for code in event.refused if code not in codes]
    if event.is_refused and not missing:
        return
    if event.kind == EntryKind.RUN and not event.is_refused:
        playing.notes.append(
            Difference(event.section.line, f"the run was refused ({', '.join(codes)}): none to count")
        )
        return
    wanted = f"refused ({', '.join(event.refused)})" if event.is_refused else "taken"
    message = f"{event.kind} should have been {wanted}, was refused ({', '.join(codes)})"
    playing.differences.append(Difference(event.section.line, message))
