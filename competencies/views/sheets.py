"""The check page of a printed sheet: open to whoever holds it, and it names nobody."""

import re
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from competencies.models import PrintedSheet
from competencies.permissions import may_print_record
from competencies.printing.changes import change_rows
from competencies.printing.records import in_groups
from competencies.queries.sheets import SheetCheck, SheetVerdict, sheet_check

# Each look works a record out again, so one address gets this many a minute.
LOOKS: Final = 30
CODE: Final = re.compile(r"[A-Za-z0-9_-]{1,24}")
WINDOW_SECONDS: Final = 60


@never_cache
@require_safe
def check_page(request: HttpRequest, code: str) -> HttpResponse:
    """Say whether a sheet matches the ledger, and how much has been written since."""
    if _is_too_fast(request):
        return render_too_fast(request)
    if not CODE.fullmatch(code):
        raise Http404
    sheets = PrintedSheet.objects.select_related("plant", "person__plant", "task")
    sheet = get_object_or_404(sheets, code=code)
    zone = ZoneInfo(sheet.plant.timezone)
    with timezone.override(zone):
        check = sheet_check(sheet, on=timezone.localdate())
        return render(request, "competencies/sheet_check.html", _context(request, check))


def render_too_fast(request: HttpRequest) -> HttpResponse:
    """Answer 429 and say when to come back."""
    response = render(request, "competencies/sheet_too_fast.html", status=429)
    response["Retry-After"] = str(WINDOW_SECONDS)
    return response


def _context(request: HttpRequest, check: SheetCheck) -> dict[str, Any]:
    """Return what the page shows: counts for everybody, the lines themselves for who may print the record."""
    context: dict[str, Any] = {
        "check": check,
        "sheet": check.sheet,
        "sheet_plant": check.sheet.plant,
        "head_groups": in_groups(check.sheet.ledger_head),
        "matches": check.verdict is SheetVerdict.MATCHES,
        "is_unchanged": check.verdict is SheetVerdict.LEDGER_UNCHANGED,
        "digest_groups": in_groups(check.sheet.digest),
        "is_ledger_changed": check.verdict is SheetVerdict.LEDGER_CHANGED,
    }
    actor = getattr(request, "actor", None)
    person = check.sheet.person
    if actor is not None and person is not None and may_print_record(actor, person):
        context |= {"person": person, "since": change_rows(check.since), "today": change_rows(check.today)}
    return context


def _is_too_fast(request: HttpRequest) -> bool:
    """Count this look; whether there were too many from this address within the last minute."""
    key = f"sheet-check:{request.META.get('REMOTE_ADDR', '')}"
    cache.add(key, 0, WINDOW_SECONDS)
    try:
        return cache.incr(key) > LOOKS
    except ValueError:
        # The minute ended between the two calls.
        return False
