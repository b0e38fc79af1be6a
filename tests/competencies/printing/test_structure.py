"""The file itself: tagged as ISO 14289-1 (PDF/UA-1) asks, and nothing in it that should not be.

Where a rule is named it is ISO 14289-1:2014 or ISO 32000-1:2008, from memory of their clauses.
"""

import re
from decimal import Decimal
from itertools import pairwise

import pypdfium2
import pytest
import zxingcpp
from pikepdf import Array, Dictionary, Name

from competencies.printing.pdf import draw
from tests.competencies.printing.conftest import LONG_NAME

pytestmark = pytest.mark.django_db


def elements(tree):
    """Yield every structure element of a tree (ISO 32000-1, 14.7.2), depth first."""
    kids = tree.get("/K", [])
    for kid in kids if isinstance(kids, Array) else [kids]:
        if isinstance(kid, Dictionary) and "/S" in kid:
            yield kid
            yield from elements(kid)


def of_type(pdf, name):
    return [element for element in elements(pdf.Root.StructTreeRoot) if name == element.S]


def attributes(element):
    found = element.get("/A", [])
    return list(found) if isinstance(found, Array) else [found]


def descriptor_of(font):
    return font.DescendantFonts[0].FontDescriptor


def headers_of(cell):
    return {str(each) for attribute in attributes(cell) for each in attribute.get("/Headers", [])}


def test_file_is_tagged_titled_and_in_the_plants_language(printed):
    with printed.open() as pdf:
        metadata = pdf.open_metadata()

        assert bool(pdf.Root.MarkInfo.Marked)
        assert str(pdf.Root.Lang) == "en-gb"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert metadata["pdfuaid:part"] == "1"
        assert metadata["dc:title"] == f"Progress record, sheet {printed.proof.code}"


def test_file_says_nobodys_name_outside_its_pages(printed):
    with printed.open() as pdf:
        outside = str(pdf.docinfo) + str(pdf.open_metadata())

    assert "Tove" not in outside
    assert "Rhona" not in outside


def test_every_page_belongs_to_the_structure(printed):
    with printed.open() as pdf:
        assert all("/StructParents" in page.obj and page.obj.Tabs == Name.S for page in pdf.pages)


def test_headings_start_at_one_and_skip_no_level(printed):
    with printed.open() as pdf:
        levels = [
            int(str(element.S)[2:])
            for element in elements(pdf.Root.StructTreeRoot)
            if re.fullmatch(r"/H\d", str(element.S))
        ]

    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_table_has_heads_with_a_scope(printed):
    with printed.open() as pdf:
        tables, heads = of_type(pdf, Name.Table), of_type(pdf, Name.TH)
        scopes = [str(each.get("/Scope", "")) for head in heads for each in attributes(head)]
        named = {str(head.ID) for head in heads}
        unheaded = [cell for cell in of_type(pdf, Name.TD) if not named >= headers_of(cell)]

    assert len(tables) >= 9
    assert len(heads) >= 4 * len(tables)
    assert scopes == ["/Column"] * len(heads)
    assert unheaded == []


def test_every_figure_has_a_text(printed):
    with printed.open() as pdf:
        texts = [str(figure.get("/Alt", "")) for figure in of_type(pdf, Name.Figure)]

    assert len(texts) >= 1
    assert all(texts)
    assert printed.proof.address in texts[0]


def test_every_font_is_embedded_and_it_is_the_one_of_the_site(printed):
    with printed.open() as pdf:
        fonts = {str(font.BaseFont) for page in pdf.pages for font in page.obj.Resources.Font.values()}
        descriptors = [descriptor_of(font) for page in pdf.pages for font in page.obj.Resources.Font.values()]
        embedded = [any(str(key).startswith("/FontFile") for key in each.keys()) for each in descriptors]  # noqa: SIM118

    assert all("Source-Sans" in font.replace(" ", "-") or "SourceSans" in font for font in fonts), fonts
    assert all(embedded)


def test_nothing_is_attached_and_nothing_runs(printed):
    with printed.open() as pdf:
        assert len(pdf.attachments) == 0
        assert "/OpenAction" not in pdf.Root
        assert "/AA" not in pdf.Root
        assert "/AcroForm" not in pdf.Root


def test_square_code_on_paper_reads_as_the_check_address(printed):
    picture = pypdfium2.PdfDocument(printed.pdf)[0].render(scale=150 / 72).to_pil()

    codes = zxingcpp.read_barcodes(picture)

    assert [code.text for code in codes] == [printed.proof.address]


@pytest.mark.parametrize("fixture", ["printed", "crowded"])
def test_every_sheet_is_upright_a4_and_counted(request, fixture):
    record = request.getfixturevalue(fixture)

    with record.open() as pdf:
        boxes = {tuple(round(Decimal(side)) for side in page.mediabox) for page in pdf.pages}
    # ISO 216: 210 mm by 297 mm; a point is 1/72 inch.
    assert boxes == {(0, 0, round(210 / 25.4 * 72), round(297 / 25.4 * 72))}
    for number, text in enumerate(record.texts, start=1):
        assert f"Page {number} of {len(record.texts)}" in text
        assert record.proof.code in text
        assert "As it stood on" in text


@pytest.mark.parametrize("fixture", ["printed", "crowded"])
def test_nothing_is_cut_off_and_nothing_smaller_than_nine_points(request, fixture):
    document = draw(request.getfixturevalue(fixture).html)
    words = [
        (page.width, page.height, box)
        for page in document.pages
        for box in page._page_box.descendants()
        if getattr(box, "text", "").strip()
    ]

    left, right = (side / 25.4 * 96 for side in (18, 16))  # the sheet's side margins in millimetres
    assert len(words) > 100
    assert [box.text for width, _, box in words if box.position_x + box.width > width - right + 1] == []
    assert [box.text for _, _, box in words if box.position_x < left - 20] == []
    assert [box.text for _, height, box in words if box.position_y + box.height > height] == []
    assert min(box.style["font_size"] * 72 / 96 for _, _, box in words) >= 9


def test_columns_do_not_run_into_each_other(crowded):
    document = draw(crowded.html)
    cells = [
        box for page in document.pages for box in page._page_box.descendants() if type(box).__name__ == "TableCellBox"
    ]

    assert len(cells) > 500
    for cell in cells:
        right = cell.position_x + cell.border_width()
        words = [box for box in cell.descendants() if getattr(box, "text", "").strip()]
        assert [box.text for box in words if box.position_x + box.width > right + 1] == []


def test_long_table_repeats_its_heads(crowded):
    runs = [text for text in crowded.texts if "Watched and signed by" in text]

    assert len(crowded.texts) > 10
    assert len(runs) > 3


def test_long_name_is_whole(crowded):
    assert "".join(LONG_NAME.split()) in "".join(crowded.texts[0].split())
