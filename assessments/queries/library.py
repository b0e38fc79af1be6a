"""Which calculations a plant has. Pages and operations ask here, never the registry itself."""

from collections.abc import Mapping
from dataclasses import dataclass

from assessments.calculations import UnknownCalculationError, calculations
from assessments.calculations.frame import Calculation
from competencies.models import Plant


@dataclass(frozen=True, slots=True)
class Library:
    """The calculations that a plant can practise and be checked on, by code, in the order of the codes."""

    current: Mapping[str, Calculation]

    def kind(self, code: str) -> Calculation:
        """Return the calculation with that code.

        Raises
        ------
        UnknownCalculationError
            When the plant has none.
        """
        try:
            return self.current[code]
        except KeyError:
            raise UnknownCalculationError(f"There is no calculation {code}.") from None

    def asked_by(self, framework_code: str) -> tuple[Calculation, ...]:
        """Return the calculations that a task asks for by one code, in the order of their own codes."""
        return tuple(kind for kind in self.current.values() if kind.framework_code == framework_code)


def library_of(plant: Plant) -> Library:
    """Return the calculations of a plant."""
    return Library(calculations())
