"""What stands in a PDF, read by a library that did not write it."""

import pypdfium2


def text_of(pdf: bytes) -> str:
    """Return the text of every page, one after the other."""
    document = pypdfium2.PdfDocument(pdf)
    return "\n".join(page.get_textpage().get_text_bounded() for page in document)
