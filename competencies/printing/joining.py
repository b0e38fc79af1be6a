"""Joins finished sheets into one file and keeps what a screen reader needs: the tags, their tables, the bookmarks.

A joined file costs a little of each font again and nothing else; drawing many records as one document costs far more.
"""

from collections.abc import Iterable, Sequence
from contextlib import ExitStack
from io import BytesIO
from pathlib import Path
from typing import Any, Final

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, String

# Keys of the catalog that are the same for every record and come from the first.
INHERITED: Final = ("/Lang", "/ViewerPreferences", "/MarkInfo")


# Every file that is joined stays open until the whole is saved.
MOST_OPEN: Final = 100


def join_pdfs(pdfs: Sequence[bytes], *, title: str) -> bytes:
    """Return one tagged PDF of several; `title` names the whole. Raises ValueError when there is nothing to join."""
    out = BytesIO()
    _join([BytesIO(content) for content in pdfs], out, title)
    return out.getvalue()


def join_files(paths: Sequence[Path], target: Path, *, title: str) -> None:
    """Write one tagged PDF of many files, a hundred at a time; parts of the whole are left beside the first file.

    Raises ValueError when there is nothing to join.
    """
    round_number = 0
    while len(paths) > MOST_OPEN:
        round_number += 1
        parts = [paths[start : start + MOST_OPEN] for start in range(0, len(paths), MOST_OPEN)]
        joined = [paths[0].with_name(f"joined-{round_number}-{number}") for number in range(len(parts))]
        for part, path in zip(parts, joined, strict=True):
            _join(part, path, title)
        paths = joined
    _join(paths, target, title)


def _join(sources: Sequence[Path | BytesIO], target: Path | BytesIO, title: str) -> None:
    if not sources:
        raise ValueError("nothing to join")
    with ExitStack() as opened:
        joined = opened.enter_context(Pdf.new())
        tree = _Tree(joined)
        for source in sources:
            # Kept open until saved: pages are read from where they lie.
            tree.add(opened.enter_context(Pdf.open(source)))
        tree.close()
        _describe(joined, title)
        joined.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate)


class _Tree:
    """The structure tree of the joined file: the documents one after another, their page keys moved along."""

    def __init__(self, joined: Pdf) -> None:
        self._pdf = joined
        self._kids: list[Any] = []
        self._parents: list[Any] = []
        self._next_key = 0
        self._roles: dict[str, Any] = {}
        self._sources: list[Pdf] = []

    def add(self, source: Pdf) -> None:
        """Append the pages of a record with its tags and bookmarks."""
        self._sources.append(source)
        first = len(self._pdf.pages)
        self._pdf.pages.extend(source.pages)
        added = self._pdf.pages[first:]
        if not self._sources[1:]:
            for key in INHERITED:
                if key in source.Root:
                    self._pdf.Root[key] = self._copied(source, source.Root[key])
        self._add_tags(source, added)
        self._add_bookmarks(source, first)

    def _add_tags(self, source: Pdf, added: Iterable[Any]) -> None:
        tree = self._copied(source, source.Root.StructTreeRoot)
        for page in added:
            _move_keys(page, self._next_key)
        numbers = _flat_numbers(tree.ParentTree)
        for key, value in numbers:
            self._parents += [key + self._next_key, value]
        self._next_key += 1 + max((key for key, _ in numbers), default=-1)
        _rename(tree, f"{len(self._sources)}-")
        self._kids += list(tree.K) if isinstance(tree.K, Array) else [tree.K]
        for role, meaning in tree.get("/RoleMap", {}).items():
            self._roles[role] = meaning

    def _copied(self, source: Pdf, value: Any) -> Any:  # noqa: ANN401 - any PDF object
        if not isinstance(value, Array | Dictionary):
            return value
        return self._pdf.copy_foreign(value if value.is_indirect else source.make_indirect(value))

    def _add_bookmarks(self, source: Pdf, first: int) -> None:
        with source.open_outline() as old, self._pdf.open_outline() as outline:
            pages = {page.obj.objgen: place for place, page in enumerate(source.pages)}
            outline.root.extend(_bookmark(item, pages, first) for item in old.root)

    def close(self) -> None:
        """Write the joined tree into the catalog."""
        pdf = self._pdf
        root = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        root.K = Array(self._kids)
        for kid in self._kids:
            kid.P = root
        root.ParentTree = pdf.make_indirect(Dictionary(Nums=Array(self._parents)))
        root.ParentTreeNextKey = self._next_key
        if self._roles:
            root.RoleMap = Dictionary(self._roles)
        pdf.Root.StructTreeRoot = root


def _move_keys(page: Any, by: int) -> None:  # noqa: ANN401 - a PDF page
    if "/StructParents" in page.obj:
        page.obj.StructParents = int(page.obj.StructParents) + by
    for annotation in page.obj.get("/Annots", []):
        if "/StructParent" in annotation:
            annotation.StructParent = int(annotation.StructParent) + by


def _rename(tree: Any, prefix: str) -> None:  # noqa: ANN401 - a PDF structure tree
    """Put a prefix before the name of each head, and where cells name it: names are unique in a file (14.7.2)."""
    waiting = _children(tree)
    while waiting:
        element = waiting.pop()
        waiting += _children(element)
        if "/ID" in element:
            element.ID = String(f"{prefix}{element.ID}")
        attributes = element.get("/A", {})
        if "/Headers" in attributes:
            attributes.Headers = Array([String(f"{prefix}{head}") for head in attributes.Headers])


def _children(element: Any) -> list[Any]:  # noqa: ANN401 - a PDF structure element
    kids = element.get("/K", [])
    found = list(kids) if isinstance(kids, Array) else [kids]
    return [kid for kid in found if isinstance(kid, Dictionary) and "/S" in kid]


def _flat_numbers(tree: Any) -> list[tuple[int, Any]]:  # noqa: ANN401 - a PDF number tree
    """Return the pairs of a number tree, whatever its depth (ISO 32000-1, 7.9.7)."""
    found: list[tuple[int, Any]] = []
    numbers = list(tree.get("/Nums", []))
    found += [(int(key), value) for key, value in zip(numbers[::2], numbers[1::2], strict=True)]
    for kid in tree.get("/Kids", []):
        found += _flat_numbers(kid)
    return found


def _bookmark(item: pikepdf.OutlineItem, pages: dict[Any, int], first: int) -> pikepdf.OutlineItem:
    place = _place(item, pages)
    copy = pikepdf.OutlineItem(item.title, first + place)
    copy.children.extend(_bookmark(child, pages, first) for child in item.children)
    return copy


def _place(item: pikepdf.OutlineItem, pages: dict[Any, int]) -> int:
    target = item.destination
    if isinstance(target, Array) and len(target):
        return pages.get(target[0].objgen, 0)
    return 0


def _describe(joined: Pdf, title: str) -> None:
    with joined.open_metadata(set_pikepdf_as_editor=False) as metadata:
        metadata["dc:title"] = title
        metadata["pdfuaid:part"] = "1"
    joined.docinfo["/Title"] = title
