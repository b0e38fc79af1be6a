"""A person's own PIN."""

from django.contrib import messages
from django.contrib.auth import authenticate
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.pins import PinForm
from competencies.middleware import ActorRequest
from competencies.operations.pins import DEAD_AFTER, PIN_LENGTH, WAIT, WAIT_AFTER, set_pin
from competencies.views.loading import person_at_keyboard


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def pin(request: ActorRequest) -> HttpResponse:
    """Set one's own PIN; the password is asked for."""
    person = person_at_keyboard(request.actor)
    form = PinForm(request.POST or None, person=person)
    if request.method == "POST" and form.is_valid():
        # Through the same door as signing in, so that guesses at the password are counted here too.
        user = authenticate(request, username=request.user.username, password=form.cleaned_data["password"])
        if user == request.user:
            set_pin(person=person, pin=form.cleaned_data["pin"])
            messages.success(request, _("Your PIN is set. Nobody else can read it."))
            return redirect("competencies:pin")
        form.add_error("password", _("That is not your password, or it was tried too often."))
    rules = {
        "length": PIN_LENGTH,
        "wait_after": WAIT_AFTER,
        "minutes": int(WAIT.total_seconds() // 60),
        "dead_after": DEAD_AFTER,
    }
    context = {"form": form, "rules": rules, "has_pin": bool(person.pin_hash)}
    return render(request, "competencies/pin.html", context)
