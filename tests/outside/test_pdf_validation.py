"""Printed records and joined files held against ISO 14289-1 by an independent validator, veraPDF."""

import pytest

from competencies.printing.joining import join_pdfs
from competencies.printing.pdf import draw
from tests.competencies.printing.conftest import crowded, printed, printed_as_known_then
from tests.outside import pdf_validator

__all__ = ["crowded", "printed", "printed_as_known_then"]

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(bool(pdf_validator.missing()), reason=f"not installed: {pdf_validator.missing()}"),
]


@pytest.mark.parametrize("fixture", ["printed", "printed_as_known_then", "crowded"])
def test_record_is_pdf_ua_1(request, fixture, tmp_path):
    assert pdf_validator.faults(request.getfixturevalue(fixture).pdf, tmp_path / "record.pdf") == []


def test_joined_records_are_pdf_ua_1(printed, printed_as_known_then, tmp_path):
    joined = join_pdfs([printed.pdf, printed_as_known_then.pdf, printed.pdf], title="Progress records, 3 people")

    assert pdf_validator.faults(joined, tmp_path / "joined.pdf") == []


def test_validator_finds_an_untagged_file_wanting(printed, tmp_path):
    untagged = draw(printed.html).write_pdf()

    assert len(pdf_validator.faults(untagged, tmp_path / "untagged.pdf")) >= 3
