"""Cuts of the matrix that are kept under a name."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from competencies.models import Person, SavedView


class SavedViewError(Exception):
    """The view was not saved; the message may be shown at the name."""


@transaction.atomic
def save_view(*, owner: Person, name: str, query: str, is_shared: bool, now: datetime) -> SavedView:
    """Keep a cut of the matrix under a name. Raises SavedViewError where the owner has one of that name."""
    # One after the other, so that a form sent twice saves once.
    Person.objects.select_for_update().get(pk=owner.pk)
    if SavedView.objects.filter(owner=owner, name=name).exists():
        raise SavedViewError(_("You have a view of this name. Take another name, or drop that one first."))
    return SavedView.objects.create(
        plant=owner.plant, owner=owner, name=name, query=query, is_shared=is_shared, saved_at=now
    )


@transaction.atomic
def drop_view(*, view: SavedView) -> None:
    """Drop a saved view; what it showed is untouched."""
    view.delete()
