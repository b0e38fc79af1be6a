"""Is a printed sheet still true: the ledger it was read from, what it said, and what has been written since."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from competencies.ledger.canonical import FIRST_PREV
from competencies.ledger.chain import Chain, ChainError
from competencies.models import Incident, LedgerAnchor, LedgerEntry, LedgerIndex, PrintedSheet
from competencies.queries.explanation import digest_of_explanation, explained_again, explained_since
from competencies.queries.incidents.kept import is_as_signed
from competencies.queries.records import differences, digest_of, progress_records
from competencies.queries.records.parts import Difference
from competencies.vocabulary import SheetKind

CHUNK: Final = 2000
# A day that has passed since changes standings and credits; runs and checks made since are no change to the sheet.
STANDINGS: Final = ("task", "unit", "pathway")


class SheetVerdict(StrEnum):
    """What is to be said of a sheet."""

    MATCHES = "matches"
    LEDGER_CHANGED = "ledger_changed"
    READS_DIFFERENTLY = "reads_differently"
    LEDGER_UNCHANGED = "ledger_unchanged"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCheck:
    """A sheet held against the ledger.

    `since` are the lines that read differently for the same day as known now; `today` the standings and credits that
    differ on the day `on`. Both are empty where the sheet does not match.
    """

    sheet: PrintedSheet
    verdict: SheetVerdict
    on: date
    since: tuple[Difference, ...] = ()
    today: tuple[Difference, ...] = ()


def sheet_check(sheet: PrintedSheet, *, on: date) -> SheetCheck:
    """Work the record of a sheet out again and compare. The number of queries does not depend on its length.

    `ledger_unchanged`: the entries are as they were, and this kind of sheet is not worked out again.
    `reads_differently`: every entry it was read from is as it was, and yet the digest is another, as after a change
    to the syllabus that was made in place.
    """
    if not is_prefix(sheet.ledger_size, sheet.ledger_head):
        return SheetCheck(sheet=sheet, verdict=SheetVerdict.LEDGER_CHANGED, on=on)
    if sheet.kind == SheetKind.INCIDENT:
        return SheetCheck(sheet=sheet, verdict=_kept_verdict(sheet), on=on)
    if sheet.person is None:
        return SheetCheck(sheet=sheet, verdict=SheetVerdict.LEDGER_UNCHANGED, on=on)
    if SheetKind(sheet.kind).is_explained:
        return _explained_check(sheet, on=on)
    people = [sheet.person]
    known = known_at_print(sheet)
    [then] = progress_records(people, on=sheet.as_of, known=known, size=sheet.ledger_size)
    if digest_of(then) != sheet.digest:
        return SheetCheck(sheet=sheet, verdict=SheetVerdict.READS_DIFFERENTLY, on=on)
    [today] = progress_records(people, on=on, known=None)
    return SheetCheck(
        sheet=sheet,
        verdict=SheetVerdict.MATCHES,
        on=on,
        since=then.since,
        today=differences(then, today, kinds=STANDINGS),
    )


def _kept_verdict(sheet: PrintedSheet) -> SheetVerdict:
    """Hold the copy that was printed against what was signed when the incident was opened."""
    kept = Incident.objects.select_related("hold").filter(plant=sheet.plant_id, digest=sheet.digest).first()
    is_same = kept is not None and is_as_signed(kept)
    return SheetVerdict.MATCHES if is_same else SheetVerdict.READS_DIFFERENTLY


def _explained_check(sheet: PrintedSheet, *, on: date) -> SheetCheck:
    """Work the explanation of a standing out again and compare."""
    then = explained_again(sheet, known=known_at_print(sheet))
    if then is None or digest_of_explanation(then) != sheet.digest:
        return SheetCheck(sheet=sheet, verdict=SheetVerdict.READS_DIFFERENTLY, on=on)
    since, today = explained_since(then, on=on)
    return SheetCheck(sheet=sheet, verdict=SheetVerdict.MATCHES, on=on, since=since, today=today)


def known_at_print(sheet: PrintedSheet) -> datetime:
    """Return up to when a sheet knows: its printing, or the moment of its last entry where it was cut earlier."""
    last = LedgerIndex.objects.known_at(sheet.printed_at).order_by("-entry").values_list("entry", flat=True).first()
    if last is None or last < sheet.ledger_size:
        return sheet.printed_at
    own = LedgerIndex.objects.filter(entry=sheet.ledger_size - 1).values_list("recorded_at", flat=True).first()
    return own or sheet.printed_at


def is_prefix(size: int, head: str) -> bool:
    """Whether the first `size` entries, hashed again from the first, end in the hash `head` and fit kept roots."""
    chain = Chain()
    rows = LedgerEntry.objects.filter(seq__lt=size).order_by("seq").values_list("seq", "body", "prev", "hash")
    try:
        for seq, body, prev, digest in rows.iterator(chunk_size=CHUNK):
            chain.follow(seq, bytes(body), bytes(prev), bytes(digest))
    except (ChainError, ValueError, TypeError):
        return False
    roots = LedgerAnchor.objects.filter(size=size).values_list("root", flat=True)
    is_whole = chain.size == size and chain.head.hex() == (head if size else FIRST_PREV.hex())
    return is_whole and all(bytes(root) == chain.tree.root() for root in roots)
