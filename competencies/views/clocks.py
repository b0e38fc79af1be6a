"""The two clocks of an address: which minute is asked about, and up to when the record is taken for known."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from django.utils import timezone
from django.utils.http import urlencode

from competencies.forms.clocks import ClocksForm, moment_of
from competencies.middleware import ActorRequest

CLOCKS: Final = ("on", "at", "known", "known_at")
# What else may stand in the address of a page with clocks, and stays when they are moved.
KEPT: Final = ("scope", "view", "line", "span", "from", "to")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The minute asked about, and the moment whose knowledge is used (None: all that is known now).

    `now` is the clock of the page. `is_named`: the address names the day. `given` is what stands in the address.
    """

    form: ClocksForm
    on: date
    moment: datetime
    known: datetime | None
    now: datetime
    is_named: bool
    given: dict[str, str]

    @property
    def is_past(self) -> bool:
        """Whether the minute asked about lies behind, so that there are two answers."""
        return self.moment < self.now

    @property
    def is_today(self) -> bool:
        """Whether it is asked about now."""
        return self.moment == self.now

    @property
    def is_end_of_day(self) -> bool:
        """Whether a day is asked about and no minute of it."""
        return not self.is_today and "at" not in self.given

    @property
    def then(self) -> datetime:
        """Return what "then" means: the moment whose knowledge is asked for, else the minute asked about."""
        return min(self.known or self.moment, self.now)

    @property
    def is_then(self) -> bool:
        """Whether the answer is the one that could have been given at the very minute asked about."""
        return self.known is not None and self.known == self.moment

    @property
    def kept(self) -> list[tuple[str, str]]:
        """Return what stays in the address when the clocks are moved."""
        return [(name, value) for name, value in self.given.items() if name not in CLOCKS]

    @property
    def now_address(self) -> str:
        """Return the address of the same question as known now."""
        return self.address(known=None, known_at=None)

    @property
    def then_address(self) -> str:
        """Return the address of the same question as known at the minute asked about."""
        return self.address(on=self.on.isoformat(), known=self.on.isoformat(), known_at=self.given.get("at"))

    @property
    def today_address(self) -> str:
        """Return the address of the page as it stands now."""
        return self.address(**dict.fromkeys(CLOCKS))

    def address(self, **changed: str | None) -> str:
        """Return the query of the page with some of it changed; None leaves a name out."""
        named = {name: value for name, value in {**self.given, **changed}.items() if value}
        return f"?{urlencode(named)}"


def clocks_asked(request: ActorRequest, *, kept: Sequence[str] = KEPT) -> Asked:
    """Return the clocks of an address; what cannot be read is told at its field, and now is shown instead."""
    now = timezone.now()
    sent = {name: request.GET[name] for name in CLOCKS if request.GET.get(name)}
    form = ClocksForm(sent, today=request.actor.on, now=now)
    found: dict[str, Any] = form.cleaned_data if form.is_valid() else {}
    on = found.get("on") or request.actor.on
    known_on = found.get("known")
    is_now = on == request.actor.on and found.get("at") is None
    known = moment_of(known_on, found.get("known_at")) if known_on else None
    given = {name: request.GET[name] for name in kept if request.GET.get(name)}
    given |= sent if form.is_valid() else {}
    return Asked(
        form=form,
        on=on,
        moment=now if is_now else moment_of(on, found.get("at")),
        known=known if known is not None and known < now else None,
        now=now,
        is_named=found.get("on") is not None,
        given=given,
    )
