"""What can be wrong with what was told, and where."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong: where it stands (such as "steps", 0, "formula"), and a message with params for that place."""

    where: tuple[str | int, ...]
    message: str
    params: Mapping[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        """Return the message in words."""
        return self.message % self.params if self.params else self.message


class DescriptionError(ValueError):
    """What was told makes no calculation."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults
