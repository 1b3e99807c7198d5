"""Dry mixes and powders: what a recipe takes, what there is, what it makes and serves."""

from __future__ import annotations

import re
from collections.abc import Sequence

from stillroom.base.fact import Number
from stillroom.base.statement import Statement
from stillroom.enrich.kitchen_types import Asked, Hint, Sums, Taking, number
from stillroom.enrich.kitchen_words import lots_said, named_in, people_said
from stillroom.science.brine import Span
from stillroom.science.mixes import (
    Part,
    allergens_of,
    earliest_best_by,
    lots_for_jars,
    lots_for_part,
    mass_of,
    most_lots,
    scaled,
    shortages,
    take,
    volume_of,
)
from stillroom.tables.kitchen_use import Recipe

PANTRY = ("salt", "sugar", "wheat flour")
"""What every kitchen is taken to have."""
USUAL_JAR_ML = 236.6
"""A half-pint jar, where a mix is asked for by the jar and no size is said."""
_LEAVE_OUT = re.compile(
    r"\b(?:without|no|leave out|skip|hold)\s+(?:the\s+)?(?:dried\s+)?(\w+)", re.I
)
_POWDER = re.compile(r"powder|ground\b", re.I)


def named_recipe(asked: Asked) -> Recipe | None:
    """The recipe whose name stands in the note."""
    recipes = asked.use.recipes
    key = named_in(asked.reading.note, {key: row.words for key, row in recipes.items()})
    return recipes[key] if key else None


def parts_of(asked: Asked, recipe: Recipe, *, optional: bool = True) -> tuple[Part, ...]:
    """One lot of a recipe with densities and allergens; foods told to stay out are dropped."""
    out = {word.lower() for word in _LEAVE_OUT.findall(asked.reading.note)}
    spoken = {food: {food, asked.name(food), asked.name(food, many=False)} for food in
              (part.food for part in recipe.parts)}  # fmt: skip
    return tuple(
        Part(
            part.food, part.g, part.g_per_ml or asked.use.density(part.food, part.form), part.form,
            part.optional, part.keep_back, part.allergen or asked.use.food(part.food).allergen,
        )
        for part in recipe.parts
        if (optional or not part.optional)
        and not (part.optional and any(out & set(name.split()) for name in spoken[part.food]))
    )  # fmt: skip


def mix_sums(asked: Asked, items: Sequence[Statement], batch: str | None) -> Sums:
    """A mix by name, by the powder there is, or the speaker's own.

    Args:
        asked: note, tables, shelf and kitchen.
        items: blend statements and questions about mixes, with food in hand named beside them.
        batch: the mix's name in the journal.
    """
    recipe = named_recipe(asked)
    own = [item for item in items if item.act == "blend" and item.food and item.amount]
    if own and len(own) > 1:
        return _own_mix(asked, own, batch)
    if recipe is not None:
        return _recipe_sums(asked, recipe, items, batch)
    held = next((item for item in items if item.food and item.amount and item.act != "use"), None)
    if held is not None and held.food:
        return _what_can_i_make(asked, held, batch)
    names = ", ".join(row.name for row in asked.use.recipes.values())
    return Sums(hints=(Hint("mix", "recipes", f"Mixes kept here: {names}.", batch),))


def _lots(asked: Asked, recipe: Recipe, parts: Sequence[Part], items: Sequence[Statement]) -> float:
    """Lots wanted: as said, else by servings, jars or the food in hand, else one."""
    note = asked.reading.note
    said = lots_said(note)
    if said:
        return said
    people = people_said(note)
    if people:
        return people / recipe.serves
    jar = next((item for item in items if item.vessel_count), None)
    if jar is not None:
        return lots_for_jars(parts, jar.vessel_count or 1, jar.vessel_ml or USUAL_JAR_ML)
    for item in items:
        mass = _dried_mass(asked, item)
        lots = lots_for_part(parts, item.food or "", mass.likely) if mass else 0.0
        if lots > 0:
            return lots
    return 1.0


