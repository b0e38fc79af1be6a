"""Tells by e-mail what comes up: run it once a day, or as often as one likes."""

from datetime import date, datetime
from smtplib import SMTPException
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone
from django.utils.dateparse import parse_date

from competencies.models import Plant
from competencies.operations.reminding import claim, note_sent, release
from competencies.printing.letters import message_of
from competencies.queries.reminders import OwnLetter, Told, WeekLetter, own_letters, week_letters
from competencies.standing.calendar import clock_of

NOON = 12 * 60


class Command(BaseCommand):
    """Send reminders and the digest of the week; each thing is told once, however often this runs."""

    help = "Tells people by e-mail what comes up, and trainers and coordinators the week. Each thing is told once."

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the day, the plant and the dry run."""
        parser.add_argument("--on", help="the day to remind on, such as 2026-01-31; default: the plant's today")
        parser.add_argument("--plant", help="the code of the plant; default: every plant")
        parser.add_argument("--dry-run", action="store_true", help="print what would be sent; send and note nothing")

    def handle(self, *_args: Any, **options: Any) -> None:  # noqa: ANN401 - Django's signature
        """Tell each plant's people, and say how many e-mails went."""
        day = None if options["on"] is None else _day(options["on"])
        plants = Plant.objects.order_by("code")
        if options["plant"]:
            plants = plants.filter(code=options["plant"])
            if not plants:
                raise CommandError(f"There is no plant {options['plant']}.")
        failed = sum(self._tell(plant, day, is_dry=options["dry_run"]) for plant in plants)
        if failed:
            raise CommandError(f"{failed} e-mails could not be sent; the next run tries them again.")

    def _tell(self, plant: Plant, day: date | None, *, is_dry: bool) -> int:
        """Tell the people of one plant; return how many e-mails could not be sent."""
        now = timezone.now()
        clock = clock_of(plant.timezone)
        on = day or clock.day(now)
        moment = now if on == clock.day(now) else clock.moment(on, NOON)
        letters: list[OwnLetter | WeekLetter] = [*own_letters(plant, on=on, moment=moment)]
        letters += week_letters(plant, on=on, moment=moment)
        if is_dry:
            for letter in letters:
                message = message_of(letter)
                self.stdout.write(f"To {letter.person.email}: {message.subject}\n{message.body}\n")
        sent = [] if is_dry else [self._send(letter, on, now) for letter in letters]
        word = "would go" if is_dry else "sent"
        self.stdout.write(f"{plant.code} on {on}: {len(letters) if is_dry else sent.count(True)} e-mails {word}")
        return sent.count(False)

    def _send(self, letter: OwnLetter | WeekLetter, on: date, now: datetime) -> bool | None:
        """Send a letter; return whether it went, None where another process tells it or it is not to go any more."""
        told = claim(person=letter.person, told=letter.told, on=on, now=now)
        if not told:
            return None
        message = message_of(_only(letter, told))
        try:
            message.send()
        except (SMTPException, OSError) as error:
            release(person=letter.person, told=told)
            self.stderr.write(f"not sent to person {letter.person.pk}: {error}")
            return False
        note_sent(person=letter.person, told=told, now=timezone.now())
        return True


def _only(letter: OwnLetter | WeekLetter, told: list[Told]) -> OwnLetter | WeekLetter:
    return letter.only(told) if isinstance(letter, OwnLetter) else letter


def _day(text: str) -> date:
    try:
        found = parse_date(text)
    except ValueError:
        found = None
    if found is None:
        raise CommandError(f"{text} is not a day such as 2026-01-31.")
    return found
