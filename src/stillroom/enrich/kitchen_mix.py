"""Dry mixes and powders: what a recipe takes, what there is, what it makes and serves."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.base.fact import Number
from stillroom.base.statement import Statement
from stillroom.enrich.kitchen_make import (
    PANTRY,
    Shelved,
    deed_said,
    dried_mass,
    in_hand,
    is_powder,
    left_out,
    lots_wanted,
    made_of,
    named_recipe,
    parts_of,
    shelved,
)
from stillroom.enrich.kitchen_mix_asked import answers, grams
from stillroom.enrich.kitchen_types import Asked, Hint, Sums, number
from stillroom.science.brine import Span
from stillroom.science.mixes import Part, mass_of, most_lots, scaled, volume_of
from stillroom.tables.kitchen_rows import Recipe
from stillroom.tables.recipe_names import Named


def mix_sums(asked: Asked, items: Sequence[Statement], batch: str | None) -> Sums:
    """A mix by name, by the powder there is, or the speaker's own.

    Args:
        asked: note, tables, shelf and kitchen.
        items: blend statements and questions about mixes, with food in hand named beside them.
        batch: the mix's name in the journal.
    """
    named = named_recipe(asked)
    own = [item for item in items if item.act == "blend" and item.food and item.amount]
    if own and len(own) > 1:
        return _own_mix(asked, own, batch)
    if named is not None:
        return _recipe_sums(asked, named, items, batch)
    held = next((item for item in items if item.food and item.amount and item.act != "use"), None)
    if held is not None and held.food:
        return _what_can_i_make(asked, held, batch)
    return Sums(hints=(_kept_here(asked, batch),))


def _kept_here(asked: Asked, batch: str | None) -> Hint:
    """The mixes there are; where the shelf has all of some, those."""
    able = []
    for recipe in asked.use.recipes.values():
        lots = most_lots(parts_of(asked, recipe), asked.shelf, PANTRY)
        if asked.shelf and lots >= 1:
            able.append(f"{recipe.name} ({lots:.2g} lots)")
    if able:
        text = f"The shelf has all that goes into: {', '.join(able)}."
    else:
        names = ", ".join(row.name for row in asked.use.recipes.values())
        text = f"Mixes kept here: {names}."
    return Hint("mix", "recipes", text, batch)


def _recipe_sums(asked: Asked, named: Named, items: Sequence[Statement], batch: str | None) -> Sums:
    recipe = named.recipe
    out = left_out(asked, recipe)
    one = parts_of(asked, recipe, out=out)
    lots = lots_wanted(asked, recipe, one, items)
    told = next((done for i in items if (done := deed_said(asked.reading.note, i))), "")
    held = shelved(asked, scaled(one, lots))
    making = made_of(asked, named, held)
    hints = [
        *answers(asked, recipe, held.parts, lots, batch),
        _list_hint(asked, recipe, held.parts, lots, batch),
        *_shelf_hints(asked, one, held, told, batch),
        *_use_hints(asked, recipe, held.parts, lots, batch),
        *_optional_hints(asked, recipe, held, out, batch),
        *_allergen_hints(recipe, making.allergens, batch),
    ]
    takes = () if held.short else held.takes
    return Sums(
        tuple(_mix_numbers(recipe, held.parts, lots, batch)), tuple(hints), takes,
        making.best_by if takes else None, making.allergens, recipe.id,
    )  # fmt: skip


def _optional_hints(
    asked: Asked, recipe: Recipe, held: Shelved, out: frozenset[str], batch: str | None
) -> list[Hint]:
    """Parts that may be left out, and those that are: told to, or not on the shelf."""
    texts = []
    if out:
        texts.append(f"Left out as you say: {_listed(asked, sorted(out))}.")
    if held.absent:
        texts.append(f"Left out, as there is not enough of it: {_listed(asked, held.absent)}.")
    optional = [part.food for part in held.parts if part.optional]
    if optional:
        texts.append(f"May be left out: {_listed(asked, optional)}.")
    if not texts:
        return []
    return [Hint("mix", "optional", " ".join(texts), batch, recipe.sources)]


def _listed(asked: Asked, foods: Sequence[str]) -> str:
    return ", ".join(asked.name(food) for food in foods)


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
    asked: Asked, recipe: Recipe, parts: Sequence[Part], lots: float, batch: str | None,
    name: str = "recipe",
) -> Hint:  # fmt: skip
    listed = ", ".join(_part_text(asked, part) for part in parts)
    lot = "lot" if abs(lots - 1) < 1e-9 else "lots"
    room = asked.show(volume_of(parts).likely, "ml")
    text = (
        f"{recipe.name.capitalize()}, {lots:.3g} {lot} ({asked.show(mass_of(parts), 'g')}, about "
        f"{room}): {listed}."
    )
    return Hint("mix", name, text, batch, recipe.sources)


def _part_text(asked: Asked, part: Part) -> str:
    form = f" {part.form}" if part.form in ("powder", "flakes") else ""
    return f"{grams(part.g)} {asked.name(part.food, many=False)}{form}"


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


def _shelf_hints(
    asked: Asked, one: Sequence[Part], held: Shelved, told: str, batch: str | None
) -> list[Hint]:
    """What the shelf gives or lacks, and whether it was taken."""
    if not held.tracked:
        if told != "make":
            return []
        text = "None of it is in the stock you told me of, so nothing is taken and nothing is kept."
        return [Hint("stock", "untracked", text, batch, (), "note")]
    hints = []
    if held.short:
        hints.append(_short_hint(asked, one, held, told, batch))
    if held.takes and (told == "made" or (told == "make" and not held.short)):
        listed = ", ".join(f"{grams(row.g)} of {row.batch}" for row in held.takes)
        text = f"Taken from stock: {listed}. Say “scratch that” if it is not made."
        hints.append(Hint("stock", "taken", text, batch))
    elif held.takes and not held.short:
        listed = "; ".join(
            f"{grams(row.g)} of the {grams(_there(asked, row.batch))} in {row.batch}"
            for row in held.takes
        )
        text = f"The shelf has enough: {listed}. Nothing is taken until you make it."
        hints.append(Hint("stock", "enough", text, batch))
    return hints


def _there(asked: Asked, batch: str) -> float:
    lines = (*asked.shelf, *in_hand(asked))
    return sum(line.remaining_g for line in lines if line.batch == batch)


def _short_hint(
    asked: Asked, one: Sequence[Part], held: Shelved, told: str, batch: str | None
) -> Hint:
    """What is missing, how many lots there is enough for, and what the fresh food would come to."""
    listed = "; ".join(
        f"{asked.name(row.food)}: {row.need_g:.0f} g wanted, {row.have_g:.0f} g there"
        for row in held.short
    )
    lots = most_lots(one, (*asked.shelf, *in_hand(asked)), PANTRY)
    enough = f"It is enough for {lots:.2g} lots." if lots > 0.05 else "No lot can be made of it."
    done = {"make": " Nothing is taken.", "made": " What there is of it is taken."}.get(told, "")
    text = f"The shelf is short of {listed}. {enough}{done}"
    return Hint("stock", "short", text, batch, (), "note")


def _allergen_hints(recipe: Recipe, allergens: tuple[str, ...], batch: str | None) -> list[Hint]:
    hints = []
    if allergens:
        text = f"Write on the label: holds {', '.join(allergens)}."
        hints.append(Hint("label", "allergens", text, batch, ("pk_eu1169",), "note"))
    if recipe.base_allergen and recipe.base_allergen not in allergens:
        text = f"The dry mix holds no {recipe.base_allergen}; the finished dip does."
        hints.append(Hint("label", "base-allergen", text, batch, ("pk_eu1169",)))
    return hints


def _own_mix(asked: Asked, own: Sequence[Statement], batch: str | None) -> Sums:
    """The speaker's own mix: its mass, room and allergens."""
    masses = [(item, mass) for item in own if (mass := dried_mass(asked, item)) is not None]
    total = (
        Span(*(sum(ends) for ends in zip(*(mass for _, mass in masses), strict=True)))
        if (masses)
        else Span(0, 0, 0)
    )
    room = sum(
        item.amount.si_likely if item.amount and item.amount.si_unit == "ml"
        else mass.likely / asked.use.density(item.food or "", "powder" if is_powder(item) else "")
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
    mass = dried_mass(asked, held)
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
    _, lots, best = rows[0]
    parts = scaled(parts_of(asked, best), lots)
    hints = [
        _can_make_hint(asked, held, mass, [(part, recipe) for _, part, recipe in rows[:4]], batch),
        _list_hint(asked, best, parts, lots, batch, name="for-first"),
    ]
    return Sums(tuple(_mix_numbers(best, parts, lots, batch)), tuple(hints), mix=best.id)


def _can_make_hint(
    asked: Asked, held: Statement, mass: Span, rows: Sequence[tuple[float, Recipe]],
    batch: str | None,
) -> Hint:  # fmt: skip
    """What one food is enough for, each mix with what it serves."""
    form = " powder" if is_powder(held) else ""
    texts = []
    for lots, recipe in rows:
        serves = f"{lots * recipe.serves:.0f} servings"
        if recipe.base_ml is not None:
            serves = f"{asked.show(lots * recipe.base_ml[1], 'ml')} of {recipe.base}, {serves}"
        texts.append(f"{lots:.2g} lots of {recipe.name} ({serves})")
    name = asked.name(held.food, many=False)
    one = "any one of these: " if len(texts) > 1 else ""
    text = f"{grams(mass.likely)} of {name}{form} is enough for {one}{'; '.join(texts)}."
    sources = tuple(dict.fromkeys(source for _, recipe in rows for source in recipe.sources))
    return Hint("mix", "can-make", text, batch, sources)
