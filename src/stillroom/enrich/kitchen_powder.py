"""Grinding dried food: how much powder, how much room, and whether it stays loose."""

from __future__ import annotations

import re
from dataclasses import replace

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
    hints = _in_order(asked, item, _hints(asked, food, kind, coarse, batch))
    if numbers:
        hints.insert(0, _amount_hint(asked, food, numbers, batch))
    return Sums(numbers, tuple(hints))


def powder_keeps(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """How long a powder keeps: at its best one to two months (pk_cp_mem).

    Args:
        asked: note, tables and kitchen.
        item: a question on keeping that names a powder.
        batch: its batch.
    """
    name = asked.name(item.food, many=False)
    text = (
        f"{name.capitalize()} powder is at its best for one to two months in small full jars, cool "
        "and dark. Later it fades and lumps; throw it out if it smells stale or shows mould. Whole "
        "pieces keep longer, so grind little at a time."
    )
    keeps = number("shelf_life", Span(30, 45, 60), "day", batch, ("pk_cp_mem",))
    return Sums((keeps,), (Hint("shelf-life", "answer", text, batch, ("pk_cp_mem",)),))


_CAKES = re.compile(r"\b(?:cak\w+|clump\w*|lump\w*|damp|humid\w*|set(?:s|ting)? hard)\b", re.I)
_HOW_FINE = re.compile(r"\b(?:coarse\w*|fine\w*|sieve\w*|sift\w*|gritty)\b", re.I)
_HOT = re.compile(r"\b(?:dust\w*|hot|warm\w*|steam\w*|blender|mill|lid)\b", re.I)


def _in_order(asked: Asked, item: Statement, hints: list[Hint]) -> list[Hint]:
    """What was asked comes first: caking, how fine, the mill."""
    said = item.asked or item.text
    wanted = [name for name, pattern in (("caking", _CAKES), ("fineness", _HOW_FINE),
                                         ("grind", _HOT)) if pattern.search(said)]  # fmt: skip
    if not wanted or item.act != "ask":
        return hints
    first = [hint for name in wanted for hint in hints if hint.name == name]
    return [replace(first[0], name="answer"), *first[1:], *(h for h in hints if h not in first)]


def _amount_hint(
    asked: Asked, food: str, numbers: tuple[Number, ...], batch: str | None
) -> Hint:  # fmt: skip
    mass, room, jars = numbers
    show = asked.show
    count = f"{jars.likely:.0f} quarter-pint jar{'' if jars.likely == 1 else 's'}"
    text = (
        f"That gives about {show(mass.likely, 'g')} of {asked.name(food, many=False)} powder "
        f"({show(mass.low, 'g')} to {show(mass.high, 'g')}), about {show(room.likely, 'ml')} "
        f"({show(room.low, 'ml')} to {show(room.high, 'ml')}): {count}, nearly full."
    )
    return Hint("powder", "answer", text, batch, mass.sources)


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
    both = re.search(r"\bcoarse\w*\b.*\bfine|\bfine\w*\b.*\bcoarse", asked.reading.note, re.I)
    rough = "coarse keeps its scent longer and stays mixed with flakes; sieve at about 2 mm"
    fine = "fine melts into dips and rubs; pass a fine strainer and regrind what stays in it"
    why = f"{rough}; {fine}" if both else rough if coarse else fine
    why = f"{why[0].upper()}{why[1:]}."
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
