"""The rule's codes in plain words: reasons, refusals, steps of the way back, standings.

Two moods of one code may differ: `too_few_runs` reads the same whether it explains a standing or refuses an entry.
"""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Protocol

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from competencies.standing.timeline import Step
from competencies.vocabulary import AuthorityKind, Criticality, Judgement, Meaning, Outcome, Standing

Text = str | Promise


class Coded(Protocol):
    """A reason or a refusal: the rule's number, a code, and what the sentence needs."""

    @property
    def rule(self) -> str:
        """Return the rule's number."""

    @property
    def code(self) -> str:
        """Return the code."""

    @property
    def params(self) -> tuple[tuple[str, str], ...]:
        """Return the names and values."""


STANDINGS: Mapping[Standing, Text] = {
    Standing.NOT_STARTED: _("not started"),
    Standing.LEARNING: _("learning"),
    Standing.READY: _("ready for assessment"),
    Standing.AWAITING_SIGNATURE: _("awaiting second signature"),
    Standing.AWAITING_REVISION: _("awaiting the new revision"),
    Standing.IN_FORCE: _("in force"),
    Standing.RENEWAL_DUE: _("renewal due"),
    Standing.IN_GRACE: _("in grace"),
    Standing.LAPSED: _("lapsed"),
    Standing.OUT_OF_REVISION: _("new revision to learn"),
    Standing.STALE: _("stale"),
    Standing.SUSPENDED: _("suspended"),
    Standing.WITHDRAWN: _("withdrawn"),
    Standing.UNDER_REVIEW: _("under review"),
    Standing.BLOCKED: _("blocked"),
    Standing.RESTRICTED: _("restricted by age"),
}

CRITICALITIES: Mapping[Criticality, Text] = {
    Criticality.NONE: _("not critical"),
    Criticality.FOOD: _("critical for food safety"),
    Criticality.SAFETY: _("critical for people's safety"),
    Criticality.BOTH: _("critical for food safety and people's safety"),
}

JUDGEMENTS: Mapping[Judgement, Text] = {
    Judgement.MET: _("met"),
    Judgement.NOT_MET: _("not met"),
    Judgement.NOT_SEEN: _("not seen"),
}

OUTCOMES: Mapping[Outcome, Text] = {
    Outcome.COMPETENT: _("competent"),
    Outcome.NOT_YET_COMPETENT: _("not yet competent"),
}

AUTHORITIES: Mapping[AuthorityKind, Text] = {
    AuthorityKind.TRAIN: _("trainer"),
    AuthorityKind.ASSESS: _("assessor"),
    AuthorityKind.SIGN_FOOD: _("second signatory, food"),
    AuthorityKind.SIGN_SAFETY: _("second signatory, safety"),
    AuthorityKind.SUPERVISE: _("line or shift supervisor"),
    AuthorityKind.COORDINATE: _("training coordinator"),
    AuthorityKind.AUDIT: _("auditor"),
}

# What a signature says, in the words that are shown when it is asked for.
MEANINGS: Mapping[Meaning, Text] = {
    Meaning.CARRIED_OUT: _("I carried this out under supervision"),
    Meaning.SUPERVISED: _("I watched this and confirm it"),
    Meaning.COMPETENT: _("I observed the performance and judge it competent"),
    Meaning.NOT_YET_COMPETENT: _("I observed the performance and judge it not yet competent"),
    Meaning.REVIEWED: _("I have checked the record and sign it as the second person"),
    Meaning.READ_AND_UNDERSTOOD: _("I have read and understood this revision"),
    Meaning.SUSPENDED: _("I suspend this sign-off while something is looked into"),
    Meaning.REINSTATED: _("I lift this suspension"),
    Meaning.WITHDRAWN: _("I withdraw this sign-off for cause"),
    Meaning.RECOGNISED: _("I judge this evidence from elsewhere adequate"),
    Meaning.ENTERED_IN_ERROR: _("I say that this entry was made in error"),
    Meaning.ADMINISTERED: _("I entered this for the plant"),
}

