"""What is declared about the stations of a line, by whom and when; the coordinator declares and ends it."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from competencies.forms.cover_rules import FORMS, DeclarationForm
from competencies.middleware import ActorRequest
from competencies.models import CoverRule, Line
from competencies.operations.cover_rules import CoverRuleError, Declaration, declare_cover_rule, end_cover_rule
from competencies.permissions import may_see_plant, may_set_cover_rules
from competencies.queries.cover_rules import rules_shown
from competencies.templatetags.cover_words import COVER_RULES
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.vocabulary import CoverRuleKind


@login_required
@require_http_methods(["GET", "POST"])
def cover_rules(request: ActorRequest, line_code: str) -> HttpResponse:
    """Show what was declared for a line, and declare more."""
    line = get_object_or_404(Line.objects.select_related("plant"), plant=own_plant(request.actor), code=line_code)
    may_set = may_set_cover_rules(request.actor)
    if not may_see_plant(request.actor) or (request.method == "POST" and not may_set):
        raise PermissionDenied
    sent = request.POST.get("kind") if request.method == "POST" else None
    forms = {
        kind: form(request.POST if kind == sent else None, line=line, prefix=kind, auto_id=f"{kind}_%s")
        for kind, form in FORMS.items()
    }
    if request.method == "POST" and _was_done(request, line, forms):
        return redirect("competencies:cover-rules", line.code)
    rows = rules_shown(line)
    holding = {row.kind for row in rows if row.ended_at is None}
    shown = [(kind, COVER_RULES[kind], form) for kind, form in forms.items()] if may_set else []
    context = {"line": line, "rows": rows, "forms": shown, "may_set": may_set}
    context["has_relief"] = CoverRuleKind.RELIEF in holding
    return render(request, "competencies/cover_rules.html", context)


def _was_done(request: ActorRequest, line: Line, forms: dict[CoverRuleKind, DeclarationForm]) -> bool:
    by, now = person_at_keyboard(request.actor), timezone.now()
    if request.POST.get("end", "").isdecimal():
        rule = get_object_or_404(CoverRule, line=line, pk=request.POST["end"])
        end_cover_rule(rule=rule, by=by, now=now)
        messages.success(request, _("Ended. Shifts that began before keep it."))
        return True
    if request.POST.get("kind") not in set(CoverRuleKind):
        return False
    kind = CoverRuleKind(request.POST["kind"])
    form = forms[kind]
    if not form.is_valid():
        return False
    try:
        declare_cover_rule(told=Declaration(line=line, kind=kind, **form.cleaned_data), by=by, now=now)
    except CoverRuleError as error:
        form.add_error(error.field or None, str(error))
        return False
    messages.success(request, _("Declared. It holds from the next shift that starts."))
    return True
