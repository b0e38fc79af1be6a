"""Which kinds of job there are: every module in the folder `jobs/kinds` of an app."""

from collections.abc import Mapping
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from pkgutil import iter_modules

from django.apps import apps

from competencies.jobs.work import Kind


@cache
def kinds() -> Mapping[str, Kind]:
    """Return all kinds by their codes. Raises ValueError where two have one code."""
    found: dict[str, Kind] = {}
    for name in _modules():
        kind: Kind = import_module(name).KIND
        if kind.code in found:
            raise ValueError(f"two kinds of job are called {kind.code}")
        found[kind.code] = kind
    return found


def _modules() -> list[str]:
    names = []
    for app in apps.get_app_configs():
        if find_spec(f"{app.name}.jobs") is None:
            continue
        package = import_module(f"{app.name}.jobs.kinds")
        names += [f"{package.__name__}.{each.name}" for each in iter_modules(package.__path__)]
    return names
