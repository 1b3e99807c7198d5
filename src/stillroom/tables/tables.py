"""The way into knowledge/: typed rows, read when first asked for.

    from stillroom.tables.tables import Food, Source, Tables, load_tables, tables

    tables()                    the shipped tables, read once (load_tables for others)
    tables().foods              {food id: Food}: one row a canonical food, merged with its class
    tables().food_words         {lower-case word: food id}; plurals and regional names are there
    tables().ambiguous          {word: food ids}: a word that means several foods and is asked about
    tables().sources            {source id: Source}; Source.line is a line for the screen

A ``Food`` holds typed fields: temperatures in deg C, water, sugar and end moisture as fractions on
the wet basis, times in minutes or hours, keeping spans in months. What a field rests on:
``Food.sources_for("temperature_c")``. Nothing is read before it is asked for, so a call that needs
foods only pays for foods only.
"""

from __future__ import annotations

from functools import cache, cached_property
from pathlib import Path

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.tables.cells import items
from stillroom.tables.food import Food, read_foods
from stillroom.tables.source import Source, read_sources

__all__ = ["Food", "Source", "Tables", "load_tables", "tables"]


class Tables:
    """The tables of one folder; each attribute is read on first use and kept.

    Args:
        folder: a folder laid out as knowledge/.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

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
