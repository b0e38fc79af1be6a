"""What must agree between the parts of a syllabus. Pure.

Codes that are named must exist, prerequisites form no circle, credits add up.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from competencies.importing.faults import Faults
from competencies.importing.faults import mark as _
from competencies.importing.fields import nearest
from competencies.importing.pathway_section import CALCULATION_PREFIX
from competencies.importing.syllabus import (
    QualificationRow,
    SyllabusFile,
    TaskRow,
    UnitRow,
    place_codes,
)
from competencies.vocabulary import ScopeKind


def check_whole(syllabus: SyllabusFile, current: SyllabusFile, faults: Faults) -> None:
    """Note every name in the file that is neither in the file nor at the plant, circles, and sums that cannot be."""
    _check_tasks(syllabus, current, faults)
    _check_circles(syllabus, current, faults)
    _check_units(syllabus, current, faults)
    units = {unit.key: unit for unit in (*current.units, *syllabus.units)}
    for qualification in syllabus.qualifications:
        _QualificationCheck(qualification, units, faults).run()


def _note_unknown(faults: Faults, line: int, field: str, code: str, known: Iterable[str]) -> None:
    meant = nearest(code, known)
    if meant:
        message = _("%(code)s is neither in the file nor at the plant; did you mean %(meant)s?")
        faults.add(line, field, message, code=code, meant=meant)
    else:
        faults.add(line, field, _("%(code)s is neither in the file nor at the plant"), code=code)


def _check_tasks(syllabus: SyllabusFile, current: SyllabusFile, faults: Faults) -> None:
    tasks = {task.code for task in (*current.tasks, *syllabus.tasks)}
    areas = {area.code for area in (*current.areas, *syllabus.areas)}
    calculations = {*current.calculations, *syllabus.calculations}
    places = place_codes(current) | place_codes(syllabus)
    for task in syllabus.tasks:
        path = f"tasks[{task.code}]"
        named = [
            ("area", frozenset({task.area}), areas),
            ("prerequisites", task.terms.prerequisites, tasks),
            ("prerequisites", frozenset().union(*task.terms.prerequisite_places.values()), places),
            ("refreshes", task.terms.refreshes, tasks),
            ("calculations", frozenset(asked.code for asked in task.terms.calculations), calculations),
            ("places", task.places, places),
        ]
        for name, codes, known in named:
            for code in sorted(codes - known - {""}):
                _note_unknown(faults, task.line_of(name), f"{path}.{name}", code, known)
        _check_places(task, path, faults)


def _check_places(task: TaskRow, path: str, faults: Faults) -> None:
    kinds = {ScopeKind.MACHINE if "/" in place else ScopeKind.LINE for place in task.places}
    if task.scope is ScopeKind.SITE and kinds:
        faults.add(
            task.line_of("places"), f"{path}.places", _("a task whose sign-off serves the whole site has no places")
        )
    elif kinds - {task.scope}:
        message = _("a sign-off serves one %(scope)s, so the places must be of that kind (L1 a line, L1/F1 a machine)")
        faults.add(task.line_of("places"), f"{path}.places", message, scope=task.scope.value)


def _check_circles(syllabus: SyllabusFile, current: SyllabusFile, faults: Faults) -> None:
    needs = {task.code: task.terms.prerequisites for task in (*current.tasks, *syllabus.tasks)}
    lines = {task.code: task.line_of("prerequisites") for task in syllabus.tasks}
    for circle in find_circles(needs):
        named = [code for code in circle if code in lines]
        first = named[0] if named else circle[0]
        start = circle.index(first)
        way = " -> ".join([*circle[start:], *circle[:start], first])
        message = _("the prerequisites form a circle: %(circle)s")
        faults.add(lines.get(first, 1), f"tasks[{first}].prerequisites", message, circle=way)


def find_circles(needs: Mapping[str, Iterable[str]]) -> list[tuple[str, ...]]:
    """Return circles of codes that need each other: none if and only if there is no circle.

    Each circle starts with its alphabetically first code.

    >>> find_circles({"A": ["B"], "B": ["C"], "C": ["A"], "D": ["A"]})
    [('A', 'B', 'C')]
    """
    found: list[tuple[str, ...]] = []
    done: set[str] = set()
    for code in sorted(needs):
        _walk(code, needs, done, found)
    return found


def _walk(start: str, needs: Mapping[str, Iterable[str]], done: set[str], found: list[tuple[str, ...]]) -> None:
    # A path of iterators instead of recursion: a chain may be as long as the syllabus.
    if start in done:
        return
    path = [start]
    branches: list[Iterator[str]] = [iter(sorted(needs[start]))]
    while path:
        code = next(branches[-1], None)
        if code is None:
            branches.pop()
            done.add(path.pop())
        elif code in path:
            circle = path[path.index(code) :]
            turn = circle.index(min(circle))
            found.append((*circle[turn:], *circle[:turn]))
        elif code in needs and code not in done:
            path.append(code)
            branches.append(iter(sorted(needs[code])))


def _check_units(syllabus: SyllabusFile, current: SyllabusFile, faults: Faults) -> None:
    tasks = {task.code for task in (*current.tasks, *syllabus.tasks)}
    calculations = {*current.calculations, *syllabus.calculations}
    for unit in syllabus.units:
        first, last = unit.first_date_for_assessment, unit.last_date_for_assessment
        if first is not None and last is not None and last < first:
            field = f"units[{unit.key}].last_date_for_assessment"
            faults.add(unit.line, field, _("this lies before the first date for assessment"))
        for number, items in enumerate(unit.outcomes, start=1):
            field = f"units[{unit.key}].outcomes[{number}]"
            for item in items:
                code = item.removeprefix(CALCULATION_PREFIX)
                known = calculations if item.startswith(CALCULATION_PREFIX) else tasks
                if code not in known:
                    _note_unknown(faults, unit.line, field, code, known)
            for item, count in Counter(items).items():
                if count > 1:
                    faults.add(unit.line, field, _("%(code)s stands in the list twice"), code=item)


class _QualificationCheck:
    """Checks one pathway against the units it is made of. A unit with several versions counts once, the better."""

    def __init__(self, row: QualificationRow, units: Mapping[str, UnitRow], faults: Faults) -> None:
        self.row = row
        self.units = units
        self.faults = faults
        self.path = f"qualifications[{row.code}]"
        best: dict[str, UnitRow] = {}
        for unit in units.values():
            if unit.code not in best or unit.credits > best[unit.code].credits:
                best[unit.code] = unit
        self.best = list(best.values())

    def run(self) -> None:
        """Note everything that cannot be."""
        for rule in self.row.rules:
            self._check_rule(rule)
        self._check_minimum_against_maximum()
        self._check_dates()
        if sum(unit.credits for unit in self.best) < self.row.min_total_credits:
            message = _("all units together give %(credits)s credits, fewer than asked")
            self._note("min_total_credits", message, credits=sum(unit.credits for unit in self.best))
        for pair in self.row.exclusions:
            for key in pair:
                if key not in self.units:
                    _note_unknown(self.faults, self.row.line, f"{self.path}.exclusions", key, self.units)

    def _note(self, key: str, text: str, **values: object) -> None:
        self.faults.add(self.row.line, f"{self.path}.{key}", text, **values)

    def _check_rule(self, rule: Mapping[str, object]) -> None:
        groups = {unit.group for unit in self.best}
        for group in _groups_of(rule):
            if group and group not in groups:
                self._note("rules", _("no unit is in the group %(group)s"), group=group)
                return
        if rule.get("rule") in {"all", "min"}:
            self._check_group_sum(rule)
        elif rule.get("rule") == "min_at_level_or_above":
            level = _number(rule, "level")
            self._check_enough(rule, sum(unit.credits for unit in self.best if unit.level >= level))

    def _check_group_sum(self, rule: Mapping[str, object]) -> None:
        available = sum(unit.credits for unit in self.best if unit.group == rule["group"])
        if rule["rule"] == "all" and available != _number(rule, "credits"):
            message = _("the units of group %(group)s add up to %(available)s credits, not %(credits)s")
            self._note("rules", message, group=rule["group"], available=available, credits=rule["credits"])
        else:
            self._check_enough(rule, available)

    def _check_enough(self, rule: Mapping[str, object], available: int) -> None:
        if available < _number(rule, "credits"):
            message = _("%(credits)s credits are asked where the units give only %(available)s")
            self._note("rules", message, credits=rule["credits"], available=available)

    def _check_dates(self) -> None:
        begun, achieved = self.row.last_date_to_enrol, self.row.last_date_to_achieve
        if begun is not None and achieved is not None and achieved < begun:
            self._note("last_date_to_achieve", _("this lies before the last date to enrol"))

    def _check_minimum_against_maximum(self) -> None:
        most = {rule["group"]: _number(rule, "credits") for rule in self.row.rules if rule.get("rule") == "max"}
        for rule in self.row.rules:
            group = rule.get("group")
            if rule.get("rule") == "min" and group in most and most[group] < _number(rule, "credits"):
                self._note("rules", _("group %(group)s asks for more credits than may count"), group=group)


def _groups_of(rule: Mapping[str, object]) -> list[str]:
    groups = rule.get("groups")
    if isinstance(groups, list):
        return [str(group) for group in groups]
    return [str(rule["group"])] if "group" in rule else []


def _number(rule: Mapping[str, object], key: str) -> int:
    value = rule.get(key)
    return value if isinstance(value, int) else 0
