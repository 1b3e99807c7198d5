"""The equations' constants for foods, from the tables and knowledge/drying_model.csv."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.science.constants import FoodConstants, ModelTable

if TYPE_CHECKING:
    from stillroom.tables.tables import Food, Tables


@cache
def model_table() -> ModelTable:
    """The drying model as shipped."""
    rows = read_csv(knowledge_dir() / "drying_model.csv", ("class", "name", "value", "source"))
    return ModelTable.from_rows(rows)


def _end(food: Food, cut: str | None) -> tuple[float, float, float] | None:
    """The end point from the tables; a puree's is its model class's (leather stays pliable)."""
    if cut == "pureed" or food.end_moisture_likely is None:
        return None
    low, high = food.end_moisture_low, food.end_moisture_high
    likely = food.end_moisture_likely
    return (likely if low is None else low, likely, likely if high is None else high)


_SHAPES = {"rings": "sliced", "pitted": "whole"}
"""Usual cuts of foods.csv that the equations know by another shape."""


def shape_of(food: Food, cut: str) -> str:
    """The cut whose shape the equations take: whole sprigs of a herb dry as their leaves do."""
    cut = _SHAPES.get(cut, cut)
    sprig = food.group == "herb" and cut == "whole" and food.id not in model_table().sizes
    return "leaves" if sprig else cut


def constants_for(name: str, tables: Tables, cut: str | None = None) -> FoodConstants | None:
    """What the equations need to know of a food; None when it has no water to lose.

    Args:
        name: canonical food name; one that the tables do not know gets its class's constants.
        tables: the knowledge tables.
        cut: the cut, because a puree ends leathery.
    """
    food = tables.foods.get(name)
    if food is None:
        return model_table().constants(name)
    water = (food.water_low, food.water_likely, food.water_high)
    end = _end(food, cut)
    if end is not None and end[1] >= water[1]:
        return None
    try:
        return model_table().constants(name, food.food_class, food.group, water, end)
    except ValueError:
        return None
