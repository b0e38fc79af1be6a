"""The shift cover sheet: who stands where, who relieves, what ends in the shift, and room for what is decided."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from competencies.models import Line, Shift, TaskRevision
from competencies.operations.paper import Statement
from competencies.printing.sheets import Sheet
from competencies.queries.cover import covers_of, station_depths
from competencies.queries.line_cover import LineCover, SlotCover
from competencies.vocabulary import SheetKind


def cover_sheet(line: Line, shift: Shift, *, on: date, known: datetime | None = None) -> Sheet:
    """Return the sheet of a line on a shift. A fixed number of queries."""
    [cover] = covers_of(lines=[line], shift=shift, on=on, known=known)
    zone = ZoneInfo(line.plant.timezone)
    days = {cover.start.astimezone(zone).date(), cover.end.astimezone(zone).date()}
    revisions = TaskRevision.objects.filter(task__stations__line=line, effective_on__in=days).select_related("task")
    young = [each for each in cover.people if each.restricted_until and each.restricted_until > on]
    context = {
        "cover": cover,
        "depths": station_depths(cover),
        "ending": [(slot, each) for slot in cover.slots for each in slot.barred if each.until is not None],
        "last_days": [slot for slot in cover.slots if slot.last_valid_on in days],
        "revisions": list(revisions.distinct().order_by("task__code", "number")),
        "young": young,
        "lessons": [slot for slot in cover.slots if slot.trainee],
    }
    statement = Statement(kind=SheetKind.COVER, as_of=on, lines=tuple(_lines(cover)))
    return Sheet(plant=line.plant, statement=statement, context=context)


def _lines(cover: LineCover) -> list[str]:
    head = f"{cover.line.code} {cover.shift.name} {cover.start.isoformat()} {cover.end.isoformat()} {cover.is_covered}"
    return [head, *(_line(slot) for slot in cover.slots)]


def _line(slot: SlotCover) -> str:
    who = slot.person.pk if slot.person else "nobody"
    relief = ",".join(str(each.pk) for each in slot.relief)
    return f"{slot.station.task.code}@{slot.scope} {who} {slot.last_valid_on or ''} relief {relief}"
