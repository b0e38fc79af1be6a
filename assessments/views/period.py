"""The period that a page of figures was asked for."""

from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from assessments.forms.period import PeriodForm
from competencies.middleware import ActorRequest


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """The days looked back over, both included, and the form that asks for others."""

    form: PeriodForm
    since: date
    on: date

    @property
    def query(self) -> str:
        """Return what carries a period that was asked for to the next page; empty for the usual one."""
        asked = {name: self.form[name].value() for name in self.form.fields}
        given = {name: value for name, value in asked.items() if value}
        return f"?{urlencode(given)}" if given and self.form.is_valid() else ""


def period_asked(request: ActorRequest) -> Period:
    """Return the period that stands in the address."""
    form = PeriodForm(request.GET)
    since, on = form.days(on=request.actor.on)
    return Period(form=form, since=since, on=on)
