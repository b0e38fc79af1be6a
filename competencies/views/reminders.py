"""What was told by e-mail: the office's log, and one's own, with the choice to be told no more."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from competencies.middleware import ActorRequest
from competencies.models import Person, Reminder
from competencies.operations.reminding import choose_reminders
from competencies.permissions import may_see_reminders
from competencies.views.loading import own_plant, person_at_keyboard

PAGE_SIZE = 50
NEWEST = ("-claimed_at", "-pk")


@login_required
@require_safe
def reminders(request: ActorRequest) -> HttpResponse:
    """Show what was told to whom, the newest first, and how many cannot be told anything."""
    plant = own_plant(request.actor)
    if not may_see_reminders(request.actor):
        raise PermissionDenied
    rows = Reminder.objects.filter(plant=plant).select_related("person").order_by(*NEWEST)
    here = Person.objects.filter(plant=plant).employed(request.actor.on)
    context = {
        "page": Paginator(rows, PAGE_SIZE).get_page(request.GET.get("page")),
        "unknown": rows.filter(sent_at=None).count(),
        "without_address": here.filter(email="").count(),
        "opted_out": here.filter(is_reminded=False).count(),
    }
    return render(request, "competencies/reminders.html", context)


@login_required
@require_http_methods(["GET", "POST"])
def my_reminders(request: ActorRequest) -> HttpResponse:
    """Show what one was told oneself; switch the e-mails off and on."""
    person = person_at_keyboard(request.actor)
    if request.method == "POST":
        wanted = request.POST.get("told") == "on"
        choose_reminders(person=person, is_reminded=wanted)
        messages.success(request, _("You are told by e-mail.") if wanted else _("You are told nothing by e-mail."))
        return redirect("competencies:my-reminders")
    rows = Reminder.objects.filter(person=person).select_related("person").order_by(*NEWEST)
    context = {"page": Paginator(rows, PAGE_SIZE).get_page(request.GET.get("page")), "person": person}
    return render(request, "competencies/my_reminders.html", context)
