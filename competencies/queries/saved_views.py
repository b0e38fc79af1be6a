"""The saved views of the matrix that somebody may open."""

from django.db.models import Q, QuerySet

from competencies.models import Person, SavedView


def saved_views_for(person: Person) -> QuerySet[SavedView]:
    """Return a person's own views and those shared with their plant, by name."""
    found = SavedView.objects.filter(Q(owner=person) | Q(is_shared=True), plant=person.plant_id)
    return found.select_related("owner").order_by("name", "pk")
