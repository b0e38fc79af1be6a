"""Why two records may not be joined, or one not parted (R7). Pure."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from competencies.standing.entitlement import AuthorityGrant, Refusal, has_authority, refusal, without_reason
from competencies.standing.facts import Assessment, Check, Correction, Fact, Recognition, Run, SecondSignature
from competencies.standing.live import live
from competencies.standing.replacing import GOES_WITH, STANDS_ALONE
from competencies.vocabulary import AuthorityKind

SIGNED = (Run, Assessment, SecondSignature, Recognition, Check)


@dataclass(frozen=True, slots=True, order=True)
class Worked:
    """Somebody worked a shift at a line ("" where none is named)."""

    on: date
    shift: str
    line: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One of the two records: its number, its area ("" for none), its own facts, and the shifts that were worked.

    `is_joined`: it was joined to another record already.
    """

    number: int
    works_number: str
    area: str
    facts: tuple[Fact, ...]
    worked: frozenset[Worked] = frozenset()
    is_joined: bool = False

    @property
    def shifts(self) -> set[Worked]:
        """Return the shifts of the roster and of the runs."""
        runs = {Worked(fact.on, fact.shift, fact.scope.line) for fact in live(self.facts) if isinstance(fact, Run)}
        return runs | self.worked


@dataclass(frozen=True, slots=True, kw_only=True)
class Changing:
    """Who joins or parts records, by which authorities, on which day, and why."""

    by: int
    grants: tuple[AuthorityGrant, ...]
    on: date
    reason: str


def refuse_joining(
    kept: Record, other: Record, *, act: Changing, signed_both: Iterable[int], is_confirmed: bool
) -> tuple[Refusal, ...]:
    """Return why the record `other` may not be joined to `kept`.

    `signed_both` are the sign-offs of others that both signed. That both worked a shift at different places must be
    confirmed: it is a sign that they are two people, and sometimes only a slip in the roster.
    """
    out = list(_refuse_act(kept, other, act))
    if kept.number == other.number:
        return (*out, refusal("R7", "same_record"))
    out += [refusal("R7", "already_joined", number=each.works_number) for each in (kept, other) if each.is_joined]
    out += [refusal("R7", "signed_for_each_other", entry=seq) for seq in _signed_for_each_other(kept, other)]
    out += [refusal("R7", "signed_both", entry=seq) for seq in sorted(signed_both)]
    if not is_confirmed:
        out += [refusal("R7", "worked_both", on=on, shift=shift) for on, shift in worked_both(kept, other)]
    return tuple(out)


def worked_both(kept: Record, other: Record) -> list[tuple[date, str]]:
    """Return the shifts that both worked at different places, in order; where no line is named, any may be meant."""
    lines = defaultdict(set)
    for each in kept.shifts:
        lines[each.on, each.shift].add(each.line)
    found = {
        (each.on, each.shift) for each in other.shifts if each.line and lines[each.on, each.shift] - {"", each.line}
    }
    return sorted(found)


def _refuse_act(kept: Record, other: Record, act: Changing) -> Iterator[Refusal]:
    yield from without_reason(act.reason, "R7")
    if act.by in {kept.number, other.number}:
        yield refusal("R7", "own_record")
    for area in sorted({kept.area, other.area}):
        if not has_authority(act.grants, {AuthorityKind.COORDINATE}, area, act.on):
            yield refusal("R7", "no_authority", area=area)


def _signed_for_each_other(kept: Record, other: Record) -> list[int]:
    pair = {kept.number, other.number}
    facts = [fact for record in (kept, other) for fact in live(record.facts)]
    return sorted(fact.seq for fact in facts if isinstance(fact, SIGNED) and fact.by in pair)


def refuse_parting(record: Record, other: Record, entries: Iterable[int], *, act: Changing) -> tuple[Refusal, ...]:
    """Return why these entries of a record may not become those of another."""
    out = list(_refuse_act(record, other, act))
    if record.number == other.number:
        out.append(refusal("R7", "same_record"))
    if record.is_joined:
        out.append(refusal("R7", "already_joined", number=record.works_number))
    known = {fact.seq: fact for fact in record.facts if fact.person == record.number}
    wanted = sorted(set(entries))
    if not wanted:
        out.append(refusal("R7", "no_entries"))
    for seq in wanted:
        out += _refuse_entry(seq, known.get(seq), other)
    return tuple(out)


def _refuse_entry(seq: int, fact: Fact | None, other: Record) -> Iterator[Refusal]:
    if isinstance(fact, (*GOES_WITH, Correction)):
        yield refusal("R7", "goes_with_another", entry=seq, of=getattr(fact, "of", ""))
    elif not may_part(fact):
        yield refusal("R7", "not_of_person", entry=seq)
    elif fact is not None and fact.by == other.number:
        yield refusal("R7", "signed_for_each_other", entry=seq)


def may_part(fact: Fact | None) -> bool:
    """Whether an entry can be told to be another person's by itself."""
    return isinstance(fact, STANDS_ALONE)
