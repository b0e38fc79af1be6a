"""Paper: the sheets that WeasyPrint makes of print.html, tokens.css and print.css."""

import logging

import pytest
from django.conf import settings
from django.template import engines
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration

from competencies.vocabulary import Standing

A4_PX = (210 / 25.4 * 96, 297 / 25.4 * 96)  # ISO 216: 210 mm by 297 mm; a CSS pixel is 1/96 inch
STYLES = settings.BASE_DIR / "static" / "css"

SOURCE = """{% extends "print.html" %}
{% block title %}Progress record{% endblock %}
{% block running_title %}Maren Oduya (41207){% endblock %}
{% block main %}
  {% include "components/print_head.html" with title="Progress record" code="Q-3" pairs=pairs only %}
  {% include "components/caution.html" with points=hazards only %}
  {% include "components/progress.html" with done=43 total=72 unit="credits" only %}
  {% include "components/table.html" with id="tasks" caption="Tasks" heads=heads rows=rows only %}
  {% include "components/ink_lines.html" with lines=lines only %}
{% endblock %}"""


@pytest.fixture(scope="module")
def sheets():
    rows = [[{"text": "Measure the double seam", "code": "PK-07"}, {"standing": one}] for one in list(Standing) * 4]
    context = {
        "plant": {"name": "Tidewater Malthouse Drinks"},
        "pairs": [("Name", "Maren Oduya")],
        "hazards": ["Cut edges are sharp."],
        "heads": ["Task", "Standing"],
        "rows": rows,
        "lines": ["Trainee", "Coordinator"],
        "check_code": "7K2M-41QF",
    }
    html = engines["django"].from_string(SOURCE).render(context)
    fonts = FontConfiguration()
    styles = [CSS(filename=STYLES / name, font_config=fonts) for name in ("tokens.css", "print.css")]
    return HTML(string=html).render(stylesheets=styles, font_config=fonts)


def words_of(sheet):
    boxes = sheet._page_box.descendants()
    return " ".join(" ".join(box.text for box in boxes if getattr(box, "text", None)).split())


def test_sheets_are_upright_a4(sheets):
    assert len(sheets.pages) >= 2
    assert {(round(sheet.width, 1), round(sheet.height, 1)) for sheet in sheets.pages} == {
        tuple(round(side, 1) for side in A4_PX)
    }


def test_every_sheet_says_whose_it_is_and_which_of_how_many(sheets):
    for number, sheet in enumerate(sheets.pages, start=1):
        words = words_of(sheet)
        assert f"Page {number} of {len(sheets.pages)}" in words
        assert "Tidewater Malthouse Drinks" in words
        assert "Maren Oduya (41207)" in words
        assert "Check code 7K2M-41QF" in words


def test_a_table_repeats_its_heads_on_the_next_sheet(sheets):
    assert "Task Standing" in words_of(sheets.pages[0])
    assert "Task Standing" in words_of(sheets.pages[1])


def test_every_standing_is_a_word_on_paper(sheets):
    words = " ".join(words_of(sheet) for sheet in sheets.pages)

    assert all(word in words for word in ("In force", "Lapsed", "Restricted by age", "Awaiting second signature"))


def test_nothing_on_paper_is_smaller_than_nine_points(sheets):
    sizes = {
        round(box.style["font_size"] * 72 / 96, 2)
        for sheet in sheets.pages
        for box in sheet._page_box.descendants()
        if getattr(box, "text", "").strip()
    }

    assert min(sizes) >= 9


def test_the_style_sheet_for_paper_says_nothing_that_is_not_understood(caplog):
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        CSS(filename=STYLES / "print.css")

    assert caplog.messages == []