def _recipe_sums(
    asked: Asked, recipe: Recipe, items: Sequence[Statement], batch: str | None
) -> Sums:
    one = parts_of(asked, recipe)
    lots = _lots(asked, recipe, one, items)
    parts = scaled(one, lots)
    hints = [
        _list_hint(asked, recipe, parts, lots, batch),
        *_use_hints(asked, recipe, parts, lots, batch),
    ]
    optional = [asked.name(part.food) for part in parts if part.optional]
    if optional:
        text = f"May be left out: {', '.join(optional)}."
        hints.append(Hint("mix", "optional", text, batch, recipe.sources))
    stock = _from_shelf(asked, recipe, parts, one, batch)
    allergens = tuple(
        sorted({*allergens_of(parts, [row.batch for row in stock.takes], asked.shelf)})
    )
    hints += list(stock.hints)
    hints += _allergen_hints(recipe, allergens, batch)
    return Sums(
        tuple(_mix_numbers(recipe, parts, lots, batch)), tuple(hints), stock.takes, stock.best_by,
        allergens, recipe.id,
    )  # fmt: skip


def _mix_numbers(
    recipe: Recipe, parts: Sequence[Part], lots: float, batch: str | None
) -> list[Number]:
    mass = mass_of(parts)
    found = [
        number("mix_mass", Span(mass, mass, mass), "g", batch, recipe.sources),
        number(
            "mix_volume", volume_of(parts), "ml", batch, ("pk_sr26", *recipe.sources),
            driver="how loosely flakes lie in the measure",
        ),
    ]  # fmt: skip
    if recipe.base_ml is not None:
        base = Span(*recipe.base_ml).times(lots)
        found.append(
            number(
                "serve_volume", base, "ml", batch, recipe.sources, assumes=(f"into {recipe.base}",),
                driver="taste",
            )
        )  # fmt: skip
    return found


def _list_hint(
    asked: Asked, recipe: Recipe, parts: Sequence[Part], lots: float, batch: str | None
) -> Hint:
    listed = ", ".join(
        f"{part.g:.{0 if part.g >= 10 else 1}f} g {asked.name(part.food, many=False)}"
        f"{' ' + part.form if part.form in ('powder', 'flakes') else ''}"
        for part in parts
    )
    lot = "lot" if abs(lots - 1) < 1e-9 else "lots"
    text = f"{recipe.name.capitalize()}, {lots:.3g} {lot}: {listed}."
    return Hint("mix", "recipe", text, batch, recipe.sources)


def _use_hints(
    asked: Asked, recipe: Recipe, parts: Sequence[Part], lots: float, batch: str | None
) -> list[Hint]:
    hints = [Hint("serve", "how", recipe.how, batch, recipe.sources)]
    coarse = [asked.name(part.food) for part in parts if part.keep_back]
    if coarse:
        text = (
            f"Keep the larger pieces ({', '.join(coarse)}) out of the mill and stir them in last, "
            "for bite."
        )
        hints.append(Hint("mix", "keep-back", text, batch, ("pk_cp",)))
    if recipe.base_allergen == "milk":
        text = (
            f"Rest it about {recipe.rest_hours:g} h in the fridge before serving. Once mixed with "
            "dairy it stays cold, stands out two hours in all, and is eaten within three to four "
            "days."
        )
        hints.append(Hint("serve", "rest", text, batch, ("pk_cp", "pk_and_fridge")))
    return hints


def _from_shelf(
    asked: Asked, recipe: Recipe, parts: Sequence[Part], one: Sequence[Part], batch: str | None
) -> Sums:
    """What the shelf gives; where it is short, what is missing and how many lots it allows."""
    if not asked.shelf:
        return Sums()
    must = [part for part in parts if not part.optional]
    there = {line.food for line in asked.shelf if line.remaining_g > 0}
    used = [*must, *(part for part in parts if part.optional and part.food in there)]
    short = shortages(used, asked.shelf, PANTRY)
    if not short:
        taken = take(used, asked.shelf, PANTRY)
        best = earliest_best_by([row.batch for row in taken], asked.shelf)
        return Sums(takes=tuple(Taking(row.batch, row.food, row.g) for row in taken), best_by=best)
    listed = "; ".join(
        f"{asked.name(row.food)}: {row.need_g:.0f} g wanted, {row.have_g:.0f} g there"
        for row in short
    )
    lots = most_lots(one, asked.shelf, PANTRY)
    text = f"The shelf is short of {listed}. It is enough for {lots:.2g} lots."
    return Sums(hints=(Hint("stock", "short", text, batch, (), "note"),))


