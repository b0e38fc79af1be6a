"""A fair queue of processes and threads in front of SQLite, which otherwise polls and lets some starve."""

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def turn_at(path: Path) -> Iterator[None]:
    """Wait until it is this writer's turn at the file `path`, and let the next one go at the end.

    The lock belongs to the open file: a process that dies lets go of it.
    """
    with path.open("ab") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
