"""Sign-ins of people: opened and closed by the coordinator."""

from django.contrib.auth.password_validation import validate_password
from django.db import transaction

from competencies.models import Person, User


class SignInError(Exception):
    """The sign-in was not accepted; the message may be shown at the field."""


@transaction.atomic
def open_sign_in(*, person: Person, username: str, password: str) -> User:
    """Give a person a sign-in, or open theirs again under this name and password.

    Raises SignInError where the name is another's, and Django's ValidationError for a weak password.
    """
    namesakes = User.objects.filter(username__iexact=username).exclude(person=person)
    if namesakes.exists():
        raise SignInError("That name is taken.")
    user = person.user or User()
    user.username, user.is_active = username, True
    validate_password(password, user)
    user.set_password(password)
    user.save()
    if person.user_id != user.pk:
        person.user = user
        person.save(update_fields=["user"])
    return user


@transaction.atomic
def close_sign_in(*, person: Person) -> None:
    """Close a person's sign-in: whoever is signed in under it is out at the next click."""
    User.objects.filter(person=person).update(is_active=False)
