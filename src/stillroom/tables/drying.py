"""Published drying rows: every source's own figure, ranked, so that disagreement stays visible."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from stillroom.base.files import Row, read_csv
from stillroom.base.quantity import to_celsius
from stillroom.tables.cells import Span, number, one_of, span
from stillroom.tables.source import Source

DRYING_COLUMNS = (
    "food", "named", "class", "prep", "cut", "thickness_mm", "pretreat", "pretreat_minutes",
    "temp_f", "hours_low", "hours_high", "dryness_test", "notes", "era", "heat", "form", "source",
)  # fmt: skip
_CUT_WORDS = {
    "whole": "whole", "halved": "hal", "quartered": "quarter", "sliced": "slice",
    "diced": "dice", "strips": "strip", "spears": "spear", "shredded": "grated",
    "chopped": "chopped", "leaves": "lea", "pureed": "sheet", "florets": "piece",
}  # fmt: skip


@dataclass(frozen=True)
class DryingRow:
    """One source's line about one food.

    Args:
        food: canonical name, empty for a food outside the list.
        named: the food as the source names it.
        cut: cut in the source's terms; ``thickness_mm`` [mm] where it is given.
        pretreat: the source's pretreatment; ``pretreat_min`` its minutes.
        temperature_c: low and high [deg C].
        hours: low and high [h].
        dryness_test: in words.
        era: modern or old (1917-1920: blanching and hours of another time).
        heat: dryer or oven.
        form: pieces, leather or jerky.
        rank: small is better.
    """

    food: str
    named: str
    prep: str
    cut: str
    thickness_mm: float | None
    pretreat: str
    pretreat_min: Span | None
    temperature_c: Span | None
    hours: Span | None
    dryness_test: str
    notes: str
    era: str
    heat: str
    form: str
    source: str
    rank: tuple[int, int, int, int]


def _row(row: Row, ranks: Mapping[str, Source]) -> DryingRow:
    low, high = number(row, "hours_low"), number(row, "hours_high")
    heat = span(row, "temp_f")
    source = ranks.get(row["source"])
    form = one_of(row, "form", ("pieces", "leather", "jerky"))
    return DryingRow(
        row["food"], row["named"], row["prep"], row["cut"], number(row, "thickness_mm"),
        row["pretreat"], span(row, "pretreat_minutes"),
        None if heat is None else (
            round(to_celsius(heat[0], "F"), 1), round(to_celsius(heat[1], "F"), 1)),
        None if low is None or high is None else (low, high),
        row["dryness_test"], row["notes"], row["era"], row["heat"], form, row["source"],
        (int(row["era"] == "old"), int(row["heat"] == "oven"), source.rank if source else 3,
         int(row["named"] != row["food"])),
    )  # fmt: skip


class Drying:
    """knowledge/drying.csv, by food."""

    def __init__(self, rows: Iterable[Row], known: Mapping[str, Source]) -> None:
        self._by: dict[str, list[DryingRow]] = {}
        for row in rows:
            self._by.setdefault(row["food"], []).append(_row(row, known))
        for found in self._by.values():
            found.sort(key=lambda item: item.rank)

    def of(self, food: str) -> tuple[DryingRow, ...]:
        """Every row of a food: modern before old, dryer before oven, read before recalled."""
        return tuple(self._by.get(food, ()))

    def hours(
        self, food: str, cut: str = "", thickness_mm: float | None = None
    ) -> DryingRow | None:
        """The best modern row with hours for a cut, the nearest thickness first; None if none.

        Only rows of dried pieces in a dryer count, and with a cut only rows that speak of it.
        """
        rows = [
            row for row in self.of(food)
            if row.hours and row.era == "modern" and row.heat == "dryer" and row.form == "pieces"
        ]  # fmt: skip
        if cut:
            word = _CUT_WORDS.get(cut, cut)
            rows = [row for row in rows if word in row.cut]

        def distance(row: DryingRow) -> tuple[float, tuple[int, ...]]:
            if thickness_mm is None or row.thickness_mm is None:
                return 0.0, row.rank
            return abs(row.thickness_mm - thickness_mm), row.rank

        return min(rows, key=distance, default=None)


def read_drying(folder: Path, known: Mapping[str, Source]) -> Drying:
    """The drying rows of a folder."""
    return Drying(read_csv(folder / "drying.csv", DRYING_COLUMNS), known)
