"""Make the pictures of README.md anew: ``python tests/talk/pictures.py [folder]``.

A season of our own making is told to an empty home; the program then draws the drying curve and
sets the labels, and the labels' PDF is turned into a picture. Needs the extras ``dev``.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from stillroom.outputs.label_sheets import sheet_for

ROOT = Path(__file__).resolve().parents[2]
CALL = [sys.executable, "-m", "stillroom", "--measure", "metric"]
DRYING = (
    ("2026-08-20T08:00:00", "3 kg tomatoes, cored, sliced 6 mm, on 5 mesh trays at 60 C"),
    ("2026-08-20T10:00:00", "tomatoes weigh 2.05 kg"),
    ("2026-08-20T12:30:00", "tomatoes weigh 1.3 kg"),
    ("2026-08-20T14:30:00", "tomatoes weigh 790 g"),
)
PACKED = (
    ("2026-08-21T07:00:00", "tomatoes are leathery and dry, 195 g, into a litre jar to condition"),
    ("2026-08-28T09:00:00", "the tomatoes went into two half litre jars, lids on, in the cellar"),
    ("2026-08-29T08:00:00", "2 bunches of mint, leaves only, on fine mesh at 35 C"),
    ("2026-08-30T08:00:00", "the mint is crumbly, 40 g, put in a tin with the lid on, cupboard"),
    ("2026-09-01T08:00:00", "5 kg plums, halved, pitted, on 6 mesh trays at 57 C"),
    ("2026-09-02T18:00:00", "plums are leathery, 900 g, into two litre jars to condition"),
    ("2026-09-12T09:00:00", "the plums went into three half litre jars, lids on, in the cellar"),
)  # fmt: skip
NOW, SHEET = "2026-09-12T10:00:00", "a4-3x7"
DOTS_PER_MM = 5


def stillroom(home: str, *words: str, now: str = NOW) -> str:
    """One call of the program over the demo's home."""
    ran = subprocess.run(
        [*CALL, "--home", home, "--now", now, *words], text=True, capture_output=True,
        check=False, env={**os.environ, "COLUMNS": "80"},
    )  # fmt: skip
    if ran.returncode not in (0, 1):
        raise SystemExit(f"{words}: {ran.stderr}")
    return ran.stdout


def page_to_png(pdf: Path, png: Path) -> None:
    """The first page of a PDF as a picture, its upper part, with the edges of the labels."""
    import pypdfium2
    from PIL import Image, ImageChops, ImageDraw

    document = pypdfium2.PdfDocument(pdf)
    page = document[0].render(scale=DOTS_PER_MM * 25.4 / 72).to_pil().convert("L")
    document.close()
    blank = Image.new("L", page.size, 255)
    used = ImageChops.difference(page, blank).getbbox() or (0, 0, *page.size)
    sheet, draw = sheet_for(SHEET), ImageDraw.Draw(page)
    for index in range(sheet.columns * sheet.rows):
        left, top = (round(mm * DOTS_PER_MM) for mm in sheet.place(index))
        right, low = left + sheet.width_mm * DOTS_PER_MM, top + sheet.height_mm * DOTS_PER_MM
        draw.rounded_rectangle((left, top, right, low), 2 * DOTS_PER_MM, outline=200)
    bottom = min(page.height, used[3] + 10 * DOTS_PER_MM)
    part = page.crop((0, 0, page.width, bottom))
    ImageDraw.Draw(part).rectangle((0, 0, part.width - 1, part.height - 1), outline=120)
    part.quantize(16).save(png, optimize=True)


def main() -> None:
    """Tell the season and make both pictures."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "transcripts_demo" / "pictures"
    folder.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        for now, note in DRYING:
            stillroom(home, "tell", note, now=now)
        stillroom(home, "plot", "tomato-1", str(folder / "curve.png"), now=DRYING[-1][0])
        for now, note in PACKED:
            stillroom(home, "tell", note, now=now)
        pdf = Path(home, "labels.pdf")
        print(stillroom(home, "journal", "labels", str(pdf), "--sheet", SHEET), end="")
        page_to_png(pdf, folder / "labels.png")
    print(f"curve.png and labels.png written to {folder}.")


if __name__ == "__main__":
    main()
