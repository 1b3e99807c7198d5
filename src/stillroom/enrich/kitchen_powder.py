"""Grinding dried food: how much powder, how much room, and whether it stays loose."""

from __future__ import annotations

import re

from stillroom.base.fact import Number
from stillroom.base.statement import Statement
from stillroom.enrich.kitchen_types import Asked, Hint, Kitchen, Sums, number
from stillroom.science.brine import Span
from stillroom.science.powder import (
    caking,
    caking_humidity,
    gab_water,
    ground_mass,
    loose_volume,
    powder_jars,
)

JAR_ML = 118.3
"""A quarter-pint jar: small, so that little damp air stands over the powder."""
_DAMP_HUMIDITY = 0.75
# Potato at 30 deg C (kiranoudis-1993-md), the borrowed isotherm for vegetables.
_GAB = (0.09721, 47.501, 0.65253)
_FORM = re.compile(r"\b(?:powder|flour|ground)\b", re.I)


def powder_sums(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """Powder from an amount of dried food; without one, how to grind and keep it.

    Args:
        asked: note, tables and kitchen.
        item: a blend statement or a question about powder that names a food.
        batch: its batch.
    """
    food = item.food or ""
    kind = asked.use.food(food).kind
    coarse = bool(re.search(r"\b(?:coarse|flakes?|granules?)\b", asked.reading.note, re.I))
    row = asked.use.grind(kind, "coarse" if coarse else "fine")
    dry = _dry(asked, item)
    numbers: tuple[Number, ...] = ()
    if dry is not None:
        already = item.act != "ask" and bool(_FORM.search(item.text)) and item.act != "blend"
        mass = dry if already else ground_mass(dry.likely, Span(*row.loss))
        room = loose_volume(mass, Span(*row.g_per_ml))
        jars = powder_jars(room.likely, JAR_ML)
        numbers = (
            number("powder_mass", mass, "g", batch, row.sources, driver="dust and what stays in "
                   "the mill and sieve"),
            number("powder_volume", room, "ml", batch, row.sources,
                   driver="how loosely it lies in the measure"),
            number("powder_jar_count", Span(powder_jars(room.low, JAR_ML), jars,
                   powder_jars(room.high, JAR_ML)), "count", batch, ("pk_cp_mem",),
                   assumes=("quarter-pint jars, nearly full",)),
        )  # fmt: skip
    return Sums(numbers, tuple(_hints(asked, food, kind, coarse, batch)))


def _dry(asked: Asked, item: Statement) -> Span | None:
    if item.amount is None:
        return None
    if item.amount.si_unit == "ml":
        density = asked.use.food(item.food or "").dried_g_per_ml
        ml = item.amount.si_likely
        return Span(0.7 * density * ml, density * ml, 1.4 * density * ml)
    return asked.mass(item) if item.amount.si_unit == "g" else None


def _hints(asked: Asked, food: str, kind: str, coarse: bool, batch: str | None) -> list[Hint]:
    many = asked.name(food)
    hints = [
        Hint(
            "powder", "grind",
            f"Grind {many} only when cold pieces snap: leathery ones smear. Short bursts, and let "
            "the dust settle before you lift the lid; a mill that runs long warms up and draws "
            "damp.", batch, ("pk_cp_mem",),
        )
    ]  # fmt: skip
    if kind in ("fruit", "tomato"):
        text = f"{many.capitalize()} are sticky: freeze the pieces an hour first."
        hints.append(Hint("powder", "sticky", text, batch, ("pk_cp_mem",)))
    why = (
        "Coarse keeps its scent longer and stays mixed with flakes; sieve at about 2 mm."
        if coarse
        else "Fine melts into dips and rubs; pass a fine strainer, regrind what stays in it."
    )
    hints.append(Hint("powder", "fineness", why, batch, ("pk_cp_mem",)))
    hints.append(_caking_hint(asked.kitchen, batch))
    text = (
        "Dry it again 15 to 30 minutes at low heat, cool, and fill small jars nearly to the top. "
        "Label them: powders look alike. Best within one to two months."
    )
    hints.append(Hint("powder", "keep", text, batch, ("pk_cp_mem",)))
    return hints


def _caking_hint(kitchen: Kitchen, batch: str | None) -> Hint:
    """Caking at the kitchen's humidity, by the isotherm of potato as a stand-in."""
    limit = caking_humidity(lambda humidity: gab_water(humidity, *_GAB))
    humidity = kitchen.humidity or (_DAMP_HUMIDITY if kitchen.damp else 0.5)
    water = gab_water(min(max(humidity, 0.05), 0.9), *_GAB)
    words = {
        "loose": "would stay loose",
        "lumps": "would turn lumpy, though no worse for it",
        "cakes": "would set to a lump",
    }
    text = (
        f"Left open at {humidity:.0%} humidity the powder would draw up to {water:.0%} water and "
        f"{words[caking(water)]}; it keeps loose only below about {limit:.0%}, so close the jar "
        "at once and use a dry spoon, never over steam."
    )
    return Hint("powder", "caking", text, batch, ("kiranoudis-1993-md", "pk_cp_spec"))