def _allergen_hints(recipe: Recipe, allergens: tuple[str, ...], batch: str | None) -> list[Hint]:
    hints = []
    if allergens:
        text = f"Write on the label: holds {', '.join(allergens)}."
        hints.append(Hint("label", "allergens", text, batch, ("pk_eu1169",), "note"))
    if recipe.base_allergen and recipe.base_allergen not in allergens:
        text = f"The dry mix holds no {recipe.base_allergen}; the finished dip does."
        hints.append(Hint("label", "base-allergen", text, batch, ("pk_eu1169",)))
    return hints


def _dried_mass(asked: Asked, item: Statement) -> Span | None:
    """Dried mass that a statement gives, g; spoons and cups by the bulk density of its form."""
    if item.amount is None or not item.food:
        return None
    if item.amount.si_unit == "g":
        return asked.mass(item)
    if item.amount.si_unit != "ml":
        return None
    likely = item.amount.si_likely
    if _is_powder(item):
        low, mid, high = asked.use.grind(asked.use.food(item.food).kind).g_per_ml
        return Span(low * likely, mid * likely, high * likely)
    mid = asked.use.food(item.food).dried_g_per_ml
    if item.food in ("salt", "sugar", "vinegar"):
        return Span(mid * likely, mid * likely, mid * likely)
    return Span(0.6 * mid * likely, mid * likely, 1.5 * mid * likely)


def _is_powder(item: Statement) -> bool:
    return item.cut == "powdered" or bool(_POWDER.search(item.text))


def _own_mix(asked: Asked, own: Sequence[Statement], batch: str | None) -> Sums:
    """The speaker's own mix: its mass, room and allergens."""
    masses = [(item, mass) for item in own if (mass := _dried_mass(asked, item)) is not None]
    total = (
        Span(*(sum(ends) for ends in zip(*(mass for _, mass in masses), strict=True)))
        if (masses)
        else Span(0, 0, 0)
    )
    room = sum(
        item.amount.si_likely if item.amount and item.amount.si_unit == "ml"
        else mass.likely / asked.use.density(item.food or "", "powder" if _is_powder(item) else "")
        for item, mass in masses
    )  # fmt: skip
    allergens = tuple(
        sorted({row for item, _ in masses if (row := asked.use.food(item.food or "").allergen)})
    )
    hints = [
        Hint("label", "allergens", f"Write on the label: holds {', '.join(allergens)}.", batch,
             ("pk_eu1169",), "note")
    ] if allergens else []  # fmt: skip
    numbers = (
        number("mix_mass", total, "g", batch, ("pk_sr26",), driver="what a spoon of each weighs"),
        number("mix_volume", Span(0.75 * room, 0.92 * room, 1.05 * room), "ml", batch,
               ("pk_sr26",), driver="how fine parts slip between coarse ones"),
    )  # fmt: skip
    return Sums(numbers if masses else (), tuple(hints), allergens=allergens)


def _what_can_i_make(asked: Asked, held: Statement, batch: str | None) -> Sums:
    """Mixes that use a food in hand, the ones that use most of it first."""
    mass = _dried_mass(asked, held)
    if mass is None or not held.food:
        return Sums()
    rows = []
    for recipe in asked.use.recipes.values():
        need = sum(part.g for part in recipe.parts if part.food == held.food and not part.optional)
        if need:
            total = sum(part.g for part in recipe.parts)
            rows.append((need / total, mass.likely / need, recipe))
    rows.sort(key=lambda row: -row[0])
    if not rows:
        text = f"No mix kept here is made from {asked.name(held.food)}."
        return Sums(hints=(Hint("mix", "none", text, batch),))
    form = " powder" if _is_powder(held) else ""
    what = f"{mass.likely:.0f} g of {asked.name(held.food, many=False)}{form}"
    hints = [
        Hint("mix", f"can-make-{recipe.id}",
             f"{what} is enough for {lots:.2g} lots of "
             f"{recipe.name}.", batch, recipe.sources)
        for _, lots, recipe in rows[:4]
    ]  # fmt: skip
    _, lots, best = rows[0]
    parts = scaled(parts_of(asked, best), lots)
    return Sums(tuple(_mix_numbers(best, parts, lots, batch)), tuple(hints), mix=best.id)
