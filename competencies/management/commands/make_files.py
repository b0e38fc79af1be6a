"""`manage.py make_files`: makes in the background what was asked for on the pages."""

import os
import signal
import sys
import time
from types import FrameType
from typing import Any, Final

from django.core.management.base import BaseCommand, CommandParser
from django.db import close_old_connections
from django.utils import timezone

from competencies.jobs.doing import do_waiting, look_after_jobs

PAUSE_SECONDS: Final = 1.0
LOOKS_AFTER_EVERY: Final = 60


class Command(BaseCommand):
    """Wait for jobs and do them, one at a time. Several may run at once; each needs a processor of its own."""

    help = "Makes the files that were asked for in the background, and removes those whose time is over."

    def add_arguments(self, parser: CommandParser) -> None:
        """Name the options."""
        parser.add_argument("--once", action="store_true", help="do what waits, and end")
        parser.add_argument("--with-parent", action="store_true", help="end when the process that started it ends")

    def handle(self, *_args: Any, once: bool, with_parent: bool, **_options: Any) -> None:  # noqa: ANN401 - as in Django
        """Do what waits; look after the others once a minute."""
        look_after_jobs(timezone.now)
        count = do_waiting(timezone.now)
        if once:
            self.stdout.write(f"{count} jobs done")
            return
        # A supervisor ends a process with this signal: the job at hand goes back in the queue.
        signal.signal(signal.SIGTERM, _end)
        pauses, parent = 0, os.getppid()
        while not (with_parent and os.getppid() != parent):
            time.sleep(PAUSE_SECONDS)
            close_old_connections()
            pauses += 1
            if pauses % LOOKS_AFTER_EVERY == 0:
                look_after_jobs(timezone.now)
            do_waiting(timezone.now)


def _end(_number: int, _frame: FrameType | None) -> None:
    sys.exit(0)
