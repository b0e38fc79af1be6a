"""Published figures for the worked calculations, each with where it is printed: a module a trade area.

A row is: the givens by name, the answer printed, how far ours may lie from it, and the source. "From memory" and
"common practice" are said where they apply. A source that starts with ids in brackets, as in "[3.6a] mass balance of
cells" or "[8.5c, 8.5g] ...", uses those figures of `tests/outside/check_values.json`; every figure there must be
used somewhere. `PUBLISHED` holds the rows of every module here by calculation.
"""

import importlib
import pkgutil

MODULES = [importlib.import_module(found.name) for found in pkgutil.iter_modules(__path__, f"{__name__}.")]
PUBLISHED = {code: rows for module in MODULES for code, rows in getattr(module, "PUBLISHED", {}).items()}
