"""A progress record in the words that stand on paper: rows of plain text for the templates."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from competencies.queries.records.parts import (
    AttemptLine,
    CheckLine,
    CorrectionLine,
    EventLine,
    NextAction,
    ProgressRecord,
    RunLine,
    RunTally,
    Signed,
    SignOffLine,
    TaskLine,
)
from competencies.standing.facts import Scope
from competencies.standing.readiness import PurposeKind
from competencies.standing.signoffs import State
from competencies.standing.timeline import Reason
from competencies.vocabulary import EntryKind, Standing
from competencies.wording import AUTHORITIES, CRITICALITIES, JUDGEMENTS, MEANINGS, sentence, step_doer, step_sentence

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Words:
    """Writes lines down; `titles` names the tasks, `shifts` the shifts."""

    titles: Mapping[str, str]
    shifts: Mapping[str, str]

    def task_row(self, line: TaskLine) -> Row:
        """Return a task with its standing, every reason and the way back."""
        period = line.period
        is_held = line.signoff is not None
        return {
            "code": line.code,
            "title": line.title,
            "place": place(line.scope),
            "critical": str(CRITICALITIES[line.criticality]) if line.criticality.is_critical else "",
            "standing": period.standing.value,
            "cover": cover(line),
            "reasons": self.reasons(period.reasons),
            "way_back": self.way_back(line),
            "until": day(period.last_valid_on) if period.last_valid_on else (_("no end") if is_held else ""),
            "revision": period.revision,
            "signoff": signoff_row(line.signoff) if line.signoff else None,
            "tally": tally(line.tally, is_held=is_held),
            "ranges": ranges(line.tally),
            "calculations": calculations(line),
            "missing": self.missing(line),
            "wants": [self.named(code) for code in line.prerequisites_missing],
        }

    def reasons(self, reasons: Iterable[Reason]) -> list[str]:
        """Return every reason as a sentence; a code that only repeats the standing says nothing and is left out."""
        spoken = (sentence(each) for each in reasons if each.code not in REPEATS)
        return [f"{capfirst(text)}." for text in dict.fromkeys(spoken)]

    def way_back(self, line: TaskLine) -> list[str]:
        """Return the steps of the way back of somebody who held the task."""
        if line.signoff is None and line.period.standing not in STOPS:
            return []
        return [capfirst(step_sentence(step)) for step in line.period.way_back]

    def missing(self, line: TaskLine) -> list[str]:
        """Return what still stands between the person and a sign-off."""
        if line.period.standing is Standing.AWAITING_SIGNATURE:
            return [capfirst(step_sentence(step)) for step in line.period.way_back]
        return self.reasons(line.missing)

    def named(self, code: str) -> str:
        """Return a task's code and title."""
        return f"{code} {self.titles[code]}" if code in self.titles else code

    def run_row(self, line: RunLine) -> Row:
        """Return one supervised run, counted or with every reason why not."""
        values = [f"{name}: {value}" for name, value in sorted(line.range_values.items())]
        return {
            "seq": line.seq,
            "on": day(line.on),
            "shift": self.shifts.get(line.shift, line.shift).partition(",")[0],
            "code": line.task,
            "place": place(line.scope),
            "revision": line.revision,
            "values": values,
            "is_drill": line.is_drill,
            "signed": signed_row(line.signed),
            "counted": not line.reasons,
            "reasons": self.reasons(line.reasons),
        }

    def action_row(self, action: NextAction) -> Row:
        """Return one of the next things to do."""
        if action.calculation:
            text = _("calculation %(code)s, as a supervised check, for %(task)s") % {
                "code": action.calculation,
                "task": self.named(action.step.task),
            }
            return {"text": capfirst(text), "who": _("opened by a trainer or assessor"), "until": ""}
        text = step_sentence(action.step, titles=self.titles)
        until = _("by %(day)s") % {"day": day(action.until)} if action.until else ""
        return {"text": capfirst(text), "who": step_doer(action.step), "until": until}

    def attempt_row(self, line: AttemptLine) -> Row:
        """Return an assessment that gave no sign-off, with what was not met and what was advised."""
        return {
            "seq": line.seq,
            "on": day(line.on),
            "task": self.named(line.task),
            "place": place(line.scope),
            "revision": line.revision,
            "state": str(ATTEMPTS[line.state]()),
            "criteria": [
                f"{number}. {text}: {JUDGEMENTS[judgement]}" if text else f"{number}: {JUDGEMENTS[judgement]}"
                for number, text, judgement in line.open_criteria
            ],
            "feedback": line.feedback,
            "practise": line.practise,
            "signed": signed_row(line.signed),
        }

    def event_row(self, line: EventLine) -> Row:
        """Return a decision that changed a standing."""
        return {
            "seq": line.seq,
            "on": day(line.on),
            "what": str(EVENTS[line.kind]()),
            "task": self.named(line.task) if line.task else "",
            "place": place(line.scope),
            "of": line.of,
            "note": line.note,
            "signed": signed_row(line.signed),
        }

    def correction_row(self, line: CorrectionLine) -> Row:
        """Return a correction with the entry that was wrong."""
        return {
            "seq": line.seq,
            "of": line.of,
            "what": kind_word(line.of_kind),
            "of_on": day(line.of_on) if line.of_on else "",
            "task": self.named(line.task) if line.task else "",
            "place": place(line.scope),
            "on": day(line.on),
            "cause": line.cause.replace("_", " "),
            "note": line.note,
            "signed": signed_row(line.signed),
        }


