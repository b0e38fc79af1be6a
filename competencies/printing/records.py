"""The printed progress record: from what a query found to the page, and from the page to the sheet."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from competencies.models import Plant, Shift
from competencies.operations.paper import Registered
from competencies.printing import words
from competencies.printing.changes import change_rows
from competencies.printing.pdf import render_pdf
from competencies.printing.qr import qr_data_uri
from competencies.queries.records.parts import PathwayLine, ProgressRecord, TaskLine, UnitLine
from competencies.vocabulary import Standing
from competencies.wording import sentence

TEMPLATE: Final = "competencies/progress_record.html"
STANDS: Final = frozenset({Standing.IN_FORCE, Standing.RENEWAL_DUE, Standing.IN_GRACE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What ties a sheet to the ledger: its code and address, who printed it and when, how long the ledger was.

    `size` and `head` are the entries the record was read from and the hash of the last one; `whole_size` and `root`
    the whole ledger at that moment and the root over it. `known_at` is the second clock.
    """

    code: str
    address: str
    printed_at: datetime
    printed_by: str
    known_at: datetime
    size: int
    head: str
    whole_size: int
    root: str


def proof_of(registered: Registered, address: str, *, known: datetime | None, now: datetime) -> Proof:
    """Return what ties a registered sheet to the ledger; `address` is its check page, `known` None stands for now."""
    sheet, anchor = registered.sheet, registered.anchor
    return Proof(
        code=sheet.code,
        address=address,
        printed_at=now,
        printed_by=sheet.printed_by.name if sheet.printed_by else "",
        known_at=known or now,
        size=sheet.ledger_size,
        head=sheet.ledger_head,
        whole_size=anchor.size,
        root=bytes(anchor.root).hex(),
    )


def shift_titles(plant: Plant) -> Mapping[str, str]:
    """Return the titles of the plant's shifts by name. One query."""
    return dict(Shift.objects.filter(plant=plant).values_list("name", "title"))


def record_pdf(record: ProgressRecord, proof: Proof, *, shifts: Mapping[str, str]) -> bytes:
    """Return the sheets of a record as a tagged PDF. Raises PdfUnavailableError."""
    return render_pdf(record_html(record, proof, shifts=shifts))


def record_html(record: ProgressRecord, proof: Proof, *, shifts: Mapping[str, str]) -> str:
    """Return the page of a record, in the plant's language and zone."""
    plant = record.person.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        return render_to_string(TEMPLATE, record_context(record, proof, shifts))


def record_context(record: ProgressRecord, proof: Proof, shifts: Mapping[str, str]) -> dict[str, Any]:
    """Return what the template shows."""
    writer = words.Words({line.code: line.title for line in record.tasks}, shifts)
    held = [line for line in record.tasks if line.signoff]
    begun = [line for line in record.tasks if line.is_begun and not line.signoff]
    return {
        "plant": record.person.plant,
        "record": record,
        "person_pairs": person_pairs(record),
        "glance": glance(record),
        "held": [writer.task_row(line) for line in held],
        "begun": [writer.task_row(line) for line in begun],
        "wanted": [writer.task_row(line) for line in record.tasks if not line.is_begun],
        "pathways": [pathway_block(pathway) for pathway in record.pathways],
        "runs": [writer.run_row(line) for line in record.runs],
        "checks": [words.check_row(line) for line in record.checks],
        "attempts": [writer.attempt_row(line) for line in record.attempts],
        "events": [writer.event_row(line) for line in record.events],
        "corrections": [writer.correction_row(line) for line in record.corrections],
        "actions": [writer.action_row(action) for action in record.next_actions],
        "signatures": words.signature_rows(record),
        "changes": change_rows(record.since),
        "ink": [_("Trainee"), _("Training coordinator"), _("Assessor or moderator")],
        "proof": proof,
        "head_groups": in_groups(proof.head),
        "root_groups": in_groups(proof.root),
        "qr": qr_data_uri(proof.address),
        "as_of": record.as_of,
        "known_at": proof.known_at,
        "printed_at": proof.printed_at,
        "printed_by": proof.printed_by,
        "check_code": proof.code,
    }


def in_groups(digits: str) -> str:
    """Return hexadecimal digits in groups of four, as they can be read aloud."""
    return " ".join(digits[place : place + 4] for place in range(0, len(digits), 4))


