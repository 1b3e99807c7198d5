"""Water activity held against every measured point and published pair; its part of the table.

A food's own isotherm is the same equation that the points of its paper were computed from, so the
rows of potato and onion check the code and the sugar part; the others test the estimate.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from statistics import median

from cases import DATA, rows

from stillroom.enrich.model import constants_for, model_table
from stillroom.science.activity import (
    MODEL_ERROR,
    activity_range,
    mixture_activity,
    sugar_activity,
)
from stillroom.science.balance import wet_basis
from stillroom.science.constants import Isotherm
from stillroom.science.range import exactly
from stillroom.tables.tables import tables

# What stands for a point's food: class for the table, and foods of ours (their mean is taken).
OURS = {
    "potato": ("starchy root", ("potato",)), "potato (crisps)": ("starchy root", ("potato",)),
    "onion": ("onion family", ("onion",)), "apple": ("fruit", ("apple",)),
    "date (Barhi)": ("fruit", ("date",)), "mango (pulp)": ("fruit", ("mango",)),
    "grape (raisin)": ("fruit", ("grape",)),
    "dried fruit (general)": ("fruit", ("apple", "plum", "apricot", "pear")),
    "cucumber (slices)": ("watery vegetable", ("cucumber",)),
    "biscuit": ("flour and grain", ("rice",)), "macaroni": ("flour and grain", ("rice",)),
    "flour": ("flour and grain", ("rice",)), "dried milk": ("milk powder", ("milk",)),
}  # fmt: skip
SUGARS = {"sucrose solution": (6.47, 342.3), "glucose solution": (2.25, 180.16),
          "fructose solution": (2.25, 180.16)}  # fmt: skip
# aw_limits.csv AW009 to AW012 (beuchat-cfw-1981): band of water activity, water taken [1], foods.
# Only AW009 states its moisture; the others are held at the usual end points of ours.
PAIRS = (
    ("AW009", "fruit", 0.60, 0.65, (0.15, 0.20), ("apple", "plum", "apricot", "pear")),
    ("AW010", "fruit", 0.65, 0.75, (0.20, 0.25), ("apple", "plum", "apricot", "fig")),
    ("AW011", "jerky", 0.75, 0.80, (0.22, 0.28), ("beef", "venison")),
    ("AW012", "dried vegetables", 0.20, 0.30, (0.04, 0.07), ("carrot", "green bean", "zucchini")),
)

# Points outside the range that is given, and our reading of why.
WHY = {
    **dict.fromkeys(("SO107", "SO108"), "vacuum and freeze dried dates; the basis is not explicit"),
    "SO131": "raisins, recalled; drier than the other fruit pairs at the same activity",
    "SO132": "crisps: a third is fat, and 1.5 % water is below where isotherms were measured",
    **dict.fromkeys(("SO133", "SO134"), "baked wheat goods, held against the isotherm of potato"),
    "AW011": "salt in jerky binds water; meat without it is taken, the safe side",
    **dict.fromkeys(
        ("SO027", "SO028", "SO029", "SO030", "SO031", "SO032", "SO037", "SO038", "SO043", "SO044",
         "SO049", "SO050"),
        "other potato isotherms, up to twice as damp at one activity; the estimate is on the safe "
        "side",
    ),
}  # fmt: skip


@dataclass(frozen=True)
class Point:
    """A published water activity beside the estimate, [1]; ``low``, ``high`` bound the range."""

    name: str
    food_class: str
    published: float
    likely: float
    low: float
    high: float

    @property
    def error(self) -> float:
        """Estimate less published: below 0 the food is damper than the estimate says (unsafe)."""
        return self.likely - self.published

    @property
    def held(self) -> bool:
        return self.low - 0.005 <= self.published <= self.high + 0.005


@cache
def _food(name: str) -> tuple[Isotherm, float]:
    """Isotherm and sugars as a share of the dry matter; of foods not dried, from their class."""
    row, constants = tables().foods[name], constants_for(name, tables())
    isotherm = constants.isotherm if constants else model_table().isotherms["drier"]
    assert isotherm is not None
    return isotherm, min(0.95, row.sugar_fraction / (1 - row.water_likely))


def _estimate(foods: tuple[str, ...], water: float, temp: float) -> tuple[float, float, float]:
    found = []
    for name in foods:
        isotherm, share = _food(name)
        spread = activity_range(exactly(water), share, isotherm, temp)
        found.append((mixture_activity(water, share, isotherm, temp), spread.low, spread.high))
    likely, low, high = (sum(part) / len(found) for part in zip(*found, strict=True))
    return likely, low, high


@cache
def points() -> tuple[Point, ...]:
    """Every point of sorption.csv and every food example of aw_limits.csv."""
    made = []
    for row in rows(DATA / "sorption_points.csv"):
        water, published = float(row["x_kg_kg_db"]), float(row["aw"])
        if row["food"] in SUGARS:
            norrish, molar = SUGARS[row["food"]]
            likely = sugar_activity(water, norrish, molar)
            made.append(Point(row["id"], "syrup", published, likely, likely, likely))
            continue
        name, foods = OURS[row["food"]]
        borrowed = row["source"] in ("chemkhi-2004-md", "mem-ratti") and name == "starchy root"
        name = "starchy root, two other isotherms" if borrowed else name
        temp = float(row["temp_lo_c"] or 25)
        made.append(Point(row["id"], name, published, *_estimate(foods, wet_basis(water), temp)))
    for name, food_class, low, high, waters, foods in PAIRS:
        for published, water in zip((low, high), waters, strict=True):
            made.append(Point(name, food_class, published, *_estimate(foods, water, 25)))
    return tuple(made)


def by_class() -> dict[str, list[Point]]:
    found: dict[str, list[Point]] = {}
    for point in points():
        found.setdefault(point.food_class, []).append(point)
    return found


def lines() -> list[str]:
    out = [
        "| water activity of | points | off by (median) | most too low | most too high | "
        "in the range given |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for name, group in sorted(by_class().items()):
        errors = [point.error for point in group]
        held = sum(point.held for point in group)
        out.append(
            f"| {name} | {len(group)} | {median(abs(e) for e in errors):.2f} | "
            f"{max(0.0, -min(errors)):.2f} | {max(0.0, *errors):.2f} | {held} of {len(group)} |"
        )
    out += [
        "",
        "“Too low” is the unsafe side: the food is damper than the estimate says. The range given "
        f"with each estimate adds {MODEL_ERROR:.2f} either way. Flour, grain and milk are no foods "
        "that this program dries; their points show how far a borrowed isotherm goes astray.",
    ]
    return out
