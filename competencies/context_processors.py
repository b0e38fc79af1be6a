"""What every page needs: who is at the keyboard, and where they may go."""

from typing import Any, NamedTuple

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from competencies.permissions import (
    Actor,
    may_assess,
    may_import,
    may_print_records,
    may_second_sign,
    may_see_floor,
    may_see_incidents,
    may_see_judges,
    may_see_lapses,
    may_see_ledger,
    may_see_plant,
    may_see_retention,
    may_see_units,
    may_set_policy,
)


class NavigationItem(NamedTuple):
    """One place in the site's navigation."""

    label: str
    url: str
    is_current: bool


def site(request: HttpRequest) -> dict[str, Any]:
    """Return the plant, the actor and the navigation for the templates."""
    actor: Actor | None = getattr(request, "actor", None)
    if actor is None or actor.person is None:
        return {"actor": actor, "plant": None, "navigation": []}
    places = [
        (_("My page"), "competencies:my-page", True),
        (_("Practice"), "assessments:practice-list", True),
        (_("Floor"), "competencies:floor", may_see_floor(actor)),
        (_("To assess"), "competencies:assessment-queue", may_assess(actor)),
        (_("To second-sign"), "competencies:signature-queue", may_second_sign(actor)),
        (_("People"), "competencies:people", may_see_floor(actor) or may_see_plant(actor)),
        (_("Tasks"), "competencies:tasks", True),
        (_("Units"), "competencies:units", may_see_units(actor)),
        (_("Matrix"), "competencies:matrix", may_see_plant(actor)),
        (_("Cover"), "competencies:cover", may_see_plant(actor)),
        (_("Runs out"), "competencies:lapses", may_see_lapses(actor)),
        (_("Assessors"), "competencies:judges", may_see_judges(actor)),
        (_("Incidents"), "competencies:incidents", may_see_incidents(actor)),
        (_("Records"), "competencies:records", may_print_records(actor)),
        (_("Paper"), "competencies:paper", may_print_records(actor)),
        (_("Files in"), "competencies:imports", may_import(actor)),
        (_("Ledger"), "competencies:ledger", may_see_ledger(actor)),
        (_("Retention"), "competencies:retention", may_see_retention(actor)),
        (_("Settings"), "competencies:settings", may_set_policy(actor)),
    ]
    navigation = []
    for label, name, allowed in places:
        if allowed:
            url = reverse(name)
            is_current = request.path == url or (url != "/" and request.path.startswith(url))
            navigation.append(NavigationItem(label, url, is_current))
    return {"actor": actor, "plant": actor.plant, "navigation": navigation}