def person_pairs(record: ProgressRecord) -> list[tuple[str, str]]:
    """Return who the record is about."""
    person = record.person
    pairs = [
        (_("Employee number"), person.works_number),
        (_("Crew"), person.crew.title if person.crew else _("none")),
        (_("Area"), person.area.title if person.area else _("none")),
        (_("Started on"), words.day(person.started_on)),
    ]
    if person.last_day:
        pairs.append((_("Last working day"), words.day(person.last_day)))
    if person.restricted_until and person.restricted_until > record.as_of:
        pairs.append((_("Young worker until"), words.day(person.restricted_until)))
    return pairs


def glance(record: ProgressRecord) -> list[tuple[str, str]]:
    """Return the record in a few figures, each with what it counts."""
    held = [line for line in record.tasks if line.signoff]
    stands = [line for line in held if line.period.standing in STANDS]
    due = [line for line in stands if line.period.standing is not Standing.IN_FORCE]
    out = len(held) - len(stands)
    figures = [
        (str(len(stands)), ngettext("task in force", "tasks in force", len(stands))),
        (str(len(due)), _("of them to renew soon")),
        (str(out), ngettext("sign-off not in force", "sign-offs not in force", out)),
    ]
    figures += [
        (f"{line.total}/{line.asked}", _("credits, %(code)s") % {"code": line.code}) for line in record.pathways
    ]
    return [*figures, (first_end(stands), _("first last valid day"))]


def first_end(lines: list[TaskLine]) -> str:
    """Return the earliest last valid day among sign-offs in force."""
    days = [line.period.last_valid_on for line in lines if line.period.last_valid_on]
    return words.day(min(days)) if days else _("none")


def pathway_block(line: PathwayLine) -> dict[str, Any]:
    """Return a pathway: its rules with their distances, and its units achieved, in part and outstanding."""
    return {
        "line": line,
        "rules": [
            {"name": rule_word(each.rule, line), "reached": each.reached, "asked": each.asked, "missing": each.missing}
            for each in line.distances
        ],
        "award": award_word(line),
        "achieved": [
            {"unit": unit, "signed": words.signed_row(unit.signed), "remarks": unit_remarks(unit)}
            for unit in line.units
            if unit.signed
        ],
        "in_part": [{"unit": unit, "outcomes": outcome_words(unit.missing)} for unit in line.units if unit.is_in_part],
        "outstanding": [unit for unit in line.units if unit.decided_on is None and not unit.is_in_part],
    }


def award_word(line: PathwayLine) -> str:
    """Return whether the qualification is awarded, since when, or why it is not."""
    if line.awarded_on:
        return _("All rules were met on %(day)s.") % {"day": words.day(line.awarded_on)}
    if line.held_since:
        return _("All rules are met since %(day)s. The award is held: a moderator disputes %(units)s.") % {
            "day": words.day(line.held_since),
            "units": ", ".join(line.disputed),
        }
    if line.left_on:
        return _("Left for another version on %(day)s: not awarded.") % {"day": words.day(line.left_on)}
    if not line.core_missing and not any(each.missing for each in line.distances):
        return _("Not awarded: the last day to achieve it had passed.")
    return _("Not awarded: a rule below is not met.")


def unit_remarks(unit: UnitLine) -> list[str]:
    """Return what is to be known of a decided unit: where from, reported, disputed, not counted, flagged."""
    found = []
    if unit.is_from_elsewhere:
        found.append(_("gained elsewhere: gives no standing on the floor"))
    if unit.is_refused:
        found.append(_("not counted: a moderator disagreed before it was reported"))
    if unit.instead:
        code, version = unit.instead
        found.append(_("not counted: %(unit)s v%(version)s counts in its place") % {"unit": code, "version": version})
    if unit.reported_on:
        found.append(_("reported on %(day)s") % {"day": words.day(unit.reported_on)})
    if unit.is_disputed:
        found.append(_("disputed by a moderator: a correction is asked of the training body"))
    found += [sentence(each) for each in unit.flags]
    return found


def rule_word(rule: str, line: PathwayLine) -> str:
    """Return what a rule of the qualification is called."""
    if rule == line.core:
        return _("Core units, all of them")
    if rule == "level":
        return _("At level %(level)s or above") % {"level": line.level}
    if rule == "total":
        return _("Credits in all")
    return _("Electives of group %(group)s, at least") % {"group": rule}


def outcome_words(missing: Mapping[int, tuple[str, ...]]) -> list[str]:
    """Return each outcome with what it still wants."""
    found = []
    for number, codes in sorted(missing.items()):
        wanted = ", ".join(code.removeprefix("calc:") for code in codes)
        found.append(
            _("%(number)s: still wants %(codes)s") % {"number": number, "codes": wanted}
            if codes
            else _("%(number)s: met") % {"number": number}
        )
    return found
