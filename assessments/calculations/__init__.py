"""The worked calculations of the plant: a module a family, found without any list.

Every `Calculation` that stands at the top level of a module in this package is in the registry.
"""

import importlib
import pkgutil
from functools import cache

from assessments.calculations.frame import Calculation


class UnknownCalculationError(LookupError):
    """No calculation has this code."""


@cache
def calculations() -> dict[str, Calculation]:
    """Return every calculation by its code, in the order of the codes."""
    found: dict[str, Calculation] = {}
    for module_info in pkgutil.iter_modules(__path__, f"{__name__}."):
        module = importlib.import_module(module_info.name)
        for calculation in vars(module).values():
            if not isinstance(calculation, Calculation):
                continue
            if found.setdefault(calculation.code, calculation) is not calculation:
                raise ValueError(f"Two calculations have the code {calculation.code}.")
    return dict(sorted(found.items()))


def calculation(code: str) -> Calculation:
    """Return the calculation with that code.

    Raises
    ------
    UnknownCalculationError
        When there is none.
    """
    try:
        return calculations()[code]
    except KeyError:
        raise UnknownCalculationError(f"There is no calculation {code}.") from None


def for_framework_code(framework_code: str) -> tuple[Calculation, ...]:
    """Return the calculations that a task asks for by one code, in the order of their own codes."""
    return tuple(kind for kind in calculations().values() if kind.framework_code == framework_code)
