"""How our answers agree with published figures: a row a figure, read by the tests and by `manage.py agree`."""

from dataclasses import dataclass

from assessments.calculations import calculation
from assessments.generation import Problem
from assessments.vocabulary import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """A published figure beside ours; `allowed` is how far they may part, and 0 asks for the same."""

    code: str
    source: str
    published: Value
    ours: Value
    allowed: float

    @property
    def difference(self):
        """Return ours less the published figure; None for words and dates."""
        return self.ours - self.published if isinstance(self.published, float | int) else None

    @property
    def agrees(self):
        """Return whether they are as near as allowed."""
        if self.difference is None:
            return self.ours == self.published
        return abs(self.difference) <= self.allowed


def agreements(published):
    """Return the rows of some calculations worked with their givens."""
    return [
        Agreement(
            code=code,
            source=source,
            published=expected,
            ours=Problem(calculation(code), givens).answer,
            allowed=allowed,
        )
        for code, rows in sorted(published.items())
        for givens, expected, allowed, source in rows
    ]
