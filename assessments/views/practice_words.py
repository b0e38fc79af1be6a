"""Why a problem comes next, how much of it is shown, and how a round went, in words."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.calculations import UnknownCalculationError
from assessments.calculations.frame import Calculation
from assessments.models import PracticeAttempt, PracticeRound
from assessments.queries.library import Library
from assessments.scheduling import choosing, memory, progress, rounds
from assessments.scheduling.choosing import Choice, Reason, Why
from assessments.scheduling.fading import Laid
from assessments.scheduling.progress import Stage
from assessments.vocabulary import Help, Verdict

WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Chosen:
    """What comes next: the kind and the sentence that says why."""

    calculation: Calculation
    why: str


@dataclass(frozen=True, slots=True)
class StepTold:
    """What was typed into a blank step, and whether it was right."""

    says: str
    typed: str
    is_right: bool
    slips: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LookAgain:
    """A kind that went wrong in a round, with the slips that were made."""

    code: str
    title: str
    slips: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RoundTold:
    """How a round went: how many problems, how many of them right, and what to look at again."""

    problems: int
    right: int
    again: tuple[LookAgain, ...]


def chosen_told(choice: Choice | None, library: Library, *, today: date) -> Chosen | None:
    """Return what comes next, ready to be shown."""
    if choice is None:
        return None
    return Chosen(library.kind(choice.candidate.code), reason_told(choice.reason, today=today))


def reason_told(reason: Reason, *, today: date) -> str:
    """Return why in one sentence."""
    return _sentences()[reason.why] % {
        "name": _(reason.names) if reason.names else "",
        "day": day_told(reason.on, today=today) if reason.on else "",
    }


def _sentences() -> dict[Why, str]:
    return {
        Why.TASK: _("Asked for by %(name)s %(day)s."),
        Why.ON_THE_WAY: _("Asked for by %(name)s, which you are working towards."),
        Why.SLIP: _("You slipped here %(day)s: %(name)s."),
        Why.WRONG: _("You had this wrong %(day)s."),
        Why.DUE: _("You were last right %(day)s."),
        Why.NOT_RIGHT_YET: _("You have not had this right yet."),
        Why.NEW: _("You have not tried this yet."),
        Why.EARLY: _("Nothing is due right now. This one would come up %(day)s."),
    }


def day_told(day: date, *, today: date) -> str:
    """Return a day as people say it: today, on Friday, 12 days ago, on 24 Dec 2026."""
    days = (day - today).days
    near = {-1: _("yesterday"), 0: _("today"), 1: _("tomorrow")}
    if days in near:
        return near[days]
    if abs(days) < WEEK.days:
        return _("on %(day)s") % {"day": date_format(day, "l")}
    if days < 0:
        return ngettext("%(count)s day ago", "%(count)s days ago", -days) % {"count": -days}
    return _("on %(day)s") % {"day": date_format(day, "j M Y")}


def laid_told(laid: Laid) -> str:
    """Return how much of a problem is shown, in a sentence."""
    if not laid.is_parted:
        return _("All of it is yours.") if laid.asked == 0 else _("The steps you asked for are shown.")
    if laid.total - laid.given == 1:
        return _("The last step is left to you.")
    return _("The last two steps are left to you.")


def stage_told(stage: Stage, steps: int) -> str:
    """Return how much the next problem of a kind shows; a kind of one step has nothing to leave out."""
    if stage is Stage.READ:
        return _("Next time you first read one that is worked out.")
    if steps == 1 or stage is Stage.ALONE:
        return _("Next time all of it is yours.")
    if stage is Stage.LAST_BLANK:
        return _("Next time the last step is left to you.")
    return _("Next time the last two steps are left to you.")


def help_told(kept: str) -> str:
    """Return what help an answer was given with; empty when there was none."""
    return {
        Help.NONE: "",
        Help.GIVEN: _("Done with the first steps shown."),
        Help.ASKED: _("Kept as helped: you asked to see a step."),
        Help.WHOLE: _("Kept as helped: the whole working had been shown. It comes up again soon."),
    }[Help(kept)]


def told_steps(attempt: PracticeAttempt, kind: Calculation) -> list[StepTold]:
    """Return what was typed into the blank steps of an attempt."""
    return [
        StepTold(
            says=_(kind.steps[step["step"] - 1].says) if step["step"] <= len(kind.steps) else str(step["step"]),
            typed=step["typed"],
            is_right=step["is_right"],
            slips=tuple(_(name) for name in step["slips"]),
        )
        for step in attempt.step_answers
    ]


def left_told(running: PracticeRound) -> str:
    """Return how much time a round has left, in words."""
    minutes = rounds.minutes_left(running.used_seconds)
    if rounds.is_over(running.used_seconds):
        return _("The time is up.")
    return ngettext("about %(count)s minute left", "about %(count)s minutes left", minutes) % {"count": minutes}


def round_told(attempts: Sequence[PracticeAttempt], library: Library) -> RoundTold:
    """Return how a round went. What was wrong and then right in the same round need not be looked at again."""
    last = {attempt.calculation: attempt for attempt in attempts}
    missed = [code for code, attempt in last.items() if attempt.verdict != Verdict.RIGHT.value]
    slips = Counter((attempt.calculation, name) for attempt in attempts for name in attempt.slips)
    return RoundTold(
        problems=len(attempts),
        right=sum(attempt.verdict == Verdict.RIGHT.value for attempt in attempts),
        again=tuple(_look_again(code, [name for kind, name in slips if kind == code], library) for code in missed),
    )


def _look_again(code: str, slips: Iterable[str], library: Library) -> LookAgain:
    try:
        title = _(library.kind(code).title)
    except UnknownCalculationError:
        title = code
    return LookAgain(code, title, tuple(_(name) for name in slips))


def how_facts() -> dict[str, int | str]:
    """Return the figures of the rule that the page `how` names."""
    return {
        "recall": f"{memory.TARGET_RECALL:.0%}".replace("%", " %"),
        "longest": memory.LONGEST_DAYS,
        "in_time": progress.IN_TIME_SECONDS // 60,
        "misses": progress.MISSES_BACK,
        "lately": choosing.LATELY.days,
        "soon": choosing.SOON[-1][0],
        "round": rounds.ROUND_SECONDS // 60,
        "most": rounds.MOST_A_PROBLEM // 60,
    }
