"""Joining: the sheets of many people in one file, each with its own tags, bookmarks and count of pages."""

from io import BytesIO

import pikepdf
import pypdfium2
import pytest
from pikepdf import Name

from competencies.printing.joining import join_pdfs
from competencies.printing.pdf import render_pdf
from tests.competencies.printing.test_structure import elements, headers_of, of_type

PAGE = """<html lang="en-gb"><title>One</title><body><h1>{name}</h1>
<table><thead><tr><th>Task</th><th>Day</th></tr></thead><tbody>{rows}</tbody></table>
<p><a href="https://example.org/{name}">{name}</a></p></body></html>"""
NAMES = ["Ana", "Ben", "Chen"]


@pytest.fixture(scope="module")
def singles():
    rows = "".join(f"<tr><td>PK-{number:02}</td><td>{number}</td></tr>" for number in range(60))
    return [render_pdf(PAGE.format(name=name, rows=rows)) for name in NAMES]


@pytest.fixture
def joined(singles):
    with pikepdf.open(BytesIO(join_pdfs(singles, title="Records, 3 people"))) as pdf:
        yield pdf


def counts(pdf):
    names = [str(element.S) for element in elements(pdf.Root.StructTreeRoot)]
    return {name: names.count(name) for name in set(names)}


def test_joined_file_has_all_pages_in_order(singles, joined):
    pages = [len(pypdfium2.PdfDocument(single)) for single in singles]
    out = BytesIO()
    joined.save(out)
    texts = [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(out.getvalue())]

    assert len(joined.pages) == sum(pages)
    assert [name for text in texts for name in NAMES if text.startswith(name)] == NAMES


def test_joined_file_keeps_every_tag(singles, joined):
    alone = [pikepdf.open(BytesIO(single)) for single in singles]
    expected = {}
    for single in alone:
        for name, count in counts(single).items():
            expected[name] = expected.get(name, 0) + count
        single.close()

    assert counts(joined) == expected
    assert bool(joined.Root.MarkInfo.Marked)
    assert str(joined.Root.Lang) == "en-gb"


def test_each_mark_of_a_page_leads_to_an_element_of_that_page(joined):
    """ISO 32000-1, 14.7.4.4: the parent tree maps a page's key to the element of each of its marks."""
    numbers = joined.Root.StructTreeRoot.ParentTree.Nums
    parents = dict(zip([int(key) for key in numbers[::2]], numbers[1::2], strict=True))

    keys = [int(page.obj.StructParents) for page in joined.pages]
    assert len(set(keys)) == len(joined.pages)
    for page, key in zip(joined.pages, keys, strict=True):
        marked = [element for element in parents[key] if element is not None]
        assert marked
        assert {element.Pg.objgen for element in marked} == {page.obj.objgen}


def test_every_element_is_the_child_of_its_parent(joined):
    root = joined.Root.StructTreeRoot

    for element in elements(root):
        assert element.P.objgen == root.objgen or element.P.Type == Name.StructElem


def test_links_lead_back_to_their_elements(joined):
    numbers = joined.Root.StructTreeRoot.ParentTree.Nums
    parents = dict(zip([int(key) for key in numbers[::2]], numbers[1::2], strict=True))
    links = [link for page in joined.pages for link in page.obj.get("/Annots", [])]

    assert len(links) == len(NAMES)
    assert [str(parents[int(link.StructParent)].S) for link in links] == ["/Link"] * len(NAMES)
    assert [str(link.A.URI) for link in links] == [f"https://example.org/{name}" for name in NAMES]


def test_cells_still_name_their_heads(joined):
    heads = {str(head.ID) for head in of_type(joined, Name.TH)}

    cells = of_type(joined, Name.TD)
    assert len(cells) == 3 * 120
    assert all(headers_of(cell) and headers_of(cell) <= heads for cell in cells)
    assert len(heads) == len(of_type(joined, Name.TH))


def test_bookmarks_lead_to_each_persons_first_page(singles, joined):
    pages = [len(pypdfium2.PdfDocument(single)) for single in singles]
    with joined.open_outline() as outline:
        found = [(item.title, item.destination[0]) for item in outline.root]

    places = [
        next(n for n, page in enumerate(joined.pages) if page.obj.objgen == target.objgen) for _, target in found
    ]
    assert [title for title, _ in found] == NAMES
    assert places == [0, pages[0], pages[0] + pages[1]]


def test_title_and_claim_are_kept(joined):
    metadata = joined.open_metadata()

    assert metadata["dc:title"] == "Records, 3 people"
    assert metadata["pdfuaid:part"] == "1"
    assert bool(joined.Root.ViewerPreferences.DisplayDocTitle)


def test_nothing_to_join_is_refused():
    with pytest.raises(ValueError, match="nothing to join"):
        join_pdfs([], title="x")
