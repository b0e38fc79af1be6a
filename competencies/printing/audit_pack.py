"""The audit pack: the parts as tables of words, each drawn by itself, and an index with a hash of each."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from competencies.models import Person, Task, TaskRevision
from competencies.operations.paper import Registered
from competencies.printing import words
from competencies.printing.explanations import word_lines
from competencies.printing.pdf import render_pdf
from competencies.printing.records import Proof
from competencies.printing.sheets import proof_context
from competencies.queries.audit import AuditSpan
from competencies.queries.chain import HeldBy, SignOffChain
from competencies.queries.cover_shift import ShiftPage
from competencies.queries.journal import JournalLine
from competencies.queries.line_cover import LineCover
from competencies.vocabulary import Criticality, EntryKind
from competencies.wording import CRITICALITIES, STANDINGS, sentence

TEMPLATE: Final = "competencies/sheets/audit.html"


@dataclass(frozen=True, slots=True)
class Grid:
    """A table of words: a caption, the heads, and rows of cells that are lists of lines."""

    caption: str
    heads: Sequence[str]
    rows: Sequence[Sequence[Sequence[str]]]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the pack: its title, a sentence on what it holds, and its tables."""

    title: str
    lead: str
    grids: Sequence[Grid]

    @property
    def lines(self) -> list[str]:
        """Return what it states, a line each."""
        return [self.title, *("|".join("; ".join(cell) for cell in row) for grid in self.grids for row in grid.rows)]


def part_pdf(part: Part, span: AuditSpan, registered: Registered, proof: Proof) -> bytes:
    """Return a part as a tagged PDF. Raises PdfUnavailableError."""
    plant = span.line.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        context: dict[str, Any] = {"part": part, "span": span, **proof_context(plant, registered, proof)}
        return render_pdf(render_to_string(TEMPLATE, context))


def procedures_part(tasks: Sequence[Task], revisions: Sequence[TaskRevision]) -> Part:
    """Return the tasks of the line with their criticality, and the revisions in force in the period."""
    listed = [[[task.code], [task.title], [str(CRITICALITIES[Criticality(task.criticality)])]] for task in tasks]
    issued = [
        [
            [f"{row.task.code}, {_('revision')} {row.number}"],
            [row.change, *([_("touches criteria %s") % ", ".join(map(str, row.touches))] if row.touches else [])],
            [_("approved %s") % words.day(row.approved_on), _("in force from %s") % words.day(row.effective_on)],
            [each.name for each in (row.approved_by, row.second_approved_by) if each],
            [row.change_note or "–"],
        ]
        for row in revisions
    ]
    heads = [_("Revision"), _("Class"), _("Days"), _("Approved by"), _("What changed")]
    return Part(
        _("Tasks and procedures"),
        _("Every task of the line's stations, and each revision that was in force on a day of the period."),
        [
            Grid(_("Tasks by criticality"), [_("Task"), _("Title"), _("Critical for")], listed),
            Grid(_("Revisions in force"), heads, issued),
        ],
    )


def shifts_part(pages: Sequence[ShiftPage]) -> Part:
    """Return who was rostered on each shift and what they counted for, as known now and as known then."""
    first, last = pages[0].cover.on, pages[-1].cover.on
    heads = [_("Person"), _("Counted at, as known now"), _("Held and did not count"), _("As known when it began")]
    grids = [
        Grid(
            f"{words.day(page.cover.on)}, {page.cover.shift.title}",
            heads,
            [_who(page, each) for each in page.cover.people],
        )
        for page in pages
    ]
    return Part(
        _("Who was on, %(first)s to %(last)s") % {"first": words.day(first), "last": words.day(last)},
        _("Who was rostered, at what each counted throughout, and what was said of it when the shift began."),
        grids,
    )


def _who(page: ShiftPage, person: Person) -> list[list[str]]:
    now = _counted(page.cover, person)
    then = _counted(page.then, person) if page.then else now
    barred = [
        f"{slot.station.task.code}: {' '.join(f'{capfirst(sentence(reason))}.' for reason in each.reasons)}"
        for slot in page.cover.slots
        for each in slot.barred
        if each.person == person
    ]
    said = [_("the same")] if now == then else then or [_("nothing")]
    return [
        [f"{person.name} ({person.works_number})"],
        now or [_("nothing")],
        list(dict.fromkeys(barred)) or ["–"],
        said,
    ]


