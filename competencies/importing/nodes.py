"""YAML text as plain nodes that know their line. Pure.

Only what a syllabus needs is let through: one document of maps, lists and plain values. Anchors, aliases, merge
keys, tags and deep nesting are refused, so that a file stays as long in memory as it is on disk and nothing in it
can name a Python object. Values stay text until a field says what they must be, so that a code `0101` or a title
`No` arrives as it was written.
"""

from dataclasses import dataclass, field

import yaml

from competencies.importing.faults import Faults
from competencies.importing.faults import mark as _

MAX_BYTES = 2_000_000
MAX_DEPTH = 12
# The compiled parser reads the largest allowed file in under a second; without it the slower one gives the same.
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
NOTHING = frozenset({"", "~", "null", "Null", "NULL"})


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value as text; `is_nothing` when it was left empty or written as null."""

    text: str
    line: int
    is_nothing: bool = False


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list of nodes."""

    items: tuple["Node", ...]
    line: int


@dataclass(frozen=True, slots=True)
class Mapping:
    """A map: every key with its line and its node, in the order of the file."""

    pairs: tuple[tuple[Scalar, "Node"], ...]
    line: int


Node = Scalar | Sequence | Mapping


@dataclass(slots=True)
class _Open:
    """A list or map whose end has not come yet."""

    is_map: bool
    line: int
    children: list[Node] = field(default_factory=list)


def parse_nodes(text: str, faults: Faults) -> Node | None:
    """Return the root node of the text, or None when nothing usable is in it; what is wrong goes to `faults`."""
    if len(text.encode("utf-8", "surrogatepass")) > MAX_BYTES:
        faults.add(1, "", _("the file is larger than %(limit)s kB"), limit=MAX_BYTES // 1000)
        return None
    builder = _Builder(faults)
    try:
        for event in yaml.parse(text, Loader=LOADER):
            builder.take(event)
            if builder.is_hopeless:
                return None
    except yaml.MarkedYAMLError as error:
        _note_syntax(error, text, faults)
        return None
    except (yaml.YAMLError, UnicodeError) as error:
        position = getattr(error, "position", None)
        line = text.count("\n", 0, position) + 1 if isinstance(position, int) else 1
        faults.add(line, "", _("a character here cannot stand in a text file"))
        return None
    if builder.root is None and not faults.found:
        faults.add(1, "", _("the file is empty"))
    return builder.root


def _note_syntax(error: yaml.MarkedYAMLError, text: str, faults: Faults) -> None:
    mark = error.problem_mark or error.context_mark
    line = mark.line + 1 if mark else 1
    problem = str(error.problem or error.context or "")
    written = text.split("\n")[line - 1 : line]
    if written and "\t" in written[0][: len(written[0]) - len(written[0].lstrip())]:
        faults.add(line, "", _("a tab stands here; indent with spaces"))
    else:
        faults.add(line, "", _("this is not valid YAML: %(problem)s"), problem=problem)


class _Builder:
    """Turns the parser's events into nodes, without recursion."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults
        self.stack: list[_Open] = []
        self.root: Node | None = None
        self.documents = 0
        self.is_hopeless = False

    def take(self, event: yaml.Event) -> None:
        """Take the next event of the parser."""
        line = event.start_mark.line + 1 if event.start_mark else 1
        if isinstance(event, yaml.DocumentStartEvent):
            self._start_document(line)
        elif isinstance(event, yaml.AliasEvent):
            self.faults.add(line, "", _("an alias (*name) stands here; write the value out"))
            self._place(Scalar("", line, is_nothing=True))
        elif isinstance(event, yaml.ScalarEvent):
            self._refuse_marks(event, line)
            is_plain = event.style is None or event.style == ""
            self._place(Scalar(event.value, line, is_nothing=is_plain and event.value in NOTHING))
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            self._refuse_marks(event, line)
            self._open(_Open(isinstance(event, yaml.MappingStartEvent), line))
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            self._close()

    def _start_document(self, line: int) -> None:
        self.documents += 1
        if self.documents > 1:
            self.faults.add(line, "", _("a second document starts here (---); a syllabus is one document"))
            self.is_hopeless = True

    def _refuse_marks(self, event: yaml.NodeEvent, line: int) -> None:
        if event.anchor:
            self.faults.add(line, "", _("an anchor (&name) stands here; write the value out where it is needed"))
        tag = getattr(event, "tag", None)
        if tag not in {None, "!"}:
            self.faults.add(line, "", _("a tag (%(tag)s) stands here; write the plain value"), tag=tag)

    def _open(self, opened: _Open) -> None:
        self.stack.append(opened)
        if len(self.stack) > MAX_DEPTH:
            self.faults.add(opened.line, "", _("the file is nested too deeply here"))
            self.is_hopeless = True

    def _close(self) -> None:
        closed = self.stack.pop()
        if closed.is_map:
            self._place(Mapping(self._pairs(closed), closed.line))
        else:
            self._place(Sequence(tuple(closed.children), closed.line))

    def _pairs(self, closed: _Open) -> tuple[tuple[Scalar, Node], ...]:
        pairs: dict[str, tuple[Scalar, Node]] = {}
        for key, value in zip(closed.children[::2], closed.children[1::2], strict=True):
            if not isinstance(key, Scalar):
                self.faults.add(key.line, "", _("a name was expected before the colon"))
            elif key.text in pairs:
                self.faults.add(key.line, key.text, _("this is given twice"))
            else:
                pairs[key.text] = (key, value)
        return tuple(pairs.values())

    def _place(self, node: Node) -> None:
        if self.stack:
            self.stack[-1].children.append(node)
        else:
            self.root = node
