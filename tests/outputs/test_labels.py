"""Label sheets and PDF labels, read back with pypdf: a second library, not the one that wrote."""

from __future__ import annotations

import shutil
import subprocess
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader

from stillroom.base.problem import ProblemError
from stillroom.outputs.label_sheets import PAGES_MM, Sheet, sheet_for, sheets
from stillroom.outputs.labels import LabelRecord, write_labels

MM = 72 / 25.4
LONG = LabelRecord(
    "Lemon verbena and fennel seed seasoning, crème-brûlée style, finely powdered",
    ("Best by 2027-02-14", "Packed 2026-08-14, batch lemon-verbena-12", "Net 290 g (10.2 oz)",
     "Soak in three times its volume of hot water for 20 minutes"),
    "Keep refrigerated", ("Contains CELERY, MILK, EGG",),
)  # fmt: skip
SHORT = LabelRecord("Jalapeño rings", ("Best by 2027-02-14", "Net 25 g"))
EVERY = sorted(sheets())


def words(path: Path, page: int = 0) -> str:
    return " ".join(PdfReader(path).pages[page].extract_text().split())


@pytest.mark.parametrize("name", EVERY)
def test_every_sheet_lies_on_its_page(name: str) -> None:
    sheet = sheets()[name]
    assert sheet.fits
    assert min(sheet.left_mm, sheet.top_mm) >= 0


@pytest.mark.parametrize("name", EVERY)
def test_labels_of_a_sheet_do_not_overlap(name: str) -> None:
    sheet = sheets()[name]
    places = [sheet.place(index) for index in range(sheet.columns * sheet.rows)]
    assert len(set(places)) == sheet.columns * sheet.rows
    for (left, top), (other_left, other_top) in pairwise(places):
        apart = abs(other_left - left) >= sheet.width_mm - 1e-6
        assert apart or abs(other_top - top) >= sheet.height_mm - 1e-6


def test_sheet_that_runs_over_its_page_is_seen() -> None:
    wide = Sheet("wide", "A4", "box", 3, 8, 80, 37, 0, 0, 0, 0)
    tall = Sheet("tall", "Letter", "box", 1, 8, 60, 37, 0, 0, 0, 0)
    assert not wide.fits
    assert not tall.fits


def test_unknown_sheet_lists_those_there_are(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="a4-3x8") as caught:
        write_labels(tmp_path / "x.pdf", [SHORT], "a4-9x9")
    assert caught.value.problems[0].name == "no-sheet"
    assert not (tmp_path / "x.pdf").exists()


