"""Stock and batch history as CSV, read back."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from stillroom.base.problem import ProblemError
from stillroom.outputs.sheets import COLUMNS, write_sheet

STOCK: dict[str, Any] = {
    "batch": "chili-pepper-1", "food": "chili pepper", "form": "sliced", "vessel": "jar",
    "vessel_ml": 473, "count": 3, "remaining_g": 61.5, "place": 'larder, "top" shelf',
    "packed": "2026-08-20T09:00:00", "best_by": None, "seal": "vacuum",
}  # fmt: skip
BATCH: dict[str, Any] = {
    "name": "chili-pepper-1", "food": "chili pepper", "form": "sliced", "stage": "stored",
    "fresh_g": 640, "dry_g": 61.5, "loaded": "2026-08-12T08:00:00", "conditioning_day": None,
    "best_by": "2027-02-14",
}  # fmt: skip
VIEW = {"stock": [STOCK, {**STOCK, "place": "crème\nbrûlée"}], "batches": [BATCH]}


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize(("kind", "part"), [("stock", "stock"), ("history", "batches")])
def test_every_cell_comes_back(kind: str, part: str, tmp_path: Path) -> None:
    path = tmp_path / "out.csv"
    assert write_sheet(path, kind, VIEW) == len(VIEW[part])
    rows = read(path)
    assert tuple(rows[0]) == COLUMNS[kind]
    for row, item in zip(rows, VIEW[part], strict=True):
        for name in COLUMNS[kind]:
            assert row[name] == ("" if item.get(name) is None else str(item[name]))


def test_lines_end_as_rfc_4180_says(tmp_path: Path) -> None:
    write_sheet(tmp_path / "out.csv", "history", VIEW)
    data = (tmp_path / "out.csv").read_bytes()
    assert data.count(b"\r\n") == 2
    assert data.endswith(b"\r\n")


def test_an_empty_journal_gives_the_heading_alone(tmp_path: Path) -> None:
    assert write_sheet(tmp_path / "out.csv", "stock", {"stock": [], "batches": []}) == 0
    assert read(tmp_path / "out.csv") == []
    assert (tmp_path / "out.csv").read_text().startswith("batch,food,")


@settings(max_examples=60)
@example(place="=1+1")
@example(place="@shelf")
@given(place=st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20))
def test_any_place_comes_back_and_runs_no_formula(
    tmp_path_factory: pytest.TempPathFactory, place: str
) -> None:
    path = tmp_path_factory.getbasetemp() / "any.csv"
    write_sheet(path, "stock", {"stock": [{**STOCK, "place": place}]})
    (row,) = read(path)
    assert row["place"].removeprefix("'") == place.removeprefix("'")
    assert not row["place"].startswith(("=", "+", "-", "@"))


def test_a_negative_figure_stays_a_figure(tmp_path: Path) -> None:
    write_sheet(tmp_path / "out.csv", "stock", {"stock": [{**STOCK, "remaining_g": -1.5}]})
    assert read(tmp_path / "out.csv")[0]["remaining_g"] == "-1.5"


def test_a_place_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="Cannot be written"):
        write_sheet(tmp_path / "no" / "out.csv", "stock", VIEW)
