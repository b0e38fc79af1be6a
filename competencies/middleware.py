"""Puts the actor on the request, and the plant's time zone and language in force."""

import zoneinfo
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone, translation

from competencies.models import User
from competencies.permissions import Actor, actor_of, person_of


class ActorRequest(HttpRequest):
    """A request of somebody who is signed in."""

    user: User
    actor: Actor


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
