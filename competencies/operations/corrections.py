"""Corrections: an entry that was wrong is struck, and what is right is entered in its place, in one act (R7)."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from competencies.ledger.reading import opened, read_entry
from competencies.ledger.schema import TextKind
from competencies.ledger.writer import Appended, appended_under, writing
from competencies.models import LedgerEntry, Person
from competencies.operations.decisions import When
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Particulars, Signature, append_fact, refuse_if
from competencies.queries.corrections import Proposal, proposal
from competencies.standing.facts import Correction, Fact
from competencies.standing.replacing import Change, Correcting, Planned
from competencies.vocabulary import Meaning

# What an entry made in place of another says as that one did, beside the fact; the rest was about the wrong one.
KEPT = ("readings", "judged", "aimed_at", "problems", "right", "pass_mark", "sitting", "answers", "purpose", "files")
# Where the record rested on others' or another task's entries, they say nothing of the right one.
KEPT_ON_TASK = ("evidence",)
NAMED_BY = {"by": "by_name", "actor": "actor_name"}


@writing()
def correct(*, entry: Fact, person: Person, by: Signer, when: When, change: Change, token: str = "") -> Appended:
    """Correct an entry of a person: strike it, and enter what is right in its place where `change` says that.

    What points at the entry (signatures, acceptances, liftings) goes with it. Correcting a correction brings back what
    it struck, and strikes what it made instead. Returns the correction. Raises RefusedError with every reason (R7, and
    the refusals of the kind of entry that is made).
    """
    if token and (earlier := appended_under(token)):
        return earlier
    act = Correcting(by=by.person.pk, on=when.on, happened_at=when.happened_at, now=when.now)
    proposed = proposal(entry=entry, person=person, change=change, act=act)
    refuse_if(proposed.refusals)
    return _Writing(proposed, by, change, token).write(entry.seq)


class _Writing:
    """Writes the entries of one correction, giving them their real places."""

    def __init__(self, proposed: Proposal, by: Signer, change: Change, token: str) -> None:
        self.proposed = proposed
        self.by = by
        self.change = change
        self.token = token
        self.seqs: dict[int, int] = {}
        sources = [each.source.seq for each in proposed.entries if each.source is not None]
        rows = LedgerEntry.objects.filter(seq__in=sources)
        self.bodies: Mapping[int, Mapping[str, Any]] = {row.seq: read_entry(row) for row in rows}
        keys = (*TextKind, *NAMED_BY.values())
        self.texts = opened({body[key] for body in self.bodies.values() for key in keys if key in body})

    def write(self, corrected: int) -> Appended:
        """Append everything in order; returns the correction of the entry that was asked for."""
        found: Appended | None = None
        for each in self.proposed.entries:
            fact = self._placed(each.fact)
            appended = self._append(each, fact, is_first=isinstance(fact, Correction) and fact.of == corrected)
            self.seqs[each.fact.seq] = appended.seq
            if isinstance(fact, Correction) and fact.of == corrected:
                found = appended
        if found is None:
            raise LookupError(corrected)
        return found

    def _placed(self, fact: Fact) -> Fact:
        """Return the fact with the real places of what it points at."""
        pointing = {key: getattr(fact, key, None) for key in ("of", "instead")}
        real = {key: self.seqs[place] for key, place in pointing.items() if place is not None and place >= UNWRITTEN}
        return replace(fact, **real) if real else fact  # type: ignore[arg-type]

    def _append(self, planned: Planned, fact: Fact, *, is_first: bool) -> Appended:
        is_new = planned.source is not None
        return append_fact(
            fact=fact,
            person=self.proposed.people[fact.person],
            signature=Signature(
                signer=self.by,
                meaning=Meaning.ENTERED_INSTEAD if is_new else Meaning.ENTERED_IN_ERROR,
                token=self.token if is_first else "",
            ),
            now=fact.recorded_at,
            particulars=self._quoted(planned.source, fact) if planned.source is not None else self._said(),
        )

    def _said(self) -> Particulars:
        return Particulars(texts={"note": self.change.reason}, fields={"reason": self.change.cause.value})

    def _quoted(self, source: Fact, fact: Fact) -> Particulars:
        """Return what was written down beside the entry that is replaced, and who signed it by which name."""
        body = self.bodies[source.seq]
        same = (source.person, source.task) == (fact.person, fact.task)
        kept = KEPT + KEPT_ON_TASK if same else KEPT
        own = set(fact.__dataclass_fields__)
        names = {}
        if fact.by is not None and fact.by != self.by.person.pk:
            names["by"] = (fact.by, self._name_in(body, fact.by))
        return Particulars(
            texts={kind.value: self.texts[body[kind]] for kind in TextKind if body.get(kind) in self.texts},
            fields={key: body[key] for key in kept if key in body and key not in own},
            names=names,
        )

    def _name_in(self, body: Mapping[str, Any], number: int) -> str:
        """Return the name that was true when the entry was signed; the one of today where that was erased."""
        for key, name_key in NAMED_BY.items():
            if body.get(key) == number and body.get(name_key) in self.texts:
                return self.texts[body[name_key]]
        person = self.proposed.people.get(number) or Person.objects.get(pk=number)
        return person.name
