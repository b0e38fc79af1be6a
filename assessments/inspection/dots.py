"""Print as an ink jet makes it: letters of five by seven dots."""

from collections.abc import Iterator

ROWS, COLUMNS = 7, 5

#: Each letter by its seven rows from the top; in a row the sixteen stands for the dot on the left.
_LETTERS = {
    " ": (0, 0, 0, 0, 0, 0, 0),
    ":": (0, 4, 4, 0, 4, 4, 0),
    "0": (14, 17, 19, 21, 25, 17, 14),
    "1": (4, 12, 4, 4, 4, 4, 14),
    "2": (14, 17, 1, 2, 4, 8, 31),
    "3": (31, 2, 4, 2, 1, 17, 14),
    "4": (2, 6, 10, 18, 31, 2, 2),
    "5": (31, 16, 30, 1, 1, 17, 14),
    "6": (6, 8, 16, 30, 17, 17, 14),
    "7": (31, 1, 2, 4, 8, 8, 8),
    "8": (14, 17, 17, 14, 17, 17, 14),
    "9": (14, 17, 17, 15, 1, 2, 12),
    "A": (14, 17, 17, 31, 17, 17, 17),
    "B": (30, 17, 17, 30, 17, 17, 30),
    "C": (14, 17, 16, 16, 16, 17, 14),
    "D": (30, 17, 17, 17, 17, 17, 30),
    "E": (31, 16, 16, 30, 16, 16, 31),
    "F": (31, 16, 16, 30, 16, 16, 16),
    "G": (14, 17, 16, 23, 17, 17, 14),
    "J": (7, 2, 2, 2, 2, 18, 12),
    "L": (16, 16, 16, 16, 16, 16, 31),
    "M": (17, 27, 21, 21, 17, 17, 17),
    "N": (17, 25, 21, 19, 17, 17, 17),
    "O": (14, 17, 17, 17, 17, 17, 14),
    "P": (30, 17, 17, 30, 16, 16, 16),
    "R": (30, 17, 17, 30, 20, 18, 17),
    "S": (15, 16, 16, 14, 1, 1, 30),
    "T": (31, 4, 4, 4, 4, 4, 4),
    "U": (17, 17, 17, 17, 17, 17, 14),
    "V": (17, 17, 17, 17, 17, 10, 4),
    "Y": (17, 17, 10, 4, 4, 4, 4),
}


def dots_of(words: str, *, missing_rows: frozenset[int] = frozenset()) -> Iterator[tuple[int, int]]:
    """Yield column and row of every dot of a line; rows whose nozzle is blocked print nothing."""
    for place, letter in enumerate(words):
        for row, bits in enumerate(_LETTERS[letter]):
            if row in missing_rows:
                continue
            for column in range(COLUMNS):
                if bits & (1 << (COLUMNS - 1 - column)):
                    yield place * (COLUMNS + 1) + column, row


def width_of(words: str) -> int:
    """Return how many columns of dots a line takes."""
    return len(words) * (COLUMNS + 1) - 1