def _counted(cover: LineCover, person: Person) -> list[str]:
    found = [slot.station.task.code for slot in cover.slots if person in slot.able or slot.person == person]
    return list(dict.fromkeys(found))


def sign_offs_part(held: Iterable[tuple[Person, HeldBy, SignOffChain]], sample: frozenset[int]) -> Part:
    """Return each sign-off with who stands behind it, as known then and now; those in the sample are marked."""
    rows = [
        [
            [f"{person.name} ({person.works_number})", f"{each.task_code} {each.scope}".strip()],
            [
                f"#{each.seq}, {words.day(chain.record.fact.on)}",
                _("revision %s") % chain.record.fact.revision,
                str(STANDINGS[each.period.standing]),
                *([_("IN THE SAMPLE")] if each.seq in sample else []),
            ],
            [chain.assessor.signature.name or _("name erased"), *word_lines(chain.assessor.then)],
            word_lines(chain.assessor.now) if chain.assessor.differs else [_("the same")],
            [
                *(f"{link.signature.name or _('name erased')}, #{link.fact.seq}" for link in chain.seconds),
                _("%(count)s runs: %(seqs)s")
                % {"count": len(chain.runs), "seqs": ", ".join(f"#{link.fact.seq}" for link in chain.runs) or "–"},
            ],
        ]
        for person, each, chain in held
    ]
    heads = [
        _("Person, task"),
        _("Assessment"),
        _("Assessor, as known then"),
        _("As known now"),
        _("Second, evidence"),
    ]
    return Part(
        _("Sign-offs and who stands behind them"),
        _("Of everybody who was on: the sign-offs on the line's tasks as they stand now, each with its chain."),
        [Grid(_("Sign-offs"), heads, rows)],
    )


def mending_part(lines: Sequence[JournalLine]) -> Part:
    """Return the corrections, withdrawals, annulments and second looks about the people who were on."""
    rows = [
        [
            [f"#{each.row.pk} {words.kind_word(EntryKind(each.row.kind))}"],
            [each.person, each.row.task],
            [words.day(each.row.happened_on), _("written down %s") % words.day(each.row.recorded_at.date())],
            [each.actor or "–"],
            [f"#{each.row.of}" if each.row.of is not None else "–"],
        ]
        for each in lines
    ]
    heads = [_("Entry"), _("About"), _("Days"), _("Signed by"), _("Points at")]
    return Part(
        _("Corrections, withdrawals and second looks"),
        _("From the first day of the period to the day of printing. No row: there was none."),
        [Grid(_("Entries that take back or mend"), heads, rows)],
    )


def index_part(parts: Sequence[tuple[Part, bytes, int]], span: AuditSpan, seed: int) -> Part:
    """Return the list of the parts with their sheets and hashes, and what the pack holds and does not hold."""
    rows = [
        [[str(number)], [part.title], [str(sheets)], [_groups(hashlib.sha256(pdf).hexdigest())]]
        for number, (part, pdf, sheets) in enumerate(parts, start=1)
    ]
    said = [
        [[_("Line")], [f"{span.line.code} {span.line.title}"]],
        [[_("Period")], [f"{words.day(span.from_on)} – {words.day(span.until_on)}"]],
        [[_("Sample drawn with the seed")], [str(seed)]],
        [[_("Not in this pack")], [_("Moderation of unit standards, practice, reasons for absence.")]],
    ]
    return Part(
        _("Audit pack"),
        _("Index of the parts. The hash of a part is over its file before it was joined to the others."),
        [
            Grid(_("What it is about"), [_("What"), _("Which")], said),
            Grid(_("Parts"), [_("No."), _("Part"), _("Sheets"), _("SHA-256 of the part")], rows),
        ],
    )


def _groups(digits: str) -> str:
    return " ".join(digits[place : place + 8] for place in range(0, len(digits), 8))
