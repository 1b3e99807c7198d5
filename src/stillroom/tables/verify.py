"""Checks over knowledge/: every fault as file:line, what is wrong, and what is expected.

``verify()`` collects and never stops at the first fault. What a table's own reader refuses (a cell
that is not a number, a class that is not there) is reported the same way.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from pathlib import Path

from stillroom.base.files import Row, read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem, ProblemError
from stillroom.base.quantity import units
from stillroom.tables.cells import number, span, triple
from stillroom.tables.drying import read_drying
from stillroom.tables.food import CLASS_COLUMNS, FOOD_COLUMNS, Food
from stillroom.tables.portions import read_portions, read_refuse
from stillroom.tables.reference import composition, read_vessels
from stillroom.tables.source import KINDS
from stillroom.tables.tables import Tables, load_tables

# Columns that hold one number, by table; an empty cell is allowed.
_NUMBERS = {
    "aw_limits": ("aw_lo", "aw_hi"),
    "composition": ("water_g_per_100g", "total_solids_g", "sugar_g", "ph_low", "ph_high"),
    "drying": ("thickness_mm", "hours_low", "hours_high"),
    "equivalents": ("dried_amount", "dried_amount_max"),
    "jar_fill": ("produce_g_per_quart", "brine_ml_per_quart", "pack_fraction_g_per_ml"),
    "kinetics": ("air_temp_lo_c", "air_temp_hi_c", "deff_lo_m2_s", "deff_hi_m2_s", "time_lo_h",
                 "time_hi_h"),
    "packaging": ("wvtr_lo_g_m2_day", "wvtr_hi_g_m2_day"),
    "rehydration": ("water_volume", "soak_minutes", "soak_minutes_max", "gain_ratio"),
    "sorption": ("aw_lo", "aw_hi", "m0_kg_kg_db", "C", "K", "x_kg_kg_db", "aw"),
    "yields": ("fresh_amount", "dried_amount"),
}  # fmt: skip
# Pairs that must not fall, by table.
_RISING = {
    "aw_limits": (("aw_lo", "aw_hi"),),
    "composition": (("ph_low", "ph_high"),),
    "drying": (("hours_low", "hours_high"),),
    "equivalents": (("dried_amount", "dried_amount_max"),),
    "kinetics": (("air_temp_lo_c", "air_temp_hi_c"), ("time_lo_h", "time_hi_h")),
    "rehydration": (("soak_minutes", "soak_minutes_max"),),
    "sorption": (("aw_lo", "aw_hi"),),
}
# Count units that only the portions table uses.
_OWN_UNITS = {"leaf", "spear"}
_IDS = re.compile(r"[;|\s]+")


def verify(folder: Path | None = None) -> list[Problem]:
    """Every fault in the tables of a folder, in the order of files and lines.

    Args:
        folder: laid out as knowledge/; the program's own when not given.

    Returns:
        The faults; empty when all is well.
    """
    root = folder or knowledge_dir()
    found: list[Problem] = []
    tables = load_tables(root)
    parts: tuple[Callable[[], Iterable[Problem]], ...] = (
        lambda: _classes(root),
        lambda: _food_faults(tables),
        lambda: _words(root),
        lambda: _sources(tables),
        lambda: _cells(root),
        lambda: _food_names(root, tables),
        lambda: _portions(root),
        lambda: _readers(root, tables),
    )
    for part in parts:
        try:
            found.extend(part())
        except ProblemError as error:
            found.extend(error.problems)
    return sorted(set(found))


def _csv(root: Path) -> Iterator[tuple[str, list[Row]]]:
    for path in sorted(root.glob("*.csv")):
        yield path.stem, read_csv(path)


def _rows(root: Path, name: str, columns: Iterable[str] = ()) -> dict[str, Row]:
    return {row["id"]: row for row in read_csv(root / f"{name}.csv", columns)}


def _classes(root: Path) -> Iterator[Problem]:
    """Cells of classes.csv, those too that every food of the class fills for itself."""
    checks: tuple[tuple[Callable[[Row, str], object], tuple[str, ...]], ...] = (
        (number, ("temp_f", "temp_low_f", "temp_high_f", "conditioning_days",
                  "sugar_g_per_100g", "keeps_fresh_days")),
        (span, ("steam_min", "water_min", "hours", "keep_60f_months", "keep_70f_months",
                "keep_80f_months")),
        (triple, ("end_moisture_pct", "water_pct")),
    )  # fmt: skip
    for row in read_csv(root / "classes.csv", CLASS_COLUMNS):
        for check, columns in checks:
            for column in columns:
                try:
                    check(row, column)
                except ProblemError as error:
                    yield from error.problems


def _food_faults(tables: Tables) -> Iterator[Problem]:
    """What is wrong with a merged food: order of figures, look-alikes that are no food."""
    rows = _rows(tables.folder, "foods", FOOD_COLUMNS)
    for food in tables.foods.values():
        row = rows[food.id]
        for other in food.look_alikes:
            if other not in tables.foods:
                yield row.problem(
                    "unknown-food", f"{food.id} looks like {other!r}, which is no food.",
                    "Expected ids of foods.csv, separated by |.",
                )  # fmt: skip
        if row["water_pct"] and not row["water_source"]:
            yield row.problem(
                "no-source", f"{food.id} gives its water and no source.",
                "Fill water_source with an id of sources.csv.",
            )  # fmt: skip
        yield from _falling(row, food)


def _falling(row: Row, food: Food) -> Iterator[Problem]:
    """Keeping spans must not grow with heat, and the dried food must be drier than the fresh."""
    spans = [one for one in (food.keep_60f, food.keep_70f, food.keep_80f) if one]
    for cooler, warmer in pairwise(spans):
        if warmer[0] > cooler[0] or warmer[1] > cooler[1]:
            yield row.problem(
                "keeps-longer-warm", f"{food.id} would keep longer in a warmer place.",
                "Expected keep_60f_months at least keep_70f_months at least keep_80f_months.",
            )  # fmt: skip
    dried = food.end_moisture_likely
    if dried is not None and dried >= food.water_likely and food.group in ("vegetable", "fruit"):
        yield row.problem(
            "not-drier", f"{food.id} would hold as much water dried as fresh.",
            "Expected end_moisture_pct below water_pct.",
        )  # fmt: skip


def _words(root: Path) -> Iterator[Problem]:
    """A word that two foods claim, in foods.csv or between a food and what it is misheard as."""
    from stillroom.tables.food import read_foods

    rows = _rows(root, "foods", FOOD_COLUMNS)
    foods = read_foods(root)
    open_words = {row["word"] for row in read_csv(root / "ambiguous.csv", ("word", "foods"))}
    owner: dict[str, str] = {}
    for food in foods.values():
        for word in (*food.words, *food.misheard):
            first = owner.setdefault(word, food.id)
            if first != food.id and word not in open_words:
                yield rows[food.id].problem(
                    "word-clash", f"The word {word!r} means {first} already.",
                    "Take it from one of the two, or list it in ambiguous.csv.",
                )  # fmt: skip
    for row in read_csv(root / "ambiguous.csv", ("word", "foods")):
        for name in row["foods"].split("|"):
            if name not in foods:
                yield row.problem(
                    "unknown-food", f"{name!r} is no food.", "Expected ids of foods.csv."
                )


def _sources(tables: Tables) -> Iterator[Problem]:
    """Source ids that sources.csv lacks, in every table and column that names sources."""
    for row in read_csv(tables.folder / "sources.csv", ("id", "kind")):
        if row["kind"] not in KINDS:
            yield row.problem(
                "bad-kind", f"Source {row['id']} is of kind {row['kind']!r}.",
                f"Expected one of {', '.join(KINDS)}.",
            )  # fmt: skip
    known = set(tables.sources)
    for name, rows in _csv(tables.folder):
        if name == "sources":
            continue
        for row in rows:
            for column, cell in row.items():
                if column.endswith("source") or column == "sources":
                    yield from _unknown_ids(row, column, cell, known)


def _unknown_ids(row: Row, column: str, cell: str, known: set[str]) -> Iterator[Problem]:
    for one in _IDS.split(cell):
        if one and one not in known:
            yield row.problem(
                "unknown-source", f"Column {column} names the source {one!r}.",
                "Expected an id of sources.csv; add a row there for a new one.",
            )  # fmt: skip


def _cells(root: Path) -> Iterator[Problem]:
    """Cells that should hold a number, and pairs in the wrong order."""
    for name, columns in _NUMBERS.items():
        for row in read_csv(root / f"{name}.csv", columns):
            values: dict[str, float] = {}
            for column in columns:
                try:
                    if row[column]:
                        values[column] = float(row[column])
                except ValueError:
                    yield row.problem(
                        "bad-cell", f"Column {column} holds {row[column]!r}.",
                        "Expected a number such as 4.5, or nothing.",
                    )  # fmt: skip
            for low, high in _RISING.get(name, ()):
                if low in values and high in values and values[low] > values[high]:
                    yield row.problem(
                        "falling", f"{low} {row[low]} is above {high} {row[high]}.",
                        "Expected the lower figure first.",
                    )  # fmt: skip


def _food_names(root: Path, tables: Tables) -> Iterator[Problem]:
    """A ``food`` cell is empty or a canonical name, in the tables that keep the name as printed."""
    for _, rows in _csv(root):
        if not rows or not {"food", "named"} <= rows[0].keys():
            continue
        for row in rows:
            if row["food"] and row["food"] not in tables.foods:
                yield row.problem(
                    "unknown-food", f"{row['food']!r} is no food of foods.csv.",
                    "Expected a canonical name, or an empty cell with the name under named.",
                )  # fmt: skip


def _portions(root: Path) -> Iterator[Problem]:
    known = set(units()) | _OWN_UNITS
    for row in read_csv(root / "portions.csv", ("unit",)):
        if row["unit"] not in known:
            yield row.problem(
                "unknown-unit", f"The unit {row['unit']!r} is not known.",
                "Expected an id of units.csv, or leaf or spear.",
            )  # fmt: skip


def _readers(root: Path, tables: Tables) -> Iterator[Problem]:
    """What the typed readers refuse, each table on its own."""
    readers: tuple[Callable[[], object], ...] = (
        lambda: read_drying(root, tables.sources),
        lambda: read_portions(root, tables.foods),
        lambda: read_refuse(root),
        lambda: read_vessels(root),
        lambda: [composition(row) for row in read_csv(root / "composition.csv")],
    )
    for reader in readers:
        try:
            reader()
        except ProblemError as error:
            yield from error.problems