@pytest.mark.parametrize("name", EVERY)
def test_pages_have_the_size_and_count_of_the_sheet(name: str, tmp_path: Path) -> None:
    sheet = sheet_for(name)
    count = 2 * sheet.columns * sheet.rows + 1
    assert write_labels(tmp_path / "x.pdf", [SHORT] * count, name) == 3
    pages = PdfReader(tmp_path / "x.pdf").pages
    assert len(pages) == 3
    width, height = PAGES_MM[sheet.page]
    for page in pages:
        assert float(page.mediabox.width) == pytest.approx(width * MM, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(height * MM, abs=0.01)
    told = [page.extract_text().count("Best by") for page in pages]
    assert told == [sheet.columns * sheet.rows] * 2 + [1]


@pytest.mark.parametrize("name", EVERY)
def test_accents_and_every_line_can_be_read_back(name: str, tmp_path: Path) -> None:
    write_labels(tmp_path / "x.pdf", [LONG], name)
    text = words(tmp_path / "x.pdf")
    for part in ("crème-brûlée", "Keep refrigerated", "Contains CELERY, MILK, EGG",
                 "Best by 2027-02-14", "lemon-verbena-12", "290 g"):  # fmt: skip
        assert part in text


@pytest.mark.parametrize("name", EVERY)
def test_text_stays_inside_its_label(name: str, tmp_path: Path) -> None:
    """Every stretch of text starts inside a label and ends there, by the font's own widths."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    sheet = sheet_for(name)
    write_labels(tmp_path / "x.pdf", [LONG, SHORT] * (sheet.columns * sheet.rows // 2), name)
    page_height = PAGES_MM[sheet.page][1] * MM
    boxes = [sheet.place(index) for index in range(sheet.columns * sheet.rows)]
    seen: list[tuple[str, float, float, float, bool]] = []

    def visit(text: str, _cm: object, matrix: list[float], font: object, size: float) -> None:
        if text.strip():
            bold = "Bold" in str(dict(font).get("/BaseFont", "")) if font else False  # type: ignore[call-overload] # a PDF dictionary
            seen.append((text.strip("\n"), matrix[4], matrix[5], size, bold))

    PdfReader(tmp_path / "x.pdf").pages[0].extract_text(visitor_text=visit)
    assert len(seen) > len(boxes)
    for text, x, y, size, bold in seen:
        end = x + stringWidth(text, "label-bold" if bold else "label", size)
        top = page_height - y
        assert any(
            left * MM - 0.1 <= x and end <= (left + sheet.width_mm) * MM + 0.1
            and upper * MM <= top - 0.5 * size and top <= (upper + sheet.height_mm) * MM
            for left, upper in boxes
        ), f"{text!r} lies outside every label"  # fmt: skip


def test_names_that_never_end_give_way_to_what_must_be_read(tmp_path: Path) -> None:
    endless = LabelRecord("Plum and " * 60, LONG.lines, LONG.urgent, LONG.must)
    for name in EVERY:
        write_labels(tmp_path / "x.pdf", [endless], name)
        text = words(tmp_path / "x.pdf")
        assert "Keep refrigerated" in text
        assert "Contains CELERY, MILK, EGG" in text


def test_a_word_wider_than_the_label_is_broken(tmp_path: Path) -> None:
    write_labels(tmp_path / "x.pdf", [LabelRecord("Rhubarb" * 12)], "lid-a4")
    assert words(tmp_path / "x.pdf").replace(" ", "") == "Rhubarb" * 12


def test_circles_are_drawn_for_lids_alone(tmp_path: Path) -> None:
    for name, curves in (("lid-a4", True), ("plain-a4", False), ("a4-3x8", False)):
        write_labels(tmp_path / "x.pdf", [SHORT], name)
        content = PdfReader(tmp_path / "x.pdf").pages[0].get_contents()
        assert content is not None
        assert (b" c\n" in content.get_data() or b" c " in content.get_data()) is curves


def test_no_labels_make_one_empty_page(tmp_path: Path) -> None:
    assert write_labels(tmp_path / "x.pdf", [], "a4-3x8") == 1
    assert words(tmp_path / "x.pdf") == ""


def test_a_place_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="Cannot be written"):
        write_labels(tmp_path / "no" / "x.pdf", [SHORT], "a4-3x8")


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="needs poppler to render")
def test_rendered_page_has_ink_in_each_label(tmp_path: Path) -> None:
    """Rendered at 36 dpi by poppler: dark spots in every label, none between the rows."""
    sheet = sheet_for("letter-2x5")
    write_labels(tmp_path / "x.pdf", [LONG, SHORT] * 5, "letter-2x5")
    subprocess.run(
        ["pdftoppm", "-gray", "-r", "36", str(tmp_path / "x.pdf"), str(tmp_path / "p")], check=True
    )
    data = (tmp_path / "p-1.pgm").read_bytes()
    _, size, _, pixels = data.split(b"\n", 3)
    width = int(size.split()[0])
    scale = 36 / 25.4
    for index in range(10):
        left, top = sheet.place(index)
        rows = range(int((top + 2) * scale), int((top + 40) * scale))
        across = slice(int((left + 2) * scale), int((left + 90) * scale))
        assert any(min(pixels[row * width :][across]) < 160 for row in rows), f"label {index}"
    assert min(pixels[: int(10 * scale) * width]) == 255, "the margin above stays white"
