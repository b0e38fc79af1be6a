"""The plant's own calculations: listed, told in a form, tried on a page, published and withdrawn by PIN."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assessments.forms.answering import AnswerForm
from assessments.forms.plant_calculations import MOST, CalculationForms, DecideForm, initial_of
from assessments.models import PlantCalculation
from assessments.operations.plant_calculations import (
    PlantCalculationError,
    begin_calculation,
    change_calculation,
    discard_draft,
    publish_calculation,
    withdraw_calculation,
)
from assessments.permissions import may_keep_calculations
from assessments.plant_formulas.compiling import PlantCalculation as Kind
from assessments.plant_formulas.compiling import compiled
from assessments.plant_formulas.described import from_kept
from assessments.plant_formulas.faults import DescriptionError
from assessments.plant_formulas.sweep import Swept, swept
from assessments.queries.plant_calculations import own_calculations
from assessments.views.shown import Told, told
from assessments.views.told import EXAMPLE_SEED, Example, example_of, given_heads, given_rows, source_rows
from competencies.middleware import ActorRequest
from competencies.models import Plant
from competencies.operations.pins import PinError, Signer, prove_pin
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.table_files import ListTable, file_asked, table_file

PAGE_SIZE = 25
#: Examples are offered one after the other; more than this nobody looks at.
MOST_EXAMPLES = 1000


def _plant(request: ActorRequest) -> Plant:
    """Return the plant of whoever keeps its calculations, or refuse."""
    plant = own_plant(request.actor)
    if not may_keep_calculations(request.actor):
        raise PermissionDenied
    return plant


def _version(request: ActorRequest, version_id: int) -> PlantCalculation:
    rows = PlantCalculation.objects.select_related("plant", "changed_by", "published_by", "withdrawn_by")
    return get_object_or_404(rows, plant=_plant(request), pk=version_id)


@login_required
@require_safe
def own_list(request: ActorRequest) -> HttpResponseBase:
    """List the plant's own calculations, every version of each."""
    kept = own_calculations(_plant(request))
    heads = [_("Calculation"), _("How it stands"), _("When"), _("By")]
    if file := file_asked(request):
        rows = (_row(row) for row in kept)
        return table_file(request, file, ListTable(name="own-calculations", heads=heads, rows=rows))
    page = Paginator(kept, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "heads": heads,
        "rows": [_row(row) for row in page],
        "actions": [{"label": _("Add a calculation"), "url": reverse("assessments:own-new")}],
    }
    return render(request, "assessments/plant_calculations.html", context)


def _row(row: PlantCalculation) -> list[Any]:
    url = reverse("assessments:own", args=[row.pk])
    word, at, by = _standing(row)
    return [{"text": row.described["title"], "code": str(row), "url": url}, word, _day(at), by]


def _standing(row: PlantCalculation) -> tuple[str, datetime, str]:
    if row.withdrawn_at is not None and row.withdrawn_by is not None:
        return _("Withdrawn"), row.withdrawn_at, row.withdrawn_by.name
    if row.published_at is not None and row.published_by is not None:
        return _("Published"), row.published_at, row.published_by.name
    return _("Draft"), row.changed_at, row.changed_by.name


def _day(moment: datetime) -> str:
    return date_format(timezone.localtime(moment), "j M Y H:i")


@login_required
@require_http_methods(["GET", "POST"])
def own_new(request: ActorRequest) -> HttpResponse:
    """Tell a new calculation."""
    return _tell(request, _plant(request), None)


@login_required
@require_http_methods(["GET", "POST"])
def own_change(request: ActorRequest, version_id: int) -> HttpResponse:
    """Change a draft, or begin the next version of what is published."""
    row = _version(request, version_id)
    return _tell(request, row.plant, row)


def _tell(request: ActorRequest, plant: Plant, row: PlantCalculation | None) -> HttpResponse:
    """Show the form, with one more row if asked; keep what was told when it makes a calculation."""
    code, more = row.code if row else "", request.POST.get("more", "")
    if request.method == "POST" and more in MOST:
        form = CalculationForms.with_one_more(request.POST, more, code=code)
    elif request.method == "POST":
        form = CalculationForms(request.POST, code=code)
        if form.is_valid() and (kept := _kept(request, plant, row, form)):
            return redirect("assessments:own", version_id=kept.pk)
    else:
        initial = initial_of(from_kept(row.described, code=row.code, version=row.version)) if row else None
        form = CalculationForms(initial=initial, code=code)
    return render(request, "assessments/plant_calculation_form.html", {"form": form, "row": row})


