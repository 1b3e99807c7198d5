"""What is asked of a mix besides its parts: how much base, and fresh for dried."""

from __future__ import annotations

import re
from collections.abc import Sequence

from stillroom.enrich.kitchen_types import Asked, Hint
from stillroom.science.mixes import Part
from stillroom.science.rehydrate import fresh_equal
from stillroom.tables.kitchen_rows import Recipe

_BASE_ASKED = re.compile(
    r"\bhow (?:much|many)\b.*\b(?:sour cream|yogh?urt|dairy|cream|base|milk|water|stock|meat"
    r"|serv\w+|feeds?)\b", re.I
)  # fmt: skip


def answers(
    asked: Asked, recipe: Recipe, parts: Sequence[Part], lots: float, batch: str | None
) -> list[Hint]:
    """How much base it seasons, and fresh parts in place of dried, where that is what is asked."""
    note = asked.reading.note
    found: list[Hint] = []
    if _BASE_ASKED.search(note) and recipe.base_ml is not None:
        low, likely, high = (asked.show(lots * ml, "ml") for ml in recipe.base_ml)
        rest = f" Rest it {recipe.rest_hours:g} h in the fridge." if recipe.base_allergen else ""
        text = (
            f"{lots:.3g} lot{'' if lots == 1 else 's'} of {recipe.name} want{'s' * (lots == 1)} "
            f"about {likely} of {recipe.base} ({low} to {high}), {lots * recipe.serves:.0f} "
            f"servings.{rest}"
        )
        found.append(Hint("serve", "answer", text, batch, recipe.sources))
    for part in parts:
        name = asked.name(part.food, many=False)
        if not re.search(rf"\bfresh (?:\w+ )?{re.escape(name)}", note, re.I):
            continue
        wet, dry = asked.water(part.food), asked.dried_water(part.food)
        fresh = [asked.show(fresh_equal(part.g, dry, end), "g") for end in (wet.likely, wet.low,
                                                                           wet.high)]  # fmt: skip
        text = (
            f"For the {grams(part.g)} of dried {name} take about {fresh[0]} of fresh ({fresh[1]} "
            f"to {fresh[2]}), and only when you serve it: a fresh part in the jar would spoil it."
        )
        found.append(Hint("mix", "answer", text, batch, ("usda_sr28",)))
    return found


def grams(value: float) -> str:
    """A mass of a recipe: whole grams, tenths under ten."""
    return f"{value:.0f} g" if value >= 10 else f"{round(value, 1):g} g"
