"""Reading a PDF: its words, and the boxes of its lines of text."""

from pypdfium2 import PdfPage

Box = tuple[float, float, float, float]
"""Left, bottom, right and top, points from the lower left corner."""


def words_of(page: PdfPage) -> str:
    """Return all text of a page."""
    text = page.get_textpage().get_text_bounded()
    return str(text)


def boxes(page: PdfPage) -> list[Box]:
    """Return the boxes of its pieces of text."""
    text = page.get_textpage()
    return [text.get_rect(number) for number in range(text.count_rects())]
