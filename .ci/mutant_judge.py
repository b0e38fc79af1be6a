"""A plugin of pytest that judges mutants: `config/mutation.py` puts it beside a copy of the rule and runs it there.

It writes the mutants of the modules named in MUTATED_MODULES into the copy, notes which tests reach which function,
and then tries each mutant in a child of its own: the tests that reach it, the quickest first, until one fails. The
tests are collected once, so that most mutants are judged in a few milliseconds. mutmut makes the mutants.
"""

import gc
import json
import os
import signal
import sys
from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from time import process_time

import pytest
from _pytest.runner import runtestprotocol
from mutmut.mutation.file_mutation import MutatedFile, mutate_file_contents
from mutmut.mutation.trampoline import set_mutant_under_test
from mutmut.state import state

RULE = "competencies.standing"
KILLED, SURVIVED, HUNG, UNREACHED = "killed", "survived", "hung", "unreached"
# CPU seconds that a test may take with a mutant: what it takes without, this many times over, and some more.
PATIENCE, AT_LEAST = 10, 2
mutated: dict[str, MutatedFile] = {}


def pytest_configure() -> None:
    """Write the mutants before any test is imported."""
    for module in os.environ["MUTATED_MODULES"].split():
        path = Path(RULE.replace(".", "/")) / f"{module}.py"
        mutated[module] = mutate_file_contents(str(path), path.read_text(encoding="utf-8"))
        path.write_text(mutated[module].code, encoding="utf-8")


def pytest_runtestloop(session: pytest.Session) -> bool:
    """Judge every mutant, and write the verdicts to verdicts.json."""
    seconds, reaching, failing = reached(session.items)
    found: dict[str, dict[str, str]] = {module: {} for module in mutated}
    waiting: dict[int, tuple[str, str]] = {}
    # The children share the memory of this process as long as nobody moves it.
    gc.collect()
    gc.freeze()
    workers = int(os.environ["MUTATION_WORKERS"])
    terminal = session.config.pluginmanager.get_plugin("terminalreporter")
    for module, made in mutated.items():
        terminal.write_line(f"{module}: {len(made.mutant_names)} mutants")
        for name in made.mutant_names:
            items = sorted(reaching[f"{RULE}.{module}.{function_of(name)}"], key=lambda item: seconds[item.nodeid])
            if not items:
                found[module][name] = UNREACHED
                continue
            if len(waiting) >= workers:
                reap(waiting, found)
            pid = os.fork()
            if pid == 0:
                judge(f"{RULE}.{module}.{name}", items, seconds)
            waiting[pid] = (module, name)
    while waiting:
        reap(waiting, found)
    spans = {
        module: {name: (span.start, span.end) for name, span in made.line_span_by_function_name.items()}
        for module, made in mutated.items()
    }
    Path("verdicts.json").write_text(
        json.dumps({"verdicts": found, "spans": spans, "failing": failing}), encoding="utf-8"
    )
    return True


def function_of(name: str) -> str:
    """Return the function that a mutant is one of."""
    return name.rpartition("__mutmut_")[0]


def reached(items: Sequence[pytest.Item]) -> tuple[dict[str, float], dict[str, list[pytest.Item]], list[str]]:
    """Run every test once; return the seconds each took, the tests that reach each function, and those that fail.

    A test that fails on the rule itself says nothing about a mutant: it is left out, and the report names it.
    """
    seconds: dict[str, float] = {}
    failing: list[str] = []
    reaching: dict[str, list[pytest.Item]] = defaultdict(list)
    set_mutant_under_test("stats")
    for item in items:
        begun = process_time()
        is_failing = fails(item)
        seconds[item.nodeid] = process_time() - begun
        for function in () if is_failing else state()._stats:  # noqa: SLF001 - mutmut offers no other way to it
            reaching[function].append(item)
        failing += [item.nodeid] if is_failing else []
        state()._stats.clear()  # noqa: SLF001 - as above
    return seconds, reaching, failing


def fails(item: pytest.Item) -> bool:
    """Run a test and say whether it failed."""
    return any(report.failed for report in runtestprotocol(item, log=False, nextitem=None))


def judge(mutant: str, items: Sequence[pytest.Item], seconds: Mapping[str, float]) -> None:
    """Run the tests in this child until one fails or hangs; how the child ends is the verdict."""
    gc.disable()
    # What was worked out by the rule itself is not to be found by its mutant.
    for module in list(sys.modules.values()):
        if module.__name__.startswith(RULE):
            for kept in vars(module).values():
                getattr(kept, "cache_clear", int)()
    set_mutant_under_test(mutant)
    for item in items:
        signal.setitimer(signal.ITIMER_VIRTUAL, AT_LEAST + PATIENCE * seconds[item.nodeid])
        if fails(item):
            os._exit(1)
    os._exit(0)


def reap(waiting: dict[int, tuple[str, str]], found: dict[str, dict[str, str]]) -> None:
    """Wait for one child and note its verdict."""
    pid, status = os.wait()
    module, name = waiting.pop(pid)
    verdicts = {0: SURVIVED, 1: KILLED}
    found[module][name] = verdicts.get(os.waitstatus_to_exitcode(status), HUNG)
