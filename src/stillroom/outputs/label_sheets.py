"""Label sheets by their measurements, from knowledge/label_sheets.csv."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem, ProblemError

_FIGURES = ("width_mm", "height_mm", "left_mm", "top_mm", "gap_x_mm", "gap_y_mm")
PAGES_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


@dataclass(frozen=True)
class Sheet:
    """A page with a grid of labels; lengths in mm, the origin at the top left."""

    name: str
    page: str
    shape: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    gap_x_mm: float
    gap_y_mm: float

    def place(self, index: int) -> tuple[float, float]:
        """Left and top edge [mm] of a label on its page, counted in rows."""
        row, column = divmod(index % (self.columns * self.rows), self.columns)
        return (
            self.left_mm + column * (self.width_mm + self.gap_x_mm),
            self.top_mm + row * (self.height_mm + self.gap_y_mm),
        )

    @property
    def fits(self) -> bool:
        """Whether the last label lies on the page."""
        left, top = self.place(self.columns * self.rows - 1)
        width, height = PAGES_MM[self.page]
        return left + self.width_mm <= width + 0.1 and top + self.height_mm <= height + 0.1


@cache
def sheets() -> dict[str, Sheet]:
    """Every sheet by name."""
    rows = read_csv(
        knowledge_dir() / "label_sheets.csv",
        ("name", "page", "shape", "columns", "rows", *_FIGURES),
    )
    return {
        row["name"]: Sheet(
            row["name"], row["page"], row["shape"], int(row["columns"]), int(row["rows"]),
            *(float(row[name]) for name in _FIGURES),
        )
        for row in rows
    }  # fmt: skip


def sheet_for(name: str) -> Sheet:
    """The sheet of a name.

    Raises:
        ProblemError: there is none.
    """
    found = sheets().get(name)
    if found is None:
        raise ProblemError(
            Problem(name="no-sheet", text=f"There is no label sheet {name!r}.",
                    remedy=f"Choose one of {', '.join(sheets())}.")
        )  # fmt: skip
    return found
