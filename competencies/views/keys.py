"""Keys for other programs: made and shown once, listed with their last use, revoked."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from competencies.forms.keys import SCOPES, KeyForm
from competencies.middleware import ActorRequest
from competencies.models import AccessKey
from competencies.operations.doors import KeyAsked, make_access_key, revoke_access_key
from competencies.permissions import may_give_keys
from competencies.queries.standing import end_of_day
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.proving import proven
from competencies.views.table_files import ListTable, file_asked, table_file
from competencies.vocabulary import ReadScope

PAGE_SIZE = 30
BIGGEST = 2**62


@sensitive_post_parameters("pin")
@never_cache
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def keys(request: ActorRequest) -> HttpResponseBase:
    """List the plant's keys, the newest first; make one and show it this once."""
    plant = own_plant(request.actor)
    if not may_give_keys(request.actor):
        raise PermissionDenied
    kept = AccessKey.objects.filter(plant=plant).select_related("made_by", "revoked_by").order_by("-made_at", "-pk")
    if request.method == "GET" and (file := file_asked(request)):
        return table_file(request, file, _table(list(kept)))
    form = KeyForm(request.POST or None, today=request.actor.on)
    secret = _made(request, form) if request.method == "POST" and form.is_valid() else None
    context = {
        "form": KeyForm(today=request.actor.on) if secret else form,
        "secret": secret,
        "page": Paginator(kept, PAGE_SIZE).get_page(request.GET.get("page")),
        "now": timezone.now(),
        "scope_words": dict(SCOPES),
    }
    return render(request, "competencies/keys.html", context)


def _made(request: ActorRequest, form: KeyForm) -> str | None:
    """Return the secret of a new key; None when the PIN was not accepted, which is then said at the field."""
    given, now = form.cleaned_data, timezone.now()
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return None
    asked = KeyAsked(
        title=given["title"],
        scopes=[ReadScope(scope) for scope in given["scopes"]],
        expires_at=end_of_day(given["until_on"], own_plant(request.actor)),
    )
    return make_access_key(asked=asked, by=by.person, now=now)[1]


def _table(kept: list[AccessKey]) -> ListTable:
    heads = [_("What it is for"), _("May read"), _("Made by"), _("Made"), _("Ends"), _("Last used"), _("Revoked")]
    rows = [
        [key.title, " ".join(key.scopes), key.made_by, key.made_at, key.expires_at, key.used_at, key.revoked_at]
        for key in kept
    ]
    return ListTable(name="keys", heads=heads, rows=rows)


@login_required
@require_POST
def key_revoke(request: ActorRequest, key_id: int) -> HttpResponseRedirect | HttpResponse:
    """Revoke a key: it opens nothing from now on."""
    plant = own_plant(request.actor)
    if not may_give_keys(request.actor):
        raise PermissionDenied
    key = AccessKey.objects.filter(plant=plant, pk=min(key_id, BIGGEST)).first()
    if key is None:
        raise Http404
    revoke_access_key(key=key, by=person_at_keyboard(request.actor), now=timezone.now())
    messages.success(request, _("%(title)s: the key is revoked.") % {"title": key.title})
    return redirect("competencies:keys")
