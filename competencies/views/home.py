"""Signing in and out, and the first page of each: the floor for those who teach or lead, people for the office."""

from typing import Any

from django.conf import settings
from django.contrib.auth import views as auth
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.permissions import Actor
from competencies.vocabulary import AuthorityKind

ON_THE_FLOOR = (AuthorityKind.TRAIN, AuthorityKind.ASSESS, AuthorityKind.SUPERVISE)
IN_THE_OFFICE = (AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


@login_required
@require_safe
def home(request: ActorRequest) -> HttpResponse:
    """Send everybody to the page they need first."""
    return redirect(first_page(request.actor))


def first_page(actor: Actor) -> str:
    """Return the name of the page that somebody sees first."""
    if actor.holds(*IN_THE_OFFICE):
        return "competencies:people"
    if actor.holds(*ON_THE_FLOOR):
        return "competencies:floor"
    return "competencies:my-page"


class SignInView(auth.LoginView):
    """Sign in; the accounts of the demo plant are named only where the site is one."""

    template_name = "competencies/sign_in.html"
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:  # noqa: ANN401 - Django's own
        """Add the demo accounts."""
        return {**super().get_context_data(**kwargs), "demo_accounts": demo_accounts()}


class PasswordView(auth.PasswordChangeView):
    """Change one's own password."""

    template_name = "competencies/password.html"
    success_url = reverse_lazy("competencies:password-changed")


@login_required
@require_safe
def password_changed(request: HttpRequest) -> HttpResponse:
    """Say that the password was changed."""
    return render(request, "competencies/password_changed.html")


def demo_accounts() -> list[tuple[str, str]]:
    """Return who can sign in to the demo plant and with what, under DEMO only."""
    if not settings.DEMO:
        return []
    from competencies.demo.signins import SIGN_INS  # noqa: PLC0415 - never loaded outside the demo

    return [
        (each.who, f"{each.username} · {each.password}" + (f" · PIN {each.pin}" if each.pin else ""))
        for each in SIGN_INS
    ]
