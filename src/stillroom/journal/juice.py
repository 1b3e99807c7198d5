"""Juice drained or pressed off food: kept lot by lot, taken for jelly, added up through the season.

Juice is no batch: it is not dried. Its lots stand beside what is known of the kitchen, oldest
first. Salted juice is kept apart: it is no jelly stock (pk_mem_ext).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypedDict

from stillroom.journal.records import Deed
from stillroom.journal.world import World

KEY = "juice"
"""Where the lots stand among what is known of the kitchen."""
DROP_ML = 1.0
"""Less than this is an empty bottle [ml]."""


class JuiceLot(TypedDict):
    """Juice of one food, kept at one time [ml]."""

    food: str | None
    ml: float
    at: str
    salted: bool
    place: str | None


class JuiceSum(TypedDict):
    """All unsalted juice of one food [ml]; ``enough`` is the day on which it made a batch."""

    food: str | None
    ml: float
    enough: str | None


def lots(world: World) -> list[JuiceLot]:
    """The lots that are left, oldest first."""
    return list(world.kitchen.get(KEY, ()))


def juice_of(all_: Iterable[JuiceLot], food: str | None) -> list[JuiceLot]:
    """The lots of a food; all of them for None."""
    return [lot for lot in all_ if food in (None, lot["food"])]


def keep_juice(world: World, deed: Deed) -> None:
    """Do a deed on the juice; the list is made anew, because worlds share the old one."""
    left: list[JuiceLot] = [{**lot} for lot in lots(world)]
    if not deed.get("out"):
        left.append({
            "food": deed.get("food"), "ml": float(deed["ml"]), "at": deed["at"],
            "salted": bool(deed.get("salted")), "place": deed.get("place"),
        })  # fmt: skip
    else:
        wanted = float(deed["ml"]) if deed.get("ml") else float("inf")
        fits = [lot for lot in juice_of(left, deed.get("food"))
                if not (deed.get("unsalted") and lot["salted"])]  # fmt: skip
        for lot in sorted(fits, key=lambda lot: lot["salted"]):
            taken = min(lot["ml"], wanted)
            lot["ml"] -= taken
            wanted -= taken
    world.kitchen[KEY] = [lot for lot in left if lot["ml"] >= DROP_ML]


def juice_sums(kept: Sequence[JuiceLot], jelly_ml: float | None) -> list[JuiceSum]:
    """Unsalted juice by food, and since when it is enough for a batch of jelly.

    Args:
        kept: the lots, oldest first.
        jelly_ml: what a batch takes [ml]; None when not known.
    """
    found: dict[str | None, JuiceSum] = {}
    for lot in kept:
        if lot["salted"]:
            continue
        row = found.setdefault(lot["food"], {"food": lot["food"], "ml": 0.0, "enough": None})
        row["ml"] += lot["ml"]
        if row["enough"] is None and jelly_ml is not None and row["ml"] >= jelly_ml:
            row["enough"] = lot["at"]
    return list(found.values())


def jelly_due(kept: Sequence[JuiceLot], jelly_ml: float | None) -> list[dict[str, Any]]:
    """The jellies that are due: a food's juice, or all of it together, makes a batch."""
    rows = [row for row in juice_sums(kept, jelly_ml) if row["enough"]]
    if not rows:
        together: list[JuiceLot] = [{**lot, "food": None} for lot in kept]
        rows = [row for row in juice_sums(together, jelly_ml) if row["enough"]]
    return [
        {"at": str(row["enough"])[:10], "what": "make-jelly",
         "batch": f"{(row['food'] or 'mixed').replace(' ', '-')}-juice", "ml": round(row["ml"])}
        for row in rows
    ]  # fmt: skip
