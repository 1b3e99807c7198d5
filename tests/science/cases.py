"""The published cases that the science is held against, read from tests/data."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from stillroom.science.constants import FoodConstants, ModelTable
from stillroom.science.drying import Dryer
from stillroom.science.loading import Piece, piece

DATA = Path(__file__).resolve().parent.parent / "data"
KNOWLEDGE = Path(__file__).resolve().parents[2] / "knowledge"
HOME_TEMP_C = 60.0
LOAD_AREA_M2 = (
    0.5  # a report gives kg and not the tray area: a small cabinet of five trays is taken
)


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@cache
def model_table() -> ModelTable:
    return ModelTable.from_rows(rows(KNOWLEDGE / "drying_model.csv"))


@cache
def fresh_water() -> dict[str, tuple[tuple[float, float, float], str, str]]:
    """Food -> (water range, class, group) from the shipped foods, as the program reads them."""
    from stillroom.tables.food import read_foods

    return {
        name: ((food.water_low, food.water_likely, food.water_high), food.food_class, food.group)
        for name, food in read_foods(KNOWLEDGE).items()
    }


def constants(
    food: str, food_class: str, table: ModelTable, w0: float | None = None, wf: float | None = None
) -> FoodConstants:
    water = fresh_water()[food][0] if food in fresh_water() else None
    if w0 is not None:
        water = (w0 - 0.01, w0, w0 + 0.01)
    end = None if wf is None else (wf * 0.95, wf, wf * 1.05)
    if end is None and food in fresh_water():
        cells = table.classes.get(food_class, {})
        end = None if cells else end
    return table.constants(food, food_class, food_class.removeprefix("any-"), water, end)


@dataclass(frozen=True)
class Case:
    """One published drying time."""

    name: str
    food: str
    food_class: str
    size: Piece
    dryer: Dryer
    low: float
    high: float
    held_out: bool
    source: str
    thickness: float
    w0: float | None = None
    wf: float | None = None
    load: float | None = None

    def food_constants(self, table: ModelTable) -> FoodConstants:
        return constants(self.food, self.food_class, table, self.w0, self.wf)

    @property
    def middle(self) -> float:
        return float((self.low * self.high) ** 0.5)


def _number(text: str) -> float | None:
    return float(text) if text else None


def _case(row: dict[str, str], low: str, high: str) -> Case:
    table = model_table()
    whole = _number(row.get("whole_mm", "")) or table.sizes.get(row["food"], 0.0)
    size = piece(row["cut"], _number(row["thickness_mm"]), whole)
    load = _number(row.get("load_kg", ""))
    dryer = Dryer(
        float(row["temp_c"] or HOME_TEMP_C),
        kind=row["dryer"],
        air_speed=_number(row.get("air_speed", "")),
    )
    return Case(
        row["id"], row["food"], row["food_class"], size, dryer, float(low), float(high),
        row["held_out"] == "yes", row["source"], size.size_mm,
        _number(row.get("w0", "")), _number(row.get("wf", "")),
        None if load is None or dryer.kind == "laboratory" else load / LOAD_AREA_M2,
    )  # fmt: skip


@cache
def home_hours() -> tuple[Case, ...]:
    return tuple(
        _case(row, row["hours_low"], row["hours_high"])
        for row in rows(DATA / "drying_hours.csv")
        if not row["left_out"]
    )


@cache
def timed_reports() -> tuple[Case, ...]:
    return tuple(
        _case(row, row["hours"], row["hours_high"]) for row in rows(DATA / "drying_reports.csv")
    )
