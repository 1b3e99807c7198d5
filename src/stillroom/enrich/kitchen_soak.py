"""Dried food back into the dish: water, time, its fresh equal, and what can stand in for it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from stillroom.base.fact import Number
from stillroom.base.quantity import show
from stillroom.base.statement import Statement
from stillroom.enrich.kitchen_types import Asked, Hint, Sums, number
from stillroom.science.brine import Span
from stillroom.science.juice import FRIDGE_DAYS, JuiceKept, gather_juice
from stillroom.science.rehydrate import COLD_LIMIT_MIN, dried_equal, fresh_equal, soak

CUP_ML = 236.588
FRESH_G_PER_ML = 0.55
"""A millilitre of chopped fresh vegetables; carrot 0.54, onion 0.68, celery 0.43 (pk_sr26)."""
_COLD = re.compile(r"\b(?:cold|overnight)\b", re.I)
_DRIED_AMOUNT = re.compile(
    r"\b(?:g|kg|grams?|oz|ounces?|lb|pounds?|cups?|tsp|tbsp|teaspoons?|tablespoons?|ml|handfuls?)"
    r"\s+(?:of\s+)?(?:the\s+|my\s+)?dr(?:ied|y)\b", re.I
)  # fmt: skip
_WANTS_FRESH = re.compile(
    r"\b(?:wants?|needs?|calls? for|asks? for|recipe (?:says|has|takes)|takes|fresh)\b", re.I
)


def soak_sums(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """Soaking of dried food, or the dried food that a recipe's fresh amount comes to.

    Args:
        asked: note and tables.
        item: a question about rehydrating or substituting that names a food.
        batch: its batch.
    """
    food = item.food or ""
    if _names_fresh(asked, item):
        return dried_for_fresh(asked, item, batch)
    density = asked.use.food(food).dried_g_per_ml
    if item.amount is None or item.amount.si_unit == "count":
        return _soak_of(asked, food, CUP_ML, batch, "a cup of dried pieces")
    if item.amount.si_unit == "ml":
        ml = item.amount.si_likely
        mass = Span(0.8 * density * ml, density * ml, 1.25 * density * ml)
    else:
        mass = asked.mass(item) or Span(0, 0, 0)
        ml = mass.likely / density
    soaked = _soak_of(asked, food, ml, batch, "")
    fresh = _fresh_numbers(asked, food, mass, ml, batch)
    return Sums((*soaked.numbers, *fresh), (_soak_answer(asked, item, soaked, fresh, batch),
                                            *soaked.hints))  # fmt: skip


def _soak_answer(
    asked: Asked, item: Statement, soaked: Sums, fresh: tuple[Number, ...], batch: str | None
) -> Hint:
    """Water, time and the fresh equal of an amount of dried food, in a sentence."""
    water, time = soaked.numbers[:2]
    show = asked.show
    equal = fresh[0]
    said = item.amount
    how = "cold" if _COLD.search(asked.reading.note) else "hot"
    much = f"{said.value:g} {said.unit}" if said and said.value else "That much"
    if how == "hot":
        row = asked.use.soak(item.food or "", asked.use.food(item.food or "").kind)
        how = {"hot": "boiling", "warm": "warm"}[row.water_is]
    stands = f"{show(equal.likely, 'g')} fresh ({show(equal.low, 'g')} to {show(equal.high, 'g')})"
    if asked.use.food(item.food or "").kind == "herb":
        room = fresh[1]
        stands = (
            f"{show(room.likely, 'ml')} of fresh leaves ({show(room.low, 'ml')} to "
            f"{show(room.high, 'ml')})"
        )
        work = "needs no soaking, it goes straight in"
    elif time.low == 0:
        work = (
            f"simmers straight in the dish, or soaks in about {show(water.likely, 'ml')} of {how} "
            f"water for up to {time.high:.0f} min"
        )
    else:
        work = (
            f"soaks in about {show(water.likely, 'ml')} of {how} water for {time.low:.0f} to "
            f"{time.high:.0f} min"
        )
    text = f"{much} of dried {asked.name(item.food)} {work}; it stands for about {stands}."
    return Hint("rehydrate", "answer", text, batch, (*water.sources, *equal.sources))


def fresh_for_dried(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """The fresh food behind an amount of dried food, and the room that the dried food takes.

    Args:
        asked: note and tables.
        item: a question with an amount of dried food ("how much fresh for 100 g dried leeks").
        batch: its batch.
    """
    food = item.food or ""
    density = asked.use.food(food).dried_g_per_ml
    if item.amount is None or item.amount.si_unit == "count":
        return Sums()
    if item.amount.si_unit == "ml":
        ml = item.amount.si_likely
        mass = Span(0.8 * density * ml, density * ml, 1.25 * density * ml)
        told = number("dry_mass", mass, "g", batch, asked.use.food(food).sources)
    else:
        mass = asked.mass(item) or Span(0, 0, 0)
        ml = mass.likely / density
        room = Span(mass.low / density / 1.25, ml, mass.high / density / 0.8)
        told = number("dry_volume", room, "ml", batch, asked.use.food(food).sources)
    return Sums((*_fresh_numbers(asked, food, mass, ml, batch)[:1], told))


def _names_fresh(asked: Asked, item: Statement) -> bool:
    """Whether the amount is that of the fresh food ("the stew wants 400 g carrots")."""
    if item.amount is None:
        return False
    note = asked.reading.note
    names = {item.food or "", asked.name(item.food), asked.name(item.food, many=False)}
    if _DRIED_AMOUNT.search(note):
        return False
    for name in names:
        if re.search(rf"\d[\w\s./½¼¾]*?\bdr(?:ied|y)\s+{re.escape(name)}", note, re.I):
            return False
    return bool(_WANTS_FRESH.search(note))


def dried_for_fresh(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """The dried food that an amount of fresh food comes to, with its soaking water."""
    food = item.food or ""
    fresh = asked.mass(item)
    if fresh is None and item.amount is not None and item.amount.si_unit == "ml":
        fresh = Span(*(item.amount.si_likely * f for f in (0.4, FRESH_G_PER_ML, 0.7)))
    if fresh is None:
        return substitute_sums(asked, item, batch)
    wet, dry = asked.water(food), asked.dried_water(food)
    dried = Span(
        dried_equal(fresh.low, dry, wet.high), dried_equal(fresh.likely, dry, wet.likely),
        dried_equal(fresh.high, dry, wet.low),
    )  # fmt: skip
    density = asked.use.food(food).dried_g_per_ml
    soaked = _soak_of(asked, food, dried.likely / density, batch, "")
    numbers = (
        number("dry_mass", dried, "g", batch, ("usda_sr28",), assumes=("prepared weight",),
               driver="water in the fresh food"),
        number("dry_volume", Span(dried.low / density / 1.25, dried.likely / density,
               dried.high / density / 0.8), "ml", batch, asked.use.food(food).sources),
        *soaked.numbers,
    )  # fmt: skip
    show, water = asked.show, soaked.numbers[0].likely
    text = (
        f"{show(fresh.likely, 'g')} of fresh {asked.name(food)} is about "
        f"{show(dried.likely, 'g')} dried ({show(dried.low, 'g')} to {show(dried.high, 'g')}), "
        f"about {show(dried.likely / density, 'ml')}; soak in {show(water, 'ml')} of water and add "
        "that to the dish, or simmer it from dry with as much more liquid."
    )
    hint = Hint("rehydrate", "dried-for-fresh", text, batch, ("usda_sr28",))
    return Sums(numbers, (hint, *soaked.hints))


def _soak_of(asked: Asked, food: str, ml: float, batch: str | None, per: str) -> Sums:
    row = asked.use.soak(food, asked.use.food(food).kind)
    cold = bool(_COLD.search(asked.reading.note))
    low, high = row.minutes
    plan = soak(ml, Span(*row.water), Span(low, (low + high) / 2, high), "cold" if cold else "hot")
    if cold and row.cold_minutes is not None:
        low, high = row.cold_minutes
        plan = plan._replace(minutes=Span(low, (low + high) / 2, high), chill=high > COLD_LIMIT_MIN)
    assumes = (f"for {per}",) if per else ()
    how = "cold" if cold else {"hot": "boiling", "warm": "warm"}[row.water_is]
    numbers = (
        number("soak_water_volume", plan.water_ml, "ml", batch, row.sources, assumes=assumes,
               driver="size of the pieces"),
        number("soak_time", plan.minutes, "min", batch, row.sources, assumes=(f"{how} water",),
               driver="size of the pieces"),
    )  # fmt: skip
    text = (
        f"Cover with {how} water and soak until plump; season afterwards, because salt and acid "
        "slow it. Soaked food keeps like fresh: chill it within two hours and use it soon."
    )
    hints = [Hint("rehydrate", "how", text, batch, row.sources)]
    if plan.chill:
        text = "A soak of more than two hours stands in the fridge."
        hints.append(Hint("rehydrate", "chill", text, batch, ("pk_uf_dryveg",), "caution"))
    if row.note:
        hints.append(Hint("rehydrate", "note", f"{row.note[0].upper()}{row.note[1:]}.", batch,
                          row.sources))  # fmt: skip
    return Sums(numbers, tuple(hints))


def _fresh_numbers(
    asked: Asked, food: str, mass: Span, ml: float, batch: str | None
) -> tuple[Number, ...]:
    wet, dry = asked.water(food), asked.dried_water(food)
    fresh = Span(
        fresh_equal(mass.low, dry, wet.low), fresh_equal(mass.likely, dry, wet.likely),
        fresh_equal(mass.high, dry, wet.high),
    )  # fmt: skip
    use = asked.use.food(food)
    row = asked.use.soak(food, use.kind)
    if use.kind == "herb":
        room = Span(2 * ml, 3 * ml, 4 * ml)
        sources: tuple[str, ...] = ("pk_wvu",)
    else:
        ends = sorted((row.swells * ml, fresh.likely / FRESH_G_PER_ML))
        room = Span(ends[0], (ends[0] * ends[1]) ** 0.5, ends[1])
        sources = (*row.sources, "pk_sr26")
    return (
        number("fresh_mass", fresh, "g", batch, ("usda_sr28",), driver="water in the fresh food"),
        number("fresh_volume", room, "ml", batch, sources,
               driver="soaked pieces fill less room than fresh ones"),
    )  # fmt: skip


def substitute_sums(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """What can stand in for a food: dried for fresh and back by published lists, and others."""
    food = item.food or ""
    herb = asked.use.food(food).kind == "herb"
    rows = [row for row in asked.use.equals if row.food == food]
    rows += [row for row in asked.use.equals if herb and row.food == "herb" and not rows]
    rows.sort(key=lambda row: ("flavour", "whole vegetable", "mass", "household list").index(
        row.basis) if row.basis != "solids" else 9)  # fmt: skip
    hints = []
    many = asked.name(food, many=False)
    for row in rows[:4]:
        dried = f"{row.dried_low:g}"
        if row.dried_high > row.dried_low:
            dried += f" to {row.dried_high:g}"
        what = row.fresh_unit
        if many.lower() not in what and food not in what:
            what += f" of fresh {row.fresh_is or many}"
        text = f"{row.fresh_amount:g} {what}: {dried} {row.dried_unit} {row.form} (by {row.basis})."
        hints.append(Hint("rehydrate", "equivalent", text, batch, row.sources))
    other = asked.use.stand_ins.get(food)
    if other is not None:
        names = [asked.name(name) for name in other.instead if name != food]
        head = f"In place of {asked.name(food)}: {', '.join(names)}; " if names else ""
        text = f"{head}{other.how}."
        hints.append(Hint("serve", "stand-in", text[0].upper() + text[1:], batch, other.sources))
    if not hints:
        text = f"Nothing is published here that stands in for {asked.name(food)}."
        hints.append(Hint("serve", "no-stand-in", text, batch))
    return Sums(hints=tuple(hints))


def juice_sums(asked: Asked, batch: str | None) -> Sums:
    """Juice kept so far by food, and whether it makes a batch of refrigerator jelly."""
    lots = asked.kitchen.juice
    kept = gather_juice(lot.ml for lot in lots if not lot.salted)
    measure = asked.kitchen.measure
    text = f"{_by_food(asked, [lot for lot in lots if not lot.salted])}"
    if kept.batches:
        plural = "es" if kept.batches > 1 else ""
        text += f" That is enough for {kept.batches} batch{plural} of jelly."
    else:
        text += f" A batch of jelly takes {show(kept.missing_ml, 'ml', measure, both=False)} more."
    salted = [lot for lot in lots if lot.salted]
    if salted:
        text += f" {_by_food(asked, salted, 'Salted juice')} It goes into soup, not into jelly."
    text += (
        f" Juice keeps {FRIDGE_DAYS} days in the fridge, else freeze it. Keep the jelly in the "
        "fridge or freezer; one for the shelf needs a tested recipe."
    )
    span = Span(kept.total_ml, kept.total_ml, kept.total_ml)
    numbers = (number("juice_volume", span, "ml", batch, ("pk_cp",)),) if kept.total_ml else ()
    return Sums(numbers, (Hint("juice", "jelly", text, batch, ("pk_cp", "pk_mem_ext")),))


def _by_food(asked: Asked, lots: Sequence[JuiceKept], head: str = "Juice kept") -> str:
    """Juice kept: 600 ml of plums, 400 ml of courgettes."""
    if not lots:
        return "No juice is kept so far."
    foods: dict[str, float] = {}
    for lot in lots:
        foods[lot.food] = foods.get(lot.food, 0.0) + lot.ml
    parts = [
        show(ml, "ml", asked.kitchen.measure) + (f" of {asked.name(food)}" if food else "")
        for food, ml in foods.items()
    ]
    return f"{head}: {', '.join(parts)}."
