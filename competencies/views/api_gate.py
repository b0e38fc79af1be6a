"""The door for other programs: a key, what it may read, how often; every refusal in one form (RFC 9457)."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import wraps
from typing import Any, Final, TypeAlias, TypeVar
from zoneinfo import ZoneInfo

from django import forms
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt

from competencies.models import AccessKey, Plant
from competencies.operations.doors import digest_of, note_use
from competencies.vocabulary import ReadScope

#: So many questions a minute for one key, and so many wrong keys a minute from one address.
QUESTIONS: Final = 120
WRONG_KEYS: Final = 60
WINDOW_SECONDS: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """Who asks: by which key, of which plant, and the clock of the question."""

    key: AccessKey
    plant: Plant
    now: datetime
    request: HttpRequest


Answer: TypeAlias = Callable[[Reader], dict[str, Any]]
FormKind = TypeVar("FormKind", bound=forms.Form)


class ProblemError(Exception):
    """What stands against an answer."""

    def __init__(self, status: int, title: str, **more: object) -> None:
        self.status = status
        self.title = title
        self.more = more
        super().__init__(title)


def asked(reader: Reader, kind: type[FormKind]) -> dict[str, Any]:
    """Return what the address asks. Raises ProblemError with a message for each name that cannot be read."""
    form = kind(reader.request.GET)
    if not form.is_valid():
        faults = {("" if name == "__all__" else name): list(texts) for name, texts in form.errors.items()}
        raise ProblemError(400, _("The question cannot be read."), errors=faults)
    return form.cleaned_data


def reads(scope: ReadScope) -> Callable[[Answer], Callable[[HttpRequest], HttpResponse]]:
    """Let a function answer those whose key may read `scope`, in the zone and the language of their plant."""

    def decorated(answer: Answer) -> Callable[[HttpRequest], HttpResponse]:
        @csrf_exempt
        @never_cache
        @wraps(answer)
        def view(request: HttpRequest) -> HttpResponse:
            try:
                return JsonResponse(_answered(request, scope, answer))
            except ProblemError as problem:
                return _refusal(problem)

        return view

    return decorated


def _answered(request: HttpRequest, scope: ReadScope, answer: Answer) -> dict[str, Any]:
    if request.method not in {"GET", "HEAD"}:
        raise ProblemError(405, _("Nothing can be written here."))
    now = timezone.now()
    key = _key(request, now)
    _count(f"api:{key.pk}", QUESTIONS)
    plant = key.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        if scope.value not in key.scopes:
            raise ProblemError(403, _("This key may not read that."), scope=scope.value)
        note_use(key=key, path=request.get_full_path(), now=now)
        return answer(Reader(key=key, plant=plant, now=now, request=request))


def _key(request: HttpRequest, now: datetime) -> AccessKey:
    """Return the key that the question bears; one that ended, was revoked or never was looks the same."""
    kind, _space, secret = request.headers.get("Authorization", "").partition(" ")
    found = AccessKey.objects.select_related("plant").filter(
        digest=digest_of(secret.strip()), revoked_at=None, expires_at__gt=now
    )
    key = found.first() if kind.lower() == "bearer" and secret else None
    if key is None:
        _count(f"api-wrong:{request.META.get('REMOTE_ADDR', '')}", WRONG_KEYS)
        raise ProblemError(401, _("A key is asked for: Authorization: Bearer, then the key."))
    return key


def _count(name: str, most: int) -> None:
    """Count a question; too many within the minute are refused."""
    cache.add(name, 0, WINDOW_SECONDS)
    try:
        count = cache.incr(name)
    except ValueError:
        # The minute ended between the two calls.
        return
    if count > most:
        raise ProblemError(429, _("Too many questions within a minute."))


def _refusal(problem: ProblemError) -> HttpResponse:
    content = {"type": "about:blank", "title": problem.title, "status": problem.status, **problem.more}
    answer = JsonResponse(content, status=problem.status, content_type="application/problem+json")
    if problem.status == 401:  # noqa: PLR2004 - as the standard numbers it
        answer["WWW-Authenticate"] = "Bearer"
    elif problem.status == 403:  # noqa: PLR2004
        answer["WWW-Authenticate"] = f'Bearer error="insufficient_scope", scope="{problem.more["scope"]}"'
    elif problem.status == 405:  # noqa: PLR2004
        answer["Allow"] = "GET, HEAD"
    elif problem.status == 429:  # noqa: PLR2004
        answer["Retry-After"] = str(WINDOW_SECONDS)
    return answer
