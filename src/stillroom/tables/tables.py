"""The way into knowledge/: typed rows, read when first asked for.

    from stillroom.tables.tables import Food, Source, Tables, load_tables, tables

    tables()                    the shipped tables, read once (load_tables for others)
    tables().foods              {food id: Food}: one row a canonical food, merged with its class
    tables().food_words         {lower-case word: food id}; plurals and regional names are there
    tables().ambiguous          {word: food ids}: a word that means several foods and is asked about
    tables().sources            {source id: Source}; Source.line is a line for the screen
    tables().drying("plum")     every source's drying row, best first; disagreement stays visible
    tables().drying_hours("plum", "halved")     the best published row for a cut
    tables().portion_g("tomato", "bushel")      grams to a ml (volumes) or to a piece (counts)
    tables().loss("apple", ["peeled", "cored"]) fraction that preparation takes off
    tables().composition("plum")                entries of open food databases
    tables().vessels            {id: Vessel}: jar sizes in ml
    tables().rows("yields", "plum")             plain rows of the tables named in reference.PLAIN

A ``Food`` holds typed fields: temperatures in deg C, water, sugar and end moisture as fractions on
the wet basis, times in minutes or hours, keeping spans in months. What a field rests on:
``Food.sources_for("temperature_c")``. Nothing is read before it is asked for, so a call that needs
foods only pays for foods only.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from stillroom.base.files import Row, read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.tables.cells import items
from stillroom.tables.food import Food, read_foods
from stillroom.tables.source import Source, read_sources

if TYPE_CHECKING:
    from stillroom.tables.drying import Drying, DryingRow
    from stillroom.tables.portions import Figure, Portions, Refuse
    from stillroom.tables.reference import Composition, Vessel

__all__ = ["Food", "Source", "Tables", "load_tables", "tables"]


class Tables:
    """The tables of one folder; each attribute is read on first use and kept.

    Args:
        folder: a folder laid out as knowledge/.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._plain: dict[str, tuple[Row, ...]] = {}

    @cached_property
    def foods(self) -> dict[str, Food]:
        """Foods by canonical name."""
        return read_foods(self.folder)

    @cached_property
    def food_words(self) -> dict[str, str]:
        """Food id by lower-case word; ``misheard`` words are not here."""
        return {word: food.id for food in self.foods.values() for word in food.words}

    @cached_property
    def ambiguous(self) -> dict[str, tuple[str, ...]]:
        """Words that mean several foods, with those foods, the likeliest first."""
        rows = read_csv(self.folder / "ambiguous.csv", ("word", "foods", "note", "source"))
        return {row["word"]: items(row, "foods") for row in rows}

    @cached_property
    def sources(self) -> dict[str, Source]:
        """Sources by id."""
        return read_sources(self.folder)

    @cached_property
    def _drying(self) -> Drying:
        from stillroom.tables.drying import read_drying

        return read_drying(self.folder, self.sources)

    @cached_property
    def _portions(self) -> Portions:
        from stillroom.tables.portions import read_portions

        return read_portions(self.folder, self.foods)

    @cached_property
    def _refuse(self) -> Refuse:
        from stillroom.tables.portions import read_refuse

        return read_refuse(self.folder)

    @cached_property
    def vessels(self) -> dict[str, Vessel]:
        """Jar sizes by id."""
        from stillroom.tables.reference import read_vessels

        return read_vessels(self.folder)

    def drying(self, food: str) -> tuple[DryingRow, ...]:
        """Every source's drying row of a food, best first."""
        return self._drying.of(food)

    def drying_hours(
        self, food: str, cut: str = "", thickness_mm: float | None = None
    ) -> DryingRow | None:
        """The best modern row with hours for a cut and thickness [mm]; None when none is known."""
        return self._drying.hours(food, cut, thickness_mm)

    def portion_g(
        self,
        food: str,
        unit: str,
        size: str | None = None,
        cut: str | None = None,
        form: str | None = None,
    ) -> Figure | None:
        """Grams to one SI unit of an amount: g/ml for a volume unit, g a piece for a count unit.

        >>> tables().portion_g("plum", "count").likely
        66.0
        """
        return self._portions.portion_g(food, unit, size, cut, form)

    def density(self, food: str, form: str = "raw", cut: str = "") -> Figure | None:
        """How a food fills a measure or a jar [g/ml]."""
        return self._portions.density(food, form, cut)

    def loss(self, food: str, preps: Iterable[str]) -> Figure:
        """The fraction of the bought weight that these steps take off [1]."""
        return self._refuse.loss(food, preps)

    def composition(self, food: str, form: str = "") -> tuple[Composition, ...]:
        """Database entries of a food, of one form (raw, dried …) or of all."""
        from stillroom.tables.reference import composition

        rows = self.rows("composition", food)
        return tuple(composition(row) for row in rows if form in ("", row["form"]))

    def rows(self, name: str, food: str | None = None) -> tuple[Row, ...]:
        """Plain rows of a reference table, of one food or of all.

        Raises:
            KeyError: the table is not one of ``reference.PLAIN``.
        """
        from stillroom.tables.reference import read_plain

        if name not in self._plain:
            self._plain[name] = read_plain(self.folder, name)
        rows = self._plain[name]
        return rows if food is None else tuple(row for row in rows if row.get("food") == food)


def load_tables(folder: Path | None = None) -> Tables:
    """The tables of a folder, or of the program's own knowledge/ when none is given."""
    return Tables(folder or knowledge_dir())


@cache
def tables() -> Tables:
    """The program's own tables.

    >>> tables().foods["zucchini"].plural, tables().food_words["courgettes"]
    ('courgettes', 'zucchini')
    """
    return load_tables()
