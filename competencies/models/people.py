"""People, their sign-ins and what they are entrusted with."""

import secrets
from datetime import date
from typing import Self

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.place import Area, Crew, Plant
from competencies.vocabulary import AuthorityKind


def new_person_number() -> int:
    """Return a random number: it joins a person's entries in the ledger and says nothing about the person."""
    return secrets.randbelow(9 * 10**11) + 10**11


class User(AbstractUser):
    """A sign-in. What the person behind it may do comes from the authorities, never from staff flags."""


class PersonQuerySet(models.QuerySet["Person"]):
    """Questions about people."""

    def employed(self, on: date) -> Self:
        """Keep those who work here on the day `on`; the last working day is in."""
        return self.single().filter(models.Q(last_day=None) | models.Q(last_day__gte=on), started_on__lte=on)

    def single(self) -> Self:
        """Leave out the records that were joined to another: they are the same person a second time."""
        return self.filter(joined_into=None)


class Person(models.Model):
    """A person of the plant. Names change; the number does not.

    A record that turned out to be the same person as another says which in `joined_into`, and since when.
    `restricted_until` is the first day on which the young-worker bar no longer holds; no birth date is kept.
    """

    id = models.BigIntegerField(primary_key=True, default=new_person_number, editable=False)
    plant = models.ForeignKey(Plant, models.PROTECT, related_name="people")
    user = models.OneToOneField(User, models.SET_NULL, null=True, blank=True, related_name="person")
    works_number = models.CharField(_("employee number"), max_length=20)
    name = models.CharField(_("name"), max_length=120)
    email = models.EmailField(_("e-mail"), blank=True)
    crew = models.ForeignKey(Crew, models.PROTECT, null=True, blank=True, related_name="people")
    area = models.ForeignKey(Area, models.PROTECT, null=True, blank=True, related_name="people")
    started_on = models.DateField(_("started on"))
    last_day = models.DateField(_("last working day"), null=True, blank=True)
    restricted_until = models.DateField(_("young worker until"), null=True, blank=True)
    joined_into = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="joined_records", editable=False
    )
    joined_at = models.DateTimeField(null=True, blank=True, editable=False)
    language = models.CharField(_("language"), max_length=10, blank=True)
    is_reminded = models.BooleanField(_("told by e-mail"), default=True)
    pin_hash = models.CharField(max_length=200, blank=True, editable=False)
    pin_failures = models.PositiveSmallIntegerField(default=0, editable=False)
    pin_blocked_until = models.DateTimeField(null=True, blank=True, editable=False)

    objects = PersonQuerySet.as_manager()

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "works_number"], name="works_number_once")]
        indexes = [models.Index(fields=["plant", "name"], name="person_by_name")]

    def __str__(self) -> str:
        """Return the name."""
        return self.name


class DifferentPeople(models.Model):
    """Two records that look like one person and are two, as the coordinator found: they are not asked about again.

    `first` is the one of the lower number.
    """

    first = models.ForeignKey(Person, models.CASCADE, related_name="+")
    second = models.ForeignKey(Person, models.CASCADE, related_name="+")
    decided_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(_("decided at"))

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["first", "second"], name="different_once")]

    def __str__(self) -> str:
        """Return the two numbers."""
        return f"{self.first_id} {self.second_id}"


class AuthorityQuerySet(models.QuerySet["Authority"]):
    """Questions about authorities."""

    def in_force(self, on: date) -> Self:
        """Keep those that hold on the day `on`."""
        return self.filter(models.Q(until_on=None) | models.Q(until_on__gte=on), from_on__lte=on)


class Authority(models.Model):
    """What a person is entrusted with, from a day to a day. No area means the whole plant.

    Granted and ended through the ledger; these rows only make it quick to ask.
    """

    KINDS = [(kind.value, kind.value) for kind in AuthorityKind]

    person = models.ForeignKey(Person, models.CASCADE, related_name="authorities")
    kind = models.CharField(_("kind"), max_length=20, choices=KINDS)
    area = models.ForeignKey(Area, models.PROTECT, null=True, blank=True, related_name="authorities")
    from_on = models.DateField(_("from"))
    until_on = models.DateField(_("until"), null=True, blank=True)
    recorded_at = models.DateTimeField(_("recorded"))
    entry_seq = models.BigIntegerField(_("ledger entry"))

    objects = AuthorityQuerySet.as_manager()

    class Meta:
        """Indexes."""

        indexes = [models.Index(fields=["person", "kind"], name="authority_by_person")]

    def __str__(self) -> str:
        """Return the kind and the days."""
        return f"{self.kind} {self.from_on}"
