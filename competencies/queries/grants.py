"""Authorities as the ledger tells them: who was entrusted with what, by which entry, on whose word, as known when.

The table of authorities holds only what is true now: an end that was written down later is in the row, not beside it.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from competencies.models import LedgerIndex
from competencies.queries.signatures import Signature, signatures
from competencies.standing.entitlement import AuthorityGrant
from competencies.vocabulary import AuthorityKind, EntryKind

KINDS = (EntryKind.AUTHORITY, EntryKind.AUTHORITY_ENDED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Granted:
    """An authority with the signature that gave it and, where an end was written down later, the one that ended it."""

    grant: AuthorityGrant
    given: Signature
    ended: Signature | None = None


def grants_told(people: Collection[int]) -> Mapping[int, list[Signature]]:
    """Return the entries about each person's authorities, in order. Three queries for any number of people."""
    rows = LedgerIndex.objects.filter(person__in=people, kind__in=KINDS).values_list("entry_id", "person")
    about = {seq: person for seq, person in rows if person is not None}
    told: dict[int, list[Signature]] = defaultdict(list)
    for seq, signature in signatures(about).items():
        told[about[seq]].append(signature)
    return told


def granted_by(told: Iterable[Signature], *, known: datetime | None = None) -> list[Granted]:
    """Return the authorities that these entries give, as written down by `known` (None: all of them)."""
    found: dict[int, Granted] = {}
    for each in told:
        if known is not None and each.signed_at > known:
            continue
        if "authority" in each.entry:
            found[each.seq] = Granted(grant=_grant(each), given=each)
        elif each.entry["of"] in found:
            before = found[each.entry["of"]]
            ended = replace(before.grant, until_on=each.entry["valid_until"])
            found[each.entry["of"]] = replace(before, grant=ended, ended=each)
    return list(found.values())


def _grant(signature: Signature) -> AuthorityGrant:
    entry = signature.entry
    return AuthorityGrant(
        kind=AuthorityKind(entry["authority"]),
        from_on=entry["valid_from"],
        until_on=entry.get("valid_until"),
        area=entry.get("area") or None,
        seq=signature.seq,
    )