# These reasons say only what the standing's own word says.
REPEATS = frozenset({"not_signed_off", "not_started", "learning", "ready", "awaiting_signature"})
STOPS = frozenset({Standing.BLOCKED, Standing.SUSPENDED, Standing.WITHDRAWN, Standing.UNDER_REVIEW})

ATTEMPTS = {
    State.NOT_YET_COMPETENT: lambda: _("Not yet competent"),
    State.UNSIGNED: lambda: _("Void: the second signature did not come in time"),
    State.ANNULLED: lambda: _("Annulled: never in force"),
    State.SIGNED: lambda: _("Competent"),
}
EVENTS = {
    EntryKind.RECOGNITION: lambda: _("Recognised from elsewhere"),
    EntryKind.SUSPENSION: lambda: _("Suspended while something was looked into"),
    EntryKind.LIFTING: lambda: _("Suspension lifted"),
    EntryKind.WITHDRAWAL: lambda: _("Withdrawn for cause"),
    EntryKind.CHECK_OWED: lambda: _("Extra check asked for"),
    EntryKind.ANNULMENT: lambda: _("Sign-off annulled"),
    EntryKind.REVIEW: lambda: _("Sign-off put under review"),
    EntryKind.REVERIFICATION: lambda: _("Sign-off looked at again: it stands"),
    EntryKind.ATTEMPTS_REVIEWED: lambda: _("Attempts reviewed by the coordinator"),
    EntryKind.APPEAL: lambda: _("Appeal by the trainee"),
}
PURPOSES = {
    PurposeKind.RENEWAL: lambda: _("renewal"),
    PurposeKind.CONVERSION: lambda: _("conversion from another line or machine"),
    PurposeKind.REASSESSMENT: lambda: _("re-assessment"),
    PurposeKind.RETURN_AFTER_LAPSE: lambda: _("return after a lapse"),
    PurposeKind.RETURN_AFTER_WITHDRAWAL: lambda: _("return after a withdrawal"),
}
KINDS = {
    EntryKind.RUN: lambda: _("supervised run"),
    EntryKind.CHECK: lambda: _("calculation check"),
    EntryKind.ASSESSMENT: lambda: _("assessment"),
    EntryKind.SECOND_SIGNATURE: lambda: _("second signature"),
    EntryKind.RECOGNITION: lambda: _("recognition"),
    EntryKind.SUSPENSION: lambda: _("suspension"),
    EntryKind.WITHDRAWAL: lambda: _("withdrawal"),
    EntryKind.CORRECTION: lambda: _("correction"),
    EntryKind.UNIT_DECISION: lambda: _("decision on a unit standard"),
    EntryKind.UNIT_REPORTED: lambda: _("report of a unit standard"),
    EntryKind.MODERATION: lambda: _("moderation of a unit standard"),
    EntryKind.ACKNOWLEDGEMENT: lambda: _("acknowledgement"),
}


def kind_word(kind: EntryKind | None) -> str:
    """Return what an entry is called."""
    if kind is None:
        return _("entry")
    return str(KINDS[kind]()) if kind in KINDS else kind.value.replace("_", " ")


def day(value: date) -> str:
    """Return a day as it is written in tables: 25 Nov 2026."""
    return date_format(value, "j M Y")


