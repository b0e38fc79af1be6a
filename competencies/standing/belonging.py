"""Which facts belong to a person, once records were joined or parted (R7). Pure."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from math import inf
from typing import TypeAlias

from competencies.standing.facts import Correction, Fact, PeopleJoined, PeopleParted, Performance

Change: TypeAlias = PeopleJoined | PeopleParted


def changes_in(facts: Iterable[Fact]) -> list[Change]:
    """Return the joinings and partings of records among the facts, oldest first and each once."""
    found = {fact.seq: fact for fact in facts if isinstance(fact, PeopleJoined | PeopleParted)}
    return [found[seq] for seq in sorted(found)]


def kin_of(person: int, facts: Iterable[Fact]) -> frozenset[int]:
    """Return the numbers of the records that were ever joined with a person's or parted from it, its own too."""
    kin, waiting = {person}, changes_in(facts)
    while touching := [change for change in waiting if {change.person, change.other} & kin]:
        kin.update(*({change.person, change.other} for change in touching))
        waiting = [change for change in waiting if change not in touching]
    return frozenset(kin)


def belonging(person: int, facts: Iterable[Fact]) -> list[Fact]:
    """Return the facts that belong to a person by all the joinings and partings among `facts`, as facts about them.

    `facts` are those of every record that was ever joined with the person's or parted from it, as known at a moment:
    before a joining is known, each record has its own. What points at an entry goes where that entry goes.
    """
    known = list(facts)
    changes = changes_in(known)
    if not changes:
        return [fact for fact in known if fact.person == person]
    owners = _Owners(known, changes)
    own = (fact for fact in known if owners.of(fact) == person)
    return [fact if fact.person == person else replace(fact, person=person) for fact in own]


def owner_of(fact: Fact, facts: Iterable[Fact]) -> int:
    """Return the number of the person a fact belongs to, by all the joinings and partings among `facts`."""
    known = list(facts)
    return _Owners(known, changes_in(known)).of(fact)


class _Owners:
    """Whose each fact is."""

    def __init__(self, facts: Sequence[Fact], changes: Sequence[Change]) -> None:
        self._changes = changes
        self._ends = {change.seq: _ends(change, changes) for change in changes if isinstance(change, PeopleJoined)}
        # Whoever watched an entry has it too, as work of their own, and a correction of it likewise: what points at
        # it follows who it is about, which is therefore noted last.
        self._targets: Mapping[int, Fact] = {fact.seq: fact for fact in sorted(facts, key=_tells_of_itself)}
        self._mirrored = {(fact.seq, fact.person): fact for fact in facts}

    def of(self, fact: Fact) -> int:
        """Return the number of the person a fact belongs to."""
        if isinstance(fact, PeopleJoined | PeopleParted):
            return fact.person
        of: int | None = getattr(fact, "of", None)
        target = None if of is None or of >= fact.seq else self._target(of, fact.person)
        return self._carried(fact) if target is None else self.of(target)

    def _target(self, seq: int, person: int) -> Fact | None:
        return self._mirrored.get((seq, person)) or self._targets.get(seq)

    def _carried(self, fact: Fact) -> int:
        owner = fact.person
        for change in self._changes:
            if isinstance(change, PeopleParted):
                if fact.seq in change.entries and owner == change.person:
                    owner = change.other
            elif owner == change.other and fact.seq < self._ends[change.seq]:
                owner = change.person
        return owner


def _tells_of_itself(fact: Fact) -> bool:
    """Whether a fact is about its person, and not only told again to whoever watched or judged."""
    if isinstance(fact, Correction):
        return fact.person != fact.other
    return not isinstance(fact, Performance)


def _ends(joined: PeopleJoined, changes: Iterable[Change]) -> float:
    """Return from which place on entries of the joined record are its own again: it was parted off since."""
    pair = (joined.person, joined.other)
    partings = (
        change.seq
        for change in changes
        if isinstance(change, PeopleParted) and change.seq > joined.seq and (change.person, change.other) == pair
    )
    return min(partings, default=inf)
