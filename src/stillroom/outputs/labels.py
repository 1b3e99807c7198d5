"""Labels for jars, tins and bags as PDF: boxes on sheets, circles for lids."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from stillroom.outputs.label_sheets import PAGES_MM, Sheet, sheet_for
from stillroom.outputs.sheets import cannot_write

_MM = 72 / 25.4
_LEAST = 4.5
_LARGEST = 13.0


@dataclass(frozen=True)
class LabelRecord:
    """What one label says.

    Args:
        title: food and form, such as "Courgette powder".
        lines: date, batch, best-by, net mass, hint; the last are left out where there is no room.
        urgent: a line that must stand out, such as "Keep refrigerated"; never left out.
        must: lines that are never left out, such as allergens.
    """

    title: str
    lines: tuple[str, ...] = ()
    urgent: str = ""
    must: tuple[str, ...] = ()


@cache
def _fonts() -> tuple[str, str]:
    """Body and bold font that have accented letters: those that come with the library."""
    import reportlab
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    folder = Path(reportlab.__file__).parent / "fonts"
    pdfmetrics.registerFont(TTFont("label", str(folder / "Vera.ttf")))
    pdfmetrics.registerFont(TTFont("label-bold", str(folder / "VeraBd.ttf")))
    return "label", "label-bold"


def _split(text: str, font: str, size: float, width: float) -> list[str]:
    """Words in rows no wider than ``width`` points; a word too long is broken."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    rows: list[str] = []
    row = ""
    for word in text.split():
        while stringWidth(word, font, size) > width and len(word) > 1:
            cut = next(
                n for n in range(len(word) - 1, 0, -1)
                if n == 1 or stringWidth(word[:n], font, size) <= width
            )  # fmt: skip
            rows += [row] if row else []
            rows.append(word[:cut])
            row, word = "", word[cut:]  # the rest of the word goes on
        longer = f"{row} {word}".strip()
        if stringWidth(longer, font, size) <= width:
            row = longer
        else:
            rows, row = [*rows, row], word
    return [*rows, row] if row else rows


Row = tuple[str, str, float]
"""Text, font, size."""
_LEADING = 1.2


def _rows(lines: Sequence[str], font: str, size: float, width: float) -> list[Row]:
    return [(text, font, size) for line in lines for text in _split(line, font, size, width)]


def _tall(rows: Sequence[Row]) -> float:
    return sum(row[2] * _LEADING for row in rows)


def _set(record: LabelRecord, width: float, height: float) -> list[Row]:
    """Rows at the largest size at which all of them fit; at the least size some are left out.

    What must be read (``urgent``, ``must``) always stays: other lines go first, the last of them
    before the others, then the end of a title that is longer than any name.
    """
    body, bold = _fonts()
    size = _LARGEST
    while True:
        title = _rows([record.title], bold, size * 1.25, width)
        urgent = _rows([record.urgent] if record.urgent else [], bold, size, width)
        must = _rows(record.must, body, size, width)
        lines = _rows(record.lines, body, size, width)
        if _tall([*title, *urgent, *must, *lines]) <= height:
            return [*title, *urgent, *lines, *must]
        if size <= _LEAST:
            break
        size -= 0.25
    while lines and _tall([*title, *urgent, *must, *lines]) > height:
        lines.pop()
    while len(title) > 1 and _tall([*title, *urgent, *must]) > height:
        title.pop()
        title[-1] = (title[-1][0].rstrip(" ,;") + "…", *title[-1][1:])
    return [*title, *urgent, *lines, *must]


def _draw(canvas: Any, record: LabelRecord, sheet: Sheet, index: int, page_height: float) -> None:
    left, top = (value * _MM for value in sheet.place(index))
    width, height = sheet.width_mm * _MM, sheet.height_mm * _MM
    inset = 0.15 * width if sheet.shape == "circle" else 3 * _MM
    if sheet.shape == "circle":
        canvas.setLineWidth(0.3)
        canvas.circle(left + width / 2, page_height - top - height / 2, width / 2)
    elif sheet.name.startswith("plain"):
        canvas.setLineWidth(0.3)
        canvas.rect(left, page_height - top - height, width, height)
    rows = _set(record, width - 2 * inset, height - 2 * inset)
    y = page_height - top - inset
    if sheet.shape == "circle":
        y -= max(0.0, (height - 2 * inset - _tall(rows)) / 2)
    for text, font, size in rows:
        y -= size * _LEADING
        if y < page_height - top - height:
            return
        canvas.setFont(font, size)
        if sheet.shape == "circle":
            canvas.drawCentredString(left + width / 2, y, text)
        else:
            canvas.drawString(left + inset, y, text)


def write_labels(path: Path, records: Iterable[LabelRecord], sheet_name: str) -> int:
    """Write labels to a PDF file.

    Args:
        path: file to write.
        records: one a label.
        sheet_name: a name of knowledge/label_sheets.csv.

    Returns:
        Pages written; one empty page when there are no labels.

    Raises:
        ProblemError: there is no such sheet, or the file cannot be written.
    """
    from reportlab.pdfgen.canvas import Canvas

    sheet = sheet_for(sheet_name)
    width, height = (value * _MM for value in PAGES_MM[sheet.page])
    canvas = Canvas(str(path), pagesize=(width, height))
    canvas.setTitle("Stillroom labels")
    per_page = sheet.columns * sheet.rows
    count = 0
    for index, record in enumerate(records):
        count = index + 1
        if index and index % per_page == 0:
            canvas.showPage()
        _draw(canvas, record, sheet, index, height)
    canvas.showPage()
    try:
        canvas.save()
    except OSError as error:
        raise cannot_write(path, error) from error
    return max(1, -(-count // per_page))
