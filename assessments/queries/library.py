"""Which calculations a plant has. Pages and operations ask here, never the registry itself."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from assessments.calculations import UnknownCalculationError, calculations
from assessments.calculations.frame import Calculation
from assessments.models import PlantCalculation
from assessments.plant_formulas.compiling import compiled
from assessments.plant_formulas.described import from_kept
from assessments.plant_formulas.faults import DescriptionError
from competencies.models import Plant


@dataclass(frozen=True, slots=True)
class Library:
    """The calculations of a plant by code, in the order of the codes: those of the site, and its own.

    `current` can be practised and be checked on. `earlier` is kept so that old answers can be read: versions that
    another took the place of, and what was withdrawn.
    """

    current: Mapping[str, Calculation]
    earlier: Mapping[str, Calculation] = field(default_factory=dict)

    def kind(self, code: str) -> Calculation:
        """Return the calculation with that code, current or earlier.

        Raises
        ------
        UnknownCalculationError
            When the plant has none.
        """
        found = self.current.get(code) or self.earlier.get(code)
        if found is None:
            raise UnknownCalculationError(f"There is no calculation {code}.")
        return found

    def asked_by(self, framework_code: str) -> tuple[Calculation, ...]:
        """Return the calculations that a task asks for by one code, in the order of their own codes."""
        return tuple(kind for kind in self.current.values() if kind.framework_code == framework_code)


def library_of(plant: Plant) -> Library:
    """Return the calculations of a plant. One query."""
    rows = PlantCalculation.objects.published().filter(plant=plant).order_by("code", "version")
    newest: dict[str, Calculation] = {}
    earlier: dict[str, Calculation] = {}
    for row in rows:
        kind = _compiled(row.code, row.version, json.dumps(row.described, sort_keys=True))
        if kind is None:
            continue
        if (replaced := newest.pop(row.code, None)) is not None:
            earlier[replaced.code] = replaced
        if row.withdrawn_at is None:
            newest[row.code] = kind
        else:
            earlier[kind.code] = kind
    own = {kind.code: kind for kind in newest.values()}
    return Library(dict(sorted({**calculations(), **own}.items())), earlier)


@lru_cache(maxsize=512)
def _compiled(code: str, version: int, kept: str) -> Calculation | None:
    """Return a published calculation; None where it is refused by rules that came after it was published."""
    try:
        return compiled(from_kept(json.loads(kept), code=code, version=version))
    except DescriptionError:
        return None