SENTENCES: Mapping[str, Text] = {
    # what is missing
    "too_few_runs": _("%(counted)s of %(needed)s supervised runs count so far"),
    "too_few_shifts": _("the runs lie on %(counted)s different shifts; %(needed)s are asked"),
    "range": _("the runs have not shown enough different values of %(name)s"),
    "calculation": _("the calculation %(calculation)s has no passed check that is recent enough"),
    "prerequisite": _("%(task)s, which this task builds on, is not in force"),
    "confirmed_too_many": _(
        "the assessor watched %(confirmed)s of the %(counted)s runs; on a critical task it may be half at most"
    ),
    "awaiting_signature": _("the second signature is still missing"),
    "void": _("the assessment of %(assessed)s is void: no second signature came in time"),
    # why a run does not count
    "not_confirmed": _("nobody who watched has confirmed it"),
    "confirmed_late": _("it was confirmed later than %(hours)s hours after"),
    "too_old": _("it is older than %(months)s months"),
    "coming_revision": _("it was made on revision %(revision)s, which is not in force yet"),
    "old_revision": _("it is about revision %(revision)s, which has been replaced"),
    "drill": _("no more than %(most)s drills count"),
    "stopped": _("it was stopped: no run, and no fault"),
    "before": _("it was made before %(since)s and does not count again"),
    "not_late": _("that run was not confirmed late: there is nothing to accept"),
    "never_late": _("on a critical task a run confirmed later than %(hours)s hours after never counts"),
    # time
    "renewal_due": _("the last valid day %(last_valid)s is near"),
    "in_grace": _("the last valid day has passed and the days of grace are running"),
    "lapsed": _("the last valid day was %(last_valid)s"),
    "stale": _("the task was last done on %(last)s, too long ago"),
    # revisions
    "awaiting_revision": _("it was learned on revision %(revision)s, in force from %(effective)s"),
    "acknowledgement_due": _("revision %(revision)s is to be read and acknowledged by %(until)s"),
    "not_acknowledged": _("revision %(revision)s was not acknowledged by %(until)s"),
    "reclassified": _("revision %(revision)s was called minor until %(on)s"),
    "delta_due": _("the changes of revision %(revision)s are to be shown by %(until)s"),
    "out_of_revision": _("the changes of revision %(revision)s, in force from %(effective)s, have not been shown"),
    "delta_missing": _("the changes of revision %(revision)s have not been shown by the watching person"),
    "unknown_revision": _("there was no approved revision %(revision)s on that day"),
    "initial_trainer": _("named as an initial trainer until %(until)s"),
    "nothing_changed": _("revision %(revision)s is known already: there is nothing to show"),
    "already_acknowledged": _("revision %(revision)s has been acknowledged already"),
    "not_the_holder": _("only the person themselves can acknowledge a revision"),
    # losses
    "suspended": _("it is suspended while something is looked into"),
    "withdrawn": _("it was withdrawn for cause"),
    "check_owed": _("an extra check is owed"),
    "not_yet_competent": _("the assessment of %(on)s said not yet competent"),
    "annulled": _("the sign-off of %(assessed)s was annulled: it was never in force"),
    "under_review": _("the sign-off of %(assessed)s is under review"),
    "blocked": _("%(task)s, which this task builds on, is out"),
    "already_withdrawn": _("it has been withdrawn already"),
    "not_suspended": _("there is no suspension to lift"),
    "not_held": _("there is no sign-off in force to act on"),
    "before_suspension": _("a suspension cannot be lifted before it began"),
    # people
    "age": _("barred as a young worker until %(until)s"),
    "night": _("no night shifts as a young worker until %(until)s"),
    "left": _("the last working day was %(last_day)s"),
    "person_left": _("the last working day of the watching person was %(last_day)s"),
    "not_started_work": _("work here starts on %(starts)s"),
    "gained_later": _("signed on %(at)s, after the shift had begun"),
    # who may sign what
    "own": _("nobody signs for themselves"),
    "same_person": _("the second signature must come from somebody else than the assessor and the trainee"),
    "not_in_force": _("the watching person was not in force on this task there on that day"),
    "no_authority": _("no authority for the area %(area)s on that day"),
    "conflict": _("a conflict of interest was declared"),
    "role_missing": _("the second signature needs the role %(role)s on that day"),
    "same_assessor": _("two in a row by one assessor: the next must be by another"),
    "review_first": _("after %(attempts)s in a row the coordinator reviews before the next attempt"),
    "withdrew_it": _("whoever withdrew the sign-off does not assess the return"),
    "own_signoff": _("nobody corrects a sign-off that they signed or that is theirs"),
    # units
    "unknown_version": _("the plant has no version %(version)s of the unit %(unit)s"),
    "version_closed": _("this version of %(unit)s could be assessed until %(last_day)s"),
    "outcome_not_met": _("outcome %(outcome)s of the unit is not met"),
    # the entry itself
    "future": _("it lies in the future"),
    "no_reason": _("a reason must be given"),
    "wrong_scope": _("the task cannot be held at %(scope)s"),
    "criterion_not_judged": _("criterion %(criterion)s has not been judged"),
    "criterion_not_met": _("criterion %(criterion)s is not met, so the outcome cannot be competent"),
    "criterion_not_seen": _("criterion %(criterion)s was not seen: see it before the outcome can be competent"),
    "not_awaiting": _("that assessment is not waiting for a second signature"),
    "too_late": _("the last day for the second signature was %(last_day)s; the assessment is void"),
    "before_assessment": _("it cannot be signed before it was assessed on %(assessed)s"),
    "already_corrected": _("that entry has been corrected already"),
    "unknown_entry": _("there is no such entry about this person"),
    "not_recognisable": _("this task is never recognised from elsewhere: it is shown here"),
    "certificate_ended": _("the outside certificate ended on %(ended)s"),
}

