"""Mutation tests of the standing rule: change it a little at a time, and see that a test fails every time.

`.ci/mutate` runs this, `.ci/mutate calendar spans` on two modules only. The rule and its tests are pure, so they are
copied to var/mutation, where neither Django nor the project's own settings of pytest are in the way. mutmut makes the
mutants, and `.ci/mutant_judge.py` tries them. What survives must be in `.ci/equivalent-mutants.toml`, with the reason
why nobody could tell.
"""

import argparse
import json
import os
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import ndiff
from pathlib import Path
from textwrap import dedent

ROOT = Path(__file__).resolve().parent.parent
GROUND = ROOT / "var" / "mutation"
EQUIVALENT = ROOT / ".ci" / "equivalent-mutants.toml"
RULE, TESTS = Path("competencies/standing"), Path("tests/competencies/standing")
COPIED = ("competencies/__init__.py", "competencies/vocabulary.py", RULE, TESTS)
SETTINGS = """\
[tool.mutmut]
source_paths = ["competencies"]

[tool.pytest.ini_options]
addopts = "--import-mode=importlib --assert=plain --tb=native -q -p judge -p no:cacheprovider"
"""
# A mutant must meet the same examples every time; the tables kill nearly all, and the searching tests cost the most.
CONFTEST = """\
from hypothesis import settings

settings.register_profile("mutation", deadline=None, derandomize=True, database=None, max_examples=10)
settings.load_profile("mutation")
"""


@dataclass(frozen=True, slots=True)
class Change:
    """What a mutant changes: the function, as `module.Class.method`, and its lines before and after."""

    function: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """A mutant and what became of it: killed, hung (it never came to an end), survived, or reached by no test."""

    module: str
    change: Change
    outcome: str

    @property
    def is_dead(self) -> bool:
        """Whether a test failed, or never came to an end."""
        return self.outcome in {"killed", "hung"}


def main(arguments: Sequence[str]) -> int:
    """Try the mutants of some modules or of all; return 0 when none survives that is not in the reviewed list."""
    parser = argparse.ArgumentParser(prog=".ci/mutate", description=__doc__)
    parser.add_argument("modules", nargs="*", metavar="module", help="as in competencies/standing, without .py")
    parser.add_argument("--workers", type=int, default=1)
    chosen = parser.parse_args(arguments)
    modules = chosen.modules or [path.stem for path in sorted((ROOT / RULE).glob("[!_]*.py"))]
    unknown = [module for module in modules if not (ROOT / RULE / f"{module}.py").exists()]
    if unknown:
        parser.error(f"no such module in {RULE}: {', '.join(unknown)}")
    lay_ground()
    judge(modules, chosen.workers)
    judged = json.loads((GROUND / "verdicts.json").read_text(encoding="utf-8"))
    for test in judged["failing"]:
        say(f"fails on the rule itself, and was left out: {test}")
    return report(modules, verdicts(judged["verdicts"], judged["spans"]), reviewed()) or bool(judged["failing"])


def lay_ground() -> None:
    """Copy the rule and its tests to a place of their own."""
    shutil.rmtree(GROUND, ignore_errors=True)
    for name in COPIED:
        source, target = ROOT / name, GROUND / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.is_dir():
            shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, target)
    for package in (GROUND / "tests", GROUND / "tests" / "competencies"):
        (package / "__init__.py").touch()
    shutil.copy(ROOT / ".ci" / "mutant_judge.py", GROUND / "judge.py")
    (GROUND / "pyproject.toml").write_text(SETTINGS, encoding="utf-8")
    (GROUND / "tests" / "conftest.py").write_text(CONFTEST, encoding="utf-8")


def judge(modules: Iterable[str], workers: int) -> None:
    """Let the judge try every mutant. Raises SystemExit when it cannot."""
    environment = {
        **os.environ,
        # The plugins of the whole project cost more than the tests of a mutant do.
        "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1",
        "MUTATED_MODULES": " ".join(modules),
        "MUTATION_WORKERS": str(workers),
    }
    command = [sys.executable, "-m", "pytest", "tests"]
    subprocess.run(command, cwd=GROUND, env=environment, check=False)  # noqa: S603 - the command is the one above
    if not (GROUND / "verdicts.json").exists():
        raise SystemExit("nothing was judged; mutmut comes with: pip install -r .ci/requirements-mutation.txt")


def verdicts(
    outcomes: Mapping[str, Mapping[str, str]], places: Mapping[str, Mapping[str, Sequence[int]]]
) -> list[Verdict]:
    """Return the verdict on every mutant: its outcome with the lines it changes, by module and name."""
    found = []
    for module, spans in places.items():
        lines = (GROUND / RULE / f"{module}.py").read_text(encoding="utf-8").splitlines()
        for name, outcome in outcomes[module].items():
            original = f"{name.rpartition('__mutmut_')[0]}__mutmut_orig"
            was, now = (_source(lines, spans[each]) for each in (original, name))
            found.append(Verdict(module, _change(module, name, was, now), outcome))
    return found


def _source(lines: Sequence[str], place: Sequence[int]) -> list[str]:
    start, end = place
    return dedent("\n".join(lines[start - 1 : end])).splitlines()


def _change(module: str, name: str, was: Sequence[str], now: Sequence[str]) -> Change:
    """Return what differs between a function and its mutant; a changed first line is told without the name."""
    mangled = name.rpartition("__mutmut_")[0]
    function = mangled.removeprefix("x_").removeprefix("xǁ").replace("ǁ", ".")
    differing = list(
        ndiff([line.replace(f"{mangled}__mutmut_orig", "") for line in was], [line.replace(name, "") for line in now])
    )
    before, after = (" ".join(line[2:].strip() for line in differing if line.startswith(sign)) for sign in "-+")
    return Change(f"{module}.{function}", before, after)


def reviewed() -> dict[Change, str]:
    """Return the changes that nobody could tell, each with the reason."""
    told = tomllib.loads(EQUIVALENT.read_text(encoding="utf-8")).get("mutant", [])
    return {Change(each["function"], each["was"], each["now"]): each["reason"] for each in told}


def report(modules: Sequence[str], found: Sequence[Verdict], known: dict[Change, str]) -> int:
    """Print a line for each module and every survivor; return 1 when one survives that is not in the list."""
    alive = [each for each in found if not each.is_dead and each.change not in known]
    say(f"{'module':16}{'mutants':>9}{'killed':>9}{'hung':>6}{'equivalent':>12}{'survived':>10}")
    for module in modules:
        here = [each for each in found if each.module == module]
        killed, hung = (sum(1 for each in here if each.outcome == outcome) for outcome in ("killed", "hung"))
        left = sum(1 for each in alive if each.module == module)
        say(f"{module:16}{len(here):>9}{killed:>9}{hung:>6}{len(here) - killed - hung - left:>12}{left:>10}")
    for each in alive:
        say(f"\n{each.change.function} ({each.outcome})\n  - {each.change.was}\n  + {each.change.now}")
    survivors = {each.change for each in found if not each.is_dead}
    idle = [each for each in known if each.function.partition(".")[0] in modules and each not in survivors]
    for change in idle:
        say(f"\nin the list, and not among the survivors: {change.function}\n  - {change.was}\n  + {change.now}")
    return 1 if alive or idle else 0


def say(line: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
