"""`manage.py import_syllabus FILE`: show what a syllabus file would change, and take it with `--apply`."""

import sys
from argparse import ArgumentParser, ArgumentTypeError
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from competencies.importing.differences import Change, ChangeKind, Differences, differences
from competencies.importing.nodes import MAX_BYTES
from competencies.importing.syllabus import SyllabusFile
from competencies.importing.syllabus_file import SyllabusFileError, read_syllabus_bytes
from competencies.models import Authority, Person, Plant
from competencies.operations.pins import Signer
from competencies.operations.syllabus import SyllabusDecision, SyllabusError, import_syllabus
from competencies.queries.syllabus import current_syllabus, in_use
from competencies.vocabulary import AuthorityKind

FAULTY_FILE = 2
WORDS = {
    ChangeKind.AREA: "area",
    ChangeKind.LINE: "line",
    ChangeKind.NEW_TASK: "task",
    ChangeKind.TASK: "task",
    ChangeKind.TERMS: "terms",
    ChangeKind.PROCEDURE: "procedure",
    ChangeKind.UNIT: "unit standard",
    ChangeKind.QUALIFICATION: "pathway",
}


class Command(BaseCommand):
    """Reads a syllabus file; writes only with `--apply`. Ends with 2 when the file has faults."""

    help = "Show what a syllabus file would change; take it with --apply."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the arguments."""
        parser.add_argument("file", type=Path, help="the syllabus file (YAML)")
        parser.add_argument("--plant", help="the plant's code, where there is more than one")
        parser.add_argument("--apply", action="store_true", help="take the file; without it nothing is written")
        parser.add_argument("--effective", type=_day, help="the day from which it holds (default: today)")
        parser.add_argument("--by", help="employee number of the coordinator who brings it, where there are several")
        parser.add_argument("--with", dest="second", help="employee number of the second person who decided")

    def handle(self, *_args: Any, **options: Any) -> None:  # noqa: ANN401 - as the base class has it
        """Read, compare, print, and take the file when asked."""
        plant = _the_plant(options["plant"])
        current = current_syllabus(plant)
        file = self._read(options["file"], current)
        found = differences(file, current, in_use=in_use(plant))
        self._print(found)
        if not options["apply"]:
            self.stdout.write("Nothing was written. Add --apply to take the file.")
            return
        now = timezone.now()
        decision = SyllabusDecision(
            file=file,
            effective_on=options["effective"] or timezone.localdate(now),
            seconded_by=_person(plant, options["second"]) if options["second"] else None,
        )
        by = Signer(_bringer(plant, options["by"], timezone.localdate(now)), "import")
        try:
            import_syllabus(plant=plant, decision=decision, by=by, now=now)
        except SyllabusError as error:
            raise CommandError(str(error)) from error
        self.stdout.write("Taken.")

    def _read(self, path: Path, current: SyllabusFile) -> SyllabusFile:
        try:
            with path.open("rb") as file:
                # One byte more than allowed is enough to know that a file is too long.
                content = file.read(MAX_BYTES + 1)
        except OSError as error:
            raise CommandError(f"{path}: {error.strerror}", returncode=FAULTY_FILE) from error
        try:
            return read_syllabus_bytes(content, str(path), current=current)
        except SyllabusFileError as error:
            for fault in error.faults:
                self.stderr.write(str(fault))
            sys.exit(FAULTY_FILE)

    def _print(self, found: Differences) -> None:
        for change in found.changes:
            self._print_change(change)
        self.stdout.write(f"{len(found.changes)} changes; {found.unchanged_tasks} tasks stay as they are.")

    def _print_change(self, change: Change) -> None:
        what = f"{'new ' if change.is_new else ''}{WORDS[change.kind]}"
        self.stdout.write(f"{change.code} {change.title}: {what}")
        if change.kind is ChangeKind.PROCEDURE:
            touched = ", ".join(str(number) for number in change.touched) or "none"
            stated = " as the file says" if change.stated else " as follows from what differs"
            self.stdout.write(f"    {change.asked} change{stated}; criteria touched: {touched}")
        if change.stated and change.proposed and change.stated != change.proposed:
            self.stdout.write(f"    look again: what differs makes it a {change.proposed} change")
        for detail in change.details:
            self.stdout.write(f"    {detail.field}: {detail.before or '-'} -> {detail.after or '-'}")
        if change.refusal:
            self.stdout.write(f"    cannot be taken: {change.refusal}")


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ArgumentTypeError("a day such as 2026-01-31 was expected") from None


def _the_plant(code: str | None) -> Plant:
    plants = list(Plant.objects.filter(code=code) if code else Plant.objects.order_by("code"))
    if not plants:
        raise CommandError(f"There is no plant {code}." if code else "There is no plant yet.")
    if len(plants) > 1:
        codes = ", ".join(plant.code for plant in plants)
        raise CommandError(f"There are several plants; name one with --plant: {codes}.")
    return plants[0]


def _person(plant: Plant, works_number: str) -> Person:
    person = Person.objects.filter(plant=plant, works_number=works_number).select_related("plant").first()
    if person is None:
        raise CommandError(f"Nobody here has the employee number {works_number}.")
    return person


def _bringer(plant: Plant, works_number: str | None, on: date) -> Person:
    """Return who brings the file: the person named, else the plant's only coordinator."""
    if works_number:
        return _person(plant, works_number)
    rights = Authority.objects.in_force(on).filter(person__plant=plant, kind=AuthorityKind.COORDINATE)
    people = Person.objects.filter(pk__in=rights.values("person_id")).select_related("plant")
    if len(people) != 1:
        raise CommandError("Say who brings the file with --by and an employee number.")
    return people[0]
