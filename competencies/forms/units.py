"""What is signed about a person's pathway: enrolment, a unit decided, reported, moderated."""

from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import NOTE_LENGTH, offer
from competencies.forms.people import ActForm, day_field
from competencies.models import Person, Qualification, UnitStandard
from competencies.queries.facts import rule_of
from competencies.queries.pathways import pathways_open_to
from competencies.queries.person_task import Entry
from competencies.standing.unit_records import UnitRecord, unit_records


def decided_units(person: Person) -> list[UnitRecord]:
    """Return the decisions on units about a person that stand, newest first, with all that is known of them."""
    facts = rule_of(person).of_units
    last = max((fact.on for fact in facts), default=None)
    return list(reversed(unit_records(facts, last))) if last else []


def decision_label(record: UnitRecord) -> str:
    """Return a decision to choose it by: the unit, its version, the day."""
    decision = record.decision
    words = gettext("%(unit)s version %(version)s, decided on %(day)s") % {
        "unit": decision.unit,
        "version": decision.version,
        "day": date_format(decision.on, "j M Y"),
    }
    if record.report:
        words += ", " + gettext("reported on %(day)s") % {"day": date_format(record.report.on, "j M Y")}
    return f"{words} (#{decision.seq})"


class EnrolForm(ActForm):
    """Which version of which pathway."""

    qualification = forms.ModelChoiceField(Qualification.objects.none(), label=_("Pathway"), empty_label=None)

    def prepare(self, entries: list[Entry]) -> None:
        """Offer the versions the person is not on yet; one of a pathway that is followed moves the person."""
        rows = Qualification.objects.filter(enrolments__person=self.person).order_by("version")
        followed = dict(rows.values_list("code", "version"))
        offer(
            self,
            "qualification",
            pathways_open_to(self.person),
            lambda row: _pathway_label(row, followed.get(row.code)),
        )


def _pathway_label(row: Qualification, followed: int | None) -> str:
    label = gettext("%(title)s, version %(version)s") % {"title": row.title, "version": row.version}
    if followed is not None:
        label += ": " + gettext("moves from version %(version)s") % {"version": followed}
    if row.last_date_to_enrol is not None:
        label += ", " + gettext("to be begun by %(day)s") % {"day": date_format(row.last_date_to_enrol, "j M Y")}
    return label


class UnitForm(ActForm):
    """Which unit standard is achieved, decided on which day."""

    unit = forms.ModelChoiceField(UnitStandard.objects.none(), label=_("Unit standard"), empty_label=None)
    decided_on = day_field(_("Decided on"))
    elsewhere = forms.BooleanField(
        label=_("Credit gained outside this plant"),
        help_text=_("It counts toward the pathway and gives no standing on the floor."),
        required=False,
    )

    def prepare(self, entries: list[Entry]) -> None:
        """Offer the unit versions that no decision which counts has given the person."""
        given = {record.key for record in decided_units(self.person) if record.is_counted}
        rows = UnitStandard.objects.filter(plant=self.person.plant_id).order_by("code", "-version")
        open_to = [row.pk for row in rows if (row.code, row.version) not in given]
        offer(self, "unit", rows.filter(pk__in=open_to), unit_label)


def unit_label(row: UnitStandard) -> str:
    """Return a unit version to choose it by, with its last day where it has one."""
    label = f"{row.code} {row.title}, " + gettext("version %(version)s") % {"version": row.version}
    if row.last_date_for_assessment is not None:
        day = date_format(row.last_date_for_assessment, "j M Y")
        label += ", " + gettext("to be decided by %(day)s") % {"day": day}
    return label


class DecisionForm(ActForm):
    """Something that is said of a decision on a unit."""

    entry = forms.TypedChoiceField(label=_("Which decision"), coerce=int)

    def prepare(self, entries: list[Entry]) -> None:
        """Offer the decisions that fit."""
        fitting = [record for record in decided_units(self.person) if self.fits(record)]
        self.fields["entry"].choices = [(each.decision.seq, decision_label(each)) for each in fitting]  # type: ignore[attr-defined]

    def fits(self, record: UnitRecord) -> bool:
        """Whether it can be said of this decision."""
        return True


class ReportForm(DecisionForm):
    """Which decision was reported to the training body, on which day."""

    reported_on = day_field(_("Reported on"))

    def fits(self, record: UnitRecord) -> bool:
        """Say that what counts is reported, once."""
        return record.is_counted and record.report is None


class ModerationForm(DecisionForm):
    """What a moderator says of a decision, and why."""

    CHOICES = [("yes", _("agrees")), ("no", _("disagrees"))]
    moderated_on = day_field(_("Moderated on"))
    agrees = forms.TypedChoiceField(
        label=_("The moderator"), choices=CHOICES, coerce=lambda word: word == "yes", widget=forms.RadioSelect
    )
    moderator = forms.CharField(
        label=_("Name of the moderator"),
        max_length=120,
        required=False,
        help_text=_("Leave it empty where you, as an auditor, are the moderator yourself."),
    )
    reason = forms.CharField(
        label=_("Why"),
        max_length=NOTE_LENGTH,
        required=False,
        help_text=_("A disagreement needs a reason. Every sign-off behind the unit then goes under review."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def clean(self) -> dict[str, Any]:
        """Ask for a reason where the moderator disagrees."""
        given = super().clean() or {}
        if given.get("agrees") is False and not given.get("reason", "").strip():
            self.add_error("reason", capfirst(gettext("a reason must be given")) + ".")
        return given