def moment(value: datetime) -> str:
    """Return a moment with its offset from UTC, so that it is unambiguous in the autumn night too."""
    return date_format(value, "j M Y H:i O")


def place(scope: Scope | None) -> str:
    """Return where a sign-off serves; "" for the whole site."""
    return str(scope) if scope and str(scope) else ""


def cover(line: TaskLine) -> str:
    """Return whether the standing counts for cover, where that is not plain from its word."""
    if line.period.standing.is_in_force and not line.period.counts:
        return _("does not count for cover")
    return ""


def name_of(signed: Signed) -> str:
    """Return the name that was true when it was signed, or that it has been erased."""
    return signed.name or _("name erased")


def signed_row(signed: Signed) -> Row:
    """Return who signed, in which part, with which meaning, when."""
    late = signed.recorded_late_on
    return {
        "seq": signed.seq,
        "name": name_of(signed),
        "role": str(AUTHORITIES[signed.role]) if signed.role else "",
        "meaning": str(MEANINGS[signed.meaning]) if signed.meaning else "",
        "at": moment(signed.signed_at),
        "late": _("entered late, on %(day)s") % {"day": day(late)} if late else "",
    }


def signoff_row(signoff: SignOffLine) -> Row:
    """Return the assessment behind a sign-off and its signatures."""
    return {
        "assessed": day(signoff.assessed_on),
        "purpose": str(PURPOSES[signoff.purpose]()) if signoff.purpose in PURPOSES else "",
        "effective": day(signoff.effective_on) if signoff.effective_on != signoff.assessed_on else "",
        "revision": signoff.revision,
        "assessor": signed_row(signoff.assessor),
        "seconds": [signed_row(second) for second in signoff.seconds],
    }


def tally(runs: RunTally, *, is_held: bool) -> str:
    """Return runs counted of those asked, and on how many shifts."""
    if not runs.needed:
        on_file = ngettext("%(count)s run on file", "%(count)s runs on file", runs.counted)
        return on_file % {"count": runs.counted} if is_held else _("no runs asked")
    asked = _("%(counted)s of %(needed)s runs") % {"counted": runs.counted, "needed": runs.needed}
    if not runs.distinct_shifts_needed:
        return asked
    shifts = ngettext("on %(shifts)s shift", "on %(shifts)s shifts", runs.distinct_shifts)
    wanted = _("(%(needed)s asked)") % {"needed": runs.distinct_shifts_needed}
    return f"{asked}, {shifts % {'shifts': runs.distinct_shifts}} {wanted}"


def ranges(runs: RunTally) -> list[str]:
    """Return each range with the values shown, of how many asked."""
    found = []
    for each in runs.ranges:
        text = f"{each.name}: {', '.join(each.values) or _('none yet')}"
        asked = _("(%(shown)s of %(needed)s)") % {"shown": len(each.values), "needed": each.needed}
        found.append(f"{text} {asked}" if each.needed else text)
    return found


def calculations(line: TaskLine) -> list[str]:
    """Return each calculation the task asks for, passed or wanted."""
    absent = _("no check on file") if line.signoff else _("no check passed in time")
    return [
        _("%(code)s passed %(day)s") % {"code": code, "day": day(passed_on)} if passed_on else f"{code}: {absent}"
        for code, passed_on in line.calculations
    ]


def check_row(line: CheckLine) -> Row:
    """Return one passed calculation check."""
    right = _("%(right)s of %(asked)s") % {"right": line.right, "asked": line.problems}
    is_told = line.right is not None and line.problems
    return {
        "seq": line.seq,
        "on": day(line.on),
        "calculation": line.calculation,
        "right": right if is_told else _("passed"),
        "signed": signed_row(line.signed),
    }


def signature_rows(record: ProgressRecord) -> list[Row]:
    """Return the signatures behind the sign-offs and unit decisions, each with its meaning and its moment."""
    found = {}
    for line in record.tasks:
        if line.signoff:
            signed = (line.signoff.assessor, *line.signoff.seconds)
            found.update({each.seq: {**signed_row(each), "about": line.code} for each in signed})
    for pathway in record.pathways:
        for unit in pathway.units:
            if unit.signed:
                found[unit.signed.seq] = {**signed_row(unit.signed), "about": f"{unit.code} v{unit.version}"}
    return [found[seq] for seq in sorted(found)]
