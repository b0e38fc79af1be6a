"""Puts the actor on the request, the plant's time zone and language in force, and says when nothing can be signed."""

import logging
import zoneinfo
from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import BadRequest
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation

from competencies.ledger.guards import LedgerGuardError
from competencies.models import User
from competencies.permissions import Actor, actor_of, person_of

logger = logging.getLogger(__name__)


class ActorRequest(HttpRequest):
    """A request of somebody who is signed in."""

    user: User
    actor: Actor


class NullMiddleware:
    """Refuses an address with a null character: no code or name holds one, and PostgreSQL takes none in a question."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        """Keep the next layer."""
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Serve the request, or answer 404 for the path and 400 for the question."""
        if "\0" in request.path:
            raise Http404
        if any("\0" in value for values in request.GET.lists() for value in values[1]):
            raise BadRequest
        return self.get_response(request)


class ActorMiddleware:
    """Looks the actor up afresh at each request, so that a right taken away is gone at the next click."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        """Keep the next layer."""
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Serve the request in the plant's zone and the person's language."""
        user = request.user
        if not isinstance(user, User):
            return self.get_response(request)
        person = person_of(user)
        zone = zoneinfo.ZoneInfo(person.plant.timezone if person else settings.TIME_ZONE)
        language = (person.language or person.plant.language) if person else settings.LANGUAGE_CODE
        # The plant's own date may differ from the server's, and the date decides what is in force.
        with timezone.override(zone), translation.override(language):
            request.actor = actor_of(user, person, on=timezone.localdate())  # type: ignore[attr-defined]
            return self.get_response(request)


class LedgerClosedMiddleware:
    """Answers 503, in words, while a guard of the ledger is missing: nothing was signed, and nothing can be."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        """Keep the next layer."""
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Serve the request."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """Show the page for a closed ledger; every other fault goes its own way."""
        if not isinstance(exception, LedgerGuardError):
            return None
        logger.critical("The ledger is closed: %s", exception)
        return render(request, "503.html", status=503)
