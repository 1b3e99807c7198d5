"""The other reference tables: composition, keeping, vessels; and plain rows of the rest."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stillroom.base.files import Row, read_csv
from stillroom.tables.cells import Span, bad_cell, items, number, one_of, sources

# Tables that are handed out row by row: column names are those of the file's heading.
PLAIN = (
    "aw_limits", "composition", "conditioning_storage", "equivalents", "jar_fill", "jar_sizes",
    "kinetics", "mixes_and_powders", "packaging", "pickling", "produce_sizes", "rehydration",
    "sorption", "yields",
)  # fmt: skip


@dataclass(frozen=True)
class Composition:
    """One entry of an open food database; fractions [1], ``solids`` is one minus water."""

    food: str
    named: str
    form: str
    water: float
    sugar: float | None
    acid_class: str
    ph: Span | None
    db_id: str
    sources: tuple[str, ...]

    @property
    def solids(self) -> float:
        """Dry matter [1]."""
        return 1 - self.water


def composition(row: Row) -> Composition:
    """A row of composition.csv."""
    water, sugar = number(row, "water_g_per_100g"), number(row, "sugar_g")
    if water is None or not 0 <= water <= 100:
        raise bad_cell(row, "water_g_per_100g", "percent water from 0 to 100")
    low, high = number(row, "ph_low"), number(row, "ph_high")
    return Composition(
        row["food"], row["named"], row["form"], water / 100,
        None if sugar is None else sugar / 100,
        one_of(row, "acid_class", ("high-acid", "borderline", "low-acid")),
        None if low is None or high is None else (low, high), row["db_id"], sources(row),
    )  # fmt: skip


@dataclass(frozen=True)
class Vessel:
    """A jar size: ``ml`` near the brim, ``headspace_ml`` left empty above brine at half an inch."""

    id: str
    name: str
    ml: float
    headspace_ml: float
    words: tuple[str, ...]
    sources: tuple[str, ...]


def read_vessels(folder: Path) -> dict[str, Vessel]:
    """Jar sizes by id, smallest first as the file has them."""
    found = {}
    for row in read_csv(folder / "vessels.csv", ("id", "name", "ml", "headspace_ml", "words")):
        ml, head = number(row, "ml"), number(row, "headspace_ml")
        if ml is None or head is None or not 0 <= head < ml:
            raise bad_cell(row, "headspace_ml", "millilitres from 0 to below ml")
        found[row["id"]] = Vessel(
            row["id"], row["name"], ml, head, items(row, "words"), sources(row)
        )
    return found


def read_plain(folder: Path, name: str) -> tuple[Row, ...]:
    """The rows of one of the ``PLAIN`` tables.

    Raises:
        KeyError: no such table.
    """
    if name not in PLAIN:
        raise KeyError(f"{name} is not one of {', '.join(PLAIN)}")
    return tuple(read_csv(folder / f"{name}.csv", ()))
