"""The clock of a five-minute round, which runs only while somebody is at a problem."""

from typing import Final

ROUND_SECONDS: Final = 5 * 60
#: No problem takes more of a round than this: whoever was called away has lost nothing.
MOST_A_PROBLEM: Final = 2 * 60


def counted(seconds: int | None) -> int:
    """Return how many seconds of a round a problem used; none where its time is not known."""
    return min(max(seconds or 0, 0), MOST_A_PROBLEM)


def is_over(used_seconds: int) -> bool:
    """Return whether no further problem is asked; one that was begun may always be finished."""
    return used_seconds >= ROUND_SECONDS


def minutes_left(used_seconds: int) -> int:
    """Return the whole minutes that are left, rounded up."""
    return max(-((used_seconds - ROUND_SECONDS) // 60), 0)
