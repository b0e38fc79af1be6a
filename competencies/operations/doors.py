"""Secret addresses and keys: made and shown once, kept only as digests, revoked at any time."""

import hashlib
import logging
import secrets
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db import transaction

from competencies.models import AccessKey, CalendarAddress, Person
from competencies.vocabulary import ReadScope

logger = logging.getLogger(__name__)
#: 256 bits: a plain digest of it cannot be guessed back, so it needs no slow one.
SECRET_BYTES: Final = 32


def digest_of(secret: str) -> str:
    """Return what is kept of a secret."""
    return hashlib.sha256(secret.encode()).hexdigest()


@transaction.atomic
def make_calendar_address(*, person: Person, now: datetime) -> str:
    """Return a new secret for the person's calendar; an earlier one is worth nothing from now on."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    kept = {"digest": digest_of(secret), "made_at": now}
    CalendarAddress.objects.update_or_create(person=person, defaults=kept)
    logger.info("calendar address of person %s made", person.pk)
    return secret


@transaction.atomic
def revoke_calendar_address(*, person: Person) -> None:
    """Take the person's calendar address back."""
    CalendarAddress.objects.filter(person=person).delete()
    logger.info("calendar address of person %s revoked", person.pk)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyAsked:
    """What a key is for, what it may read, and the moment from which it opens nothing."""

    title: str
    scopes: Collection[ReadScope]
    expires_at: datetime


@transaction.atomic
def make_access_key(*, asked: KeyAsked, by: Person, now: datetime) -> tuple[AccessKey, str]:
    """Return a new key to the plant of `by`, and the secret that opens it."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    key = AccessKey.objects.create(
        plant=by.plant,
        title=asked.title,
        digest=digest_of(secret),
        scopes=sorted(scope.value for scope in asked.scopes),
        made_by=by,
        made_at=now,
        expires_at=asked.expires_at,
    )
    logger.info("access key %s made by person %s", key.pk, by.pk)
    return key, secret


@transaction.atomic
def revoke_access_key(*, key: AccessKey, by: Person, now: datetime) -> None:
    """Revoke a key; one that is revoked already keeps the moment and the person."""
    AccessKey.objects.filter(pk=key.pk, revoked_at=None).update(revoked_at=now, revoked_by=by)
    logger.info("access key %s revoked by person %s", key.pk, by.pk)


@transaction.atomic
def note_use(*, key: AccessKey, path: str, now: datetime) -> None:
    """Note that a key was used, and for what."""
    AccessKey.objects.filter(pk=key.pk).update(used_at=now)
    logger.info("access key %s reads %r", key.pk, path)
