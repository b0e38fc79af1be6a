"""The acts on a person's pathway: enrolment, a unit decided, reported to the training body, moderated."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from django.utils.translation import gettext_lazy as _

from competencies.forms import units as forms
from competencies.models import UnitStandard
from competencies.operations import moderation, pathways
from competencies.operations.decisions import When
from competencies.permissions import may_decide_unit, may_manage_people, may_moderate_unit, may_report_unit
from competencies.queries.facts import rule_of
from competencies.queries.pathways import pathways_of
from competencies.standing.entitlement import Refusal
from competencies.views.doing import Act, Doing

NOON, LAST_MINUTE = time(12), time(23, 59)


def _on_day(doing: Doing, day: date, clock: time = NOON) -> When:
    """Return when something happened of which only the day is known: now, if it is today."""
    now = doing.when.now
    if day == doing.when.on:
        return When(happened_at=now, on=day, now=now)
    return When(
        happened_at=datetime.combine(day, clock, ZoneInfo(doing.person.plant.timezone)),
        on=day,
        now=now,
    )


def _enrol(doing: Doing) -> object:
    return pathways.enrol(
        person=doing.person, qualification=doing.given["qualification"], by=doing.signer, when=doing.when
    )


def _decide(doing: Doing) -> object:
    given = doing.given
    result = pathways.UnitResult(unit=given["unit"], elsewhere=given["elsewhere"])
    # What was lost in the course of that day is lost to a decision whose hour is not known.
    when = _on_day(doing, given["decided_on"], LAST_MINUTE)
    return pathways.decide_unit(person=doing.person, result=result, assessor=doing.signer, when=when)


def _decide_against(doing: Doing) -> Sequence[Refusal]:
    """Return what stands against deciding the unit that the address names, today."""
    wanted = str(doing.given.get("unit") or "")
    units = UnitStandard.objects.filter(plant=doing.person.plant_id)
    unit = units.filter(pk=int(wanted)).first() if wanted.isdecimal() and len(wanted) < _DIGITS else None
    if unit is None:
        return ()
    return pathways.decision_refusals(doing.person, pathways.UnitResult(unit=unit), doing.signer, doing.when)


def _report(doing: Doing) -> object:
    when = _on_day(doing, doing.given["reported_on"])
    return moderation.report_unit(person=doing.person, decision=doing.given["entry"], by=doing.signer, when=when)


def _report_against(doing: Doing) -> Sequence[Refusal]:
    decision = _named_entry(doing)
    if decision is None:
        return ()
    return moderation.report_refusals(doing.person, decision, doing.signer, doing.when)


def _moderate(doing: Doing) -> object:
    given = doing.given
    opinion = moderation.Opinion(agrees=given["agrees"], reason=given["reason"], moderator=given["moderator"])
    return moderation.moderate_unit(
        person=doing.person,
        decision=given["entry"],
        opinion=opinion,
        by=doing.signer,
        when=_on_day(doing, given["moderated_on"]),
    )


def _moderate_against(doing: Doing) -> Sequence[Refusal]:
    """Return what stands against this person's moderating, whatever the moderator says and is called."""
    decision = _named_entry(doing)
    if decision is None:
        return ()
    opinion = moderation.Opinion(agrees=True, moderator=doing.signer.person.name)
    return moderation.moderation_refusals(doing.person, decision, opinion, doing.signer, doing.when)


_DIGITS = 18


def _named_entry(doing: Doing) -> int | None:
    wanted = str(doing.given.get("entry") or "")
    return int(wanted) if wanted.isdecimal() and len(wanted) < _DIGITS else None


def beside(act: Act, doing: Doing) -> dict[str, object]:
    """Return what is shown beside an act: the pathways, or what a disagreement puts under review."""
    if act is UNIT_ACTS["enrol"] or act is UNIT_ACTS["decide-unit"]:
        return {"pathways": pathways_of([doing.person], on=doing.when.on)}
    decision = _named_entry(doing)
    if act is UNIT_ACTS["moderate-unit"] and decision is not None:
        behind = moderation.goes_under_review(doing.person, rule_of(doing.person), decision, doing.when)
        return {"goes_under_review": behind}
    return {}


UNIT_ACTS: Mapping[str, Act] = {
    "enrol": Act(
        _("Enrol on a pathway"),
        _(
            "The person follows this version of the pathway from today on. A newer version of a pathway that is"
            " followed already is a move: the earlier enrolment stays readable, and what was decided counts on."
        ),
        forms.EnrolForm,
        may_manage_people,
        _enrol,
    ),
    "decide-unit": Act(
        _("Decide a unit standard"),
        _("You say that the unit is achieved. Look at the outcomes first: every one must stand."),
        forms.UnitForm,
        may_decide_unit,
        _decide,
        against=_decide_against,
    ),
    "report-unit": Act(
        _("Report a unit standard"),
        _("You say that the decision was reported to the training body. From then on it stays as reported."),
        forms.ReportForm,
        may_report_unit,
        _report,
        against=_report_against,
    ),
    "moderate-unit": Act(
        _("Record a moderation"),
        _(
            "Where the moderator disagrees, a unit that is not reported stops counting; one that is reported stays,"
            " is marked disputed and holds the award until the training body has corrected it. The sign-offs behind"
            " it go under review."
        ),
        forms.ModerationForm,
        may_moderate_unit,
        _moderate,
        against=_moderate_against,
    ),
}
