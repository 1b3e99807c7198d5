"""The journal as plain values for the sums: stock, weighings, what own batches have taught."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from stillroom.base.statement import Reading
from stillroom.enrich.season import LEARNED_FIGURES, Season
from stillroom.science.juice import JuiceKept
from stillroom.science.mixes import Line

if TYPE_CHECKING:
    from stillroom.journal.records import Batch
    from stillroom.talk.session import Session


def season_of(session: Session, reading: Reading, now: datetime) -> Season:
    """What the season adds to a note about these foods."""
    foods = {item.food for item in reading.statements if item.food}
    foods |= {
        str(lot.get("food"))
        for lot in session.journal.lots(now)
        if lot["batch"] in {item.batch for item in reading.statements}
    }
    batches = session.journal.open_batches()
    return Season(
        shelf_of(session),
        _weighings(batches),
        _factors(session, foods),
        {batch["name"]: batch["prep"] for batch in batches if batch["prep"]},
        [JuiceKept(lot["food"] or "", lot["ml"], lot["salted"]) for lot in session.journal.juice()],
    )


def shelf_of(session: Session) -> list[Line]:
    """The dried stock as the mixes see it."""
    lines = []
    for line in session.journal.stock():
        left = line.get("remaining_g")
        if left and line.get("food") and line.get("place") != "fridge":
            form = "powder" if line.get("form") == "powdered" else str(line.get("form") or "")
            lines.append(
                Line(
                    line["batch"],
                    line["food"],
                    max(0.0, left),
                    form,
                    line.get("best_by"),
                    tuple(line.get("allergens", ())),
                )
            )
    return lines


def _weighings(batches: list[Batch]) -> dict[str, list[tuple[float, float]]]:
    """Weighings of whole loads that are drying, without their trays."""
    found: dict[str, list[tuple[float, float]]] = {}
    for batch in batches:
        if batch["stage"] != "drying" or not batch["loaded"]:
            continue
        loaded = datetime.fromisoformat(batch["loaded"])
        own = [
            (
                (datetime.fromisoformat(item["at"]) - loaded).total_seconds() / 3600,
                item["grams"] - item["tare_g"],
            )
            for item in batch["weighings"]
            if item["tray"] is None
        ]
        if own:
            found[batch["name"]] = sorted(own)
    return found


def _factors(session: Session, foods: set[str]) -> Mapping[tuple[str, str], tuple[float, str]]:
    """What to multiply first guesses by, for the foods of a note."""
    classes = {food.id: food.food_class for food in session.tables.foods.values()}
    found = {}
    for food in foods:
        name = session.tables.foods[food].name if food in session.tables.foods else food
        for figure in LEARNED_FIGURES:
            learned = session.journal.learned(food, classes, figure, name)
            if learned.factor != 1.0:
                found[food, figure] = (learned.factor, learned.sentence)
    return found