def _kept(
    request: ActorRequest, plant: Plant, row: PlantCalculation | None, form: CalculationForms
) -> PlantCalculation | None:
    keep: Callable[..., PlantCalculation] = change_calculation if row else begin_calculation
    try:
        return keep(
            plant=plant,
            told=form.described(version=row.version if row else 1),
            by=person_at_keyboard(request.actor),
            now=timezone.now(),
        )
    except DescriptionError as error:
        form.say(error.faults)
    except PlantCalculationError as error:
        form.whole.add_error(error.field or None, str(error))
    return None


@login_required
@require_http_methods(["GET", "POST"])
def own(request: ActorRequest, version_id: int) -> HttpResponse:
    """Show a version as it will be practised: try examples, see what the sweep found, and have answers marked."""
    row = _version(request, version_id)
    kind = _kind(row)
    seed = _seed(request)
    example = example_of(kind, seed) if kind else None
    context: dict[str, Any] = {
        "row": row,
        "calculation": kind,
        "standing": _standing(row),
        "seed": seed,
        "example": example,
        "sweep": swept(kind) if kind and row.published_at is None else None,
        "given_heads": given_heads(),
        "given_rows": given_rows(kind) if kind else [],
        "sources": source_rows(kind.references) if kind else [],
    }
    context["findings"] = _findings(context["sweep"])
    if example is not None:
        context["form"], context["mark"] = _tried(request, example)
    return render(request, "assessments/plant_calculation.html", context)


def _kind(row: PlantCalculation) -> Kind | None:
    """Return the calculation; None where rules that came after it was kept refuse it."""
    try:
        return compiled(from_kept(row.described, code=row.code, version=row.version))
    except DescriptionError:
        return None


def _seed(request: ActorRequest) -> int:
    typed = request.GET.get("example", "")
    is_number = typed.isascii() and typed.isdecimal() and len(typed) <= len(str(MOST_EXAMPLES))
    return max(EXAMPLE_SEED, min(int(typed), MOST_EXAMPLES)) if is_number else EXAMPLE_SEED


def _findings(sweep: Swept | None) -> list[str]:
    return [_(found.message) % dict(found.params) for found in sweep.findings] if sweep else []


def _tried(request: ActorRequest, example: Example) -> tuple[AnswerForm, Told | None]:
    """Return the form of a trial answer, and its mark; nothing of it is kept."""
    form = AnswerForm(request.POST or None, problem=example.problem)
    if request.method == "POST" and form.is_valid() and form.mark:
        return form, told(example.problem, form.mark)
    return form, None


@login_required
@require_http_methods(["GET", "POST"])
def own_publish(request: ActorRequest, version_id: int) -> HttpResponse:
    """Publish a draft by PIN."""

    def publish(row: PlantCalculation, by: Signer) -> str:
        publish_calculation(draft=row, by=by, now=timezone.now())
        return _("%(code)s is published: it can be practised, and tasks can ask for it.") % {"code": row.code}

    return _decide(request, _version(request, version_id), publish, "plant_calculation_publish")


@login_required
@require_http_methods(["GET", "POST"])
def own_withdraw(request: ActorRequest, version_id: int) -> HttpResponse:
    """Withdraw what is published by PIN."""

    def withdraw(row: PlantCalculation, by: Signer) -> str:
        withdraw_calculation(row=row, by=by, now=timezone.now())
        return _("%(code)s is not offered any more. Answers given to it stay readable.") % {"code": row.code}

    return _decide(request, _version(request, version_id), withdraw, "plant_calculation_withdraw")


def _decide(
    request: ActorRequest, row: PlantCalculation, decide: Callable[[PlantCalculation, Signer], str], page: str
) -> HttpResponse:
    form = DecideForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            pin, person = form.cleaned_data["pin"], person_at_keyboard(request.actor)
            messages.success(request, decide(row, prove_pin(person=person, pin=pin, now=timezone.now())))
            return redirect("assessments:own", version_id=row.pk)
        except PinError as error:
            form.add_error("pin", str(error))
        except PlantCalculationError as error:
            form.add_error(None, str(error))
    return render(request, f"assessments/{page}.html", {"row": row, "form": form})


@login_required
@require_POST
def own_discard(request: ActorRequest, version_id: int) -> HttpResponse:
    """Throw a draft away."""
    row = _version(request, version_id)
    if row.published_at is None:
        discard_draft(draft=row)
        messages.success(request, _("The draft was thrown away."))
    return redirect("assessments:own-list")