STEPS: Mapping[str, Text] = {
    "run": _("supervised runs on %(task)s: %(count)s"),
    "assessment": _("full assessment on %(task)s"),
    "delta": _("show the changed criteria of %(task)s and have them judged"),
    "second_signature": _("second signature on %(task)s"),
    "acknowledgement": _("read and acknowledge the new revision of %(task)s"),
    "lifting": _("have the suspension on %(task)s lifted"),
    "reverification": _("have the sign-off on %(task)s looked at again"),
}

# Who may do each step, told beside it so that nobody has to guess whom to ask.
STEP_DOERS: Mapping[str, Text] = {
    "run": _("with somebody in force on the task"),
    "assessment": _("an assessor for the area"),
    "delta": _("an assessor for the area"),
    "second_signature": _("the food or safety role the task names"),
    "acknowledgement": _("you yourself"),
    "lifting": _("a supervisor or the coordinator"),
    "reverification": _("another assessor for the area"),
}

NOT_DATES = frozenset({"name", "area", "role", "scope", "cause", "bar", "purpose", "standing"})


def sentence(coded: Coded, *, titles: Mapping[str, str] | None = None) -> str:
    """Return the sentence for a reason or a refusal; `titles` gives tasks and calculations their names."""
    values = {name: _shown(name, value, titles or {}) for name, value in coded.params}
    values["scope"] = f" ({values['scope']})" if values.get("scope") else ""
    template = str(SENTENCES.get(coded.code, coded.code.replace("_", " ")))
    try:
        return template % values
    except KeyError:
        return template


def step_sentence(step: Step, *, titles: Mapping[str, str] | None = None) -> str:
    """Return the sentence for one step of the way back."""
    place = f" ({step.scope})" if str(step.scope) else ""
    named = _shown("task", step.task, titles or {}) + place
    return str(STEPS.get(step.action, step.action)) % {"task": named, "count": step.count}


def step_doer(step: Step) -> str:
    """Return who may do the step."""
    return str(STEP_DOERS.get(step.action, ""))


def one_sentence(
    reasons: Iterable[Coded], way_back: Iterable[Step], *, titles: Mapping[str, str] | None = None
) -> str:
    """Return in one sentence every reason why somebody does not count, and what puts it right, in order."""
    why = "; ".join(dict.fromkeys(sentence(each, titles=titles) for each in reasons))
    steps = gettext(", then ").join(step_sentence(step, titles=titles) for step in way_back)
    if not why or not steps:
        return capfirst(f"{why or steps}.") if why or steps else ""
    return capfirst(gettext("%(why)s; what puts it right: %(steps)s.") % {"why": why, "steps": steps})


def _shown(name: str, value: str, titles: Mapping[str, str]) -> str:
    if name in {"task", "calculation"}:
        return f"{value} {titles[value]}" if value in titles else value
    if name in NOT_DATES:
        return value
    try:
        if len(value) == len("2026-01-31"):
            return date_format(date.fromisoformat(value), "j F Y")
        if "T" in value:
            return date_format(timezone.localtime(datetime.fromisoformat(value)), "j F Y, H:i")
    except ValueError:
        return value
    return value
