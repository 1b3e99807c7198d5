"""What the journal must know of foods, from the tables: the journal itself reads no tables."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from stillroom.base.statement import Statement
from stillroom.enrich.amounts import grams_of
from stillroom.enrich.packed import Pack, Store, keeping, pack_of
from stillroom.journal.records import FoodTraits, Knowhow
from stillroom.science.juice import JELLY_BATCH_ML
from stillroom.science.range import Range

if TYPE_CHECKING:
    from stillroom.tables.food import Food
    from stillroom.tables.tables import Tables

_PLIABLE = frozenset({"pliable", "leathery", "tender"})
_COLD_MONTHS = {"freezer": 12.0, "fridge": 6.0}
_PICKLE_DAYS = 30.0
_MONTH = 30.4
_NOT_KEEPING = frozenset({"batch", "packed", "shared"})
_ROOM_C, _ROOM_RH = 21.1, Range(0.35, 0.5, 0.65)
"""A store of which nothing is said; common practice."""


def knowhow(tables: Tables) -> Knowhow:
    """The journal's view of the tables."""
    traits = {
        food.id: FoodTraits(
            food.group, food.conditioning_days,
            bool(food.dryness) and food.dryness[0] in _PLIABLE,
        )
        for food in tables.foods.values()
    }  # fmt: skip

    def grams(statement: Statement, form: str | None, dried: bool) -> float | None:
        cut = statement.cut or form
        mass = grams_of(statement.having(cut=cut, dried=dried or statement.dried), tables)
        return None if mass is None else mass.likely

    found: dict[tuple[str, ...], float | None] = {}

    def keeping(line: Mapping[str, Any]) -> float | None:
        # asked for each jar many times in one answer; what it weighs and its name change nothing
        key = tuple(f"{name}={line[name]}" for name in sorted(line) if name not in _NOT_KEEPING)
        if key not in found:
            found[key] = _keeping_days(line, tables)
        return found[key]

    def allergen(food: str) -> str:
        from stillroom.tables.kitchen_use import kitchen_use

        return kitchen_use().food(food).allergen

    pairs = [
        ((food.id, None), (other, None))
        for food in tables.foods.values()
        for other in food.look_alikes
    ]
    return Knowhow(
        traits, grams, keeping, pairs, allergen, refresh_days=14, jelly_ml=JELLY_BATCH_ML
    )


def _keeping_days(line: Mapping[str, Any], tables: Tables) -> float | None:
    """Days that a stock line keeps: the food's months at its place, the low end."""
    if line.get("stage") == "refrigerated":
        return _PICKLE_DAYS
    food = tables.foods.get(str(line.get("food")))
    if food is None:
        return None
    place = str(line.get("place") or "")
    if place in _COLD_MONTHS:
        return _COLD_MONTHS[place] * _MONTH
    months = food.keep_60f if place in ("cellar", "larder") else food.keep_70f
    months = months or food.keep_60f or food.keep_80f
    if months is None:
        return None
    return months[0] * _MONTH * _packed_share(food, line, place, tables)


def _packed_share(food: Food, line: Mapping[str, Any], place: str, tables: Tables) -> float:
    """What the pack leaves of the keeping time: 1 in a jar that is shut and stands in the dark."""
    store = Store.at(place, _ROOM_C, _ROOM_RH)
    shut, said = keeping(food, tables, Pack(), store), keeping(food, tables, pack_of(line), store)
    return 1.0 if shut is None or said is None else said.likely / shut.likely
