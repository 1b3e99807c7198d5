"""Refrigerator pickles: what a note says of produce, jars and brine, worked out.

The order is that of the work: prepared produce, salting, jars, brine to a jar, brine in all, its
parts, and what the jar comes to once produce and brine have settled. Shelf-stable jars are never
worked out here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stillroom.base.fact import Number
from stillroom.base.statement import SEASONINGS, Statement
from stillroom.enrich.kitchen_amounts import amounts_hint, jar_hints, split_text
from stillroom.enrich.kitchen_plan import Plan, parts_for, plan_pickle, style_of
from stillroom.enrich.kitchen_settle import less_vinegar, never_less, settle_hints
from stillroom.enrich.kitchen_types import Asked, Hint, Sums, number
from stillroom.enrich.kitchen_words import (
    jars_short,
    wants_shelf,
)
from stillroom.science.brine import (
    SHARE_FLOOR,
    Parts,
    Span,
    jars_needed,
    second_batch,
    strength_share,
    usable_ml,
)
from stillroom.tables.kitchen_rows import Style

_PACKED = {
    "whole": "whole pieces", "small-whole": "small whole pieces", "long": "long pieces upright",
    "spears": "spears", "slices-thin": "thin slices", "slices": "slices of about 6 mm",
    "slices-thick": "thick slices", "rings": "rings", "dice": "dice", "minced": "a fine mince",
    "shreds": "shreds pressed down", "florets": "florets", "halves": "halves", "leaves": "leaves",
    "mixed": "mixed pieces",
}  # fmt: skip
_KEEPS_DAYS = Span(14, 28, 56)
"""Practice for strong vinegar brines, no tested life; a weak one a week (pk_blog_fridge)."""
_KEEPS_WEAK_DAYS = Span(5, 7, 10)


def brine_sums(asked: Asked, items: Sequence[Statement], batch: str | None) -> Sums:
    """Everything about one pickle.

    Args:
        asked: note, tables and kitchen.
        items: its statements (brine, ask about brine, and what was said of the produce before).
        batch: its name.

    Returns:
        Numbers and hints; a single hint where the jar is meant for the shelf.
    """
    note = asked.reading.note
    if wants_shelf(note):
        return Sums(hints=(tested_recipe(batch),))
    plan = plan_pickle(asked, items, batch)
    if plan is None:
        return Sums(hints=_no_amount(asked, items, batch))
    parts = parts_for(plan)
    hints = [
        amounts_hint(asked, plan, parts),
        *jar_hints(asked, plan),
        *settle_hints(plan_jar(plan, parts), asked.kitchen, note),
    ]
    return Sums(tuple(_numbers(plan, parts)), (*hints, *_short_hints(asked, plan, parts)))


def tested_recipe(batch: str | None) -> Hint:
    """Jars for the shelf are never worked out here."""
    text = (
        "Only a refrigerator pickle can be worked out here. Jars for the shelf need a tested "
        "recipe, with its own amounts and times."
    )
    return Hint("brine", "tested-recipe", text, batch, ("pk_msu_proc",), "stop")


@dataclass(frozen=True)
class Jar:
    """One filled jar, for the balance: produce in g and its brine."""

    batch: str | None
    produce_g: float
    brine: Parts
    strength: float
    strength_said: bool
    produce_salt_g: float
    cut: str
    hot: bool
    style: Style
    water_said: bool
    stated: bool
    food: str
    raised: bool


def plan_jar(plan: Plan, parts: Parts) -> Jar:
    """One jar of a plan; the salt drawn in leaves with the juice for about half."""
    volume = max(parts.volume_ml, 1.0)
    return Jar(
        plan.batch, plan.per_jar.likely, parts.times(plan.jar_brine.likely / volume),
        plan.strength, plan.strength_said, 0.4 * plan.draw_salt / max(plan.jars, 1), plan.cut,
        plan.style.hot, plan.style, plan.water_said, plan.stated is not None, plan.food,
        plan.stated is None and _share(parts) > plan.style.vinegar_share + 0.005,
    )  # fmt: skip


def _numbers(plan: Plan, parts: Parts) -> list[Number]:
    b, sources = plan.batch, (*plan.pack.sources, *plan.style.sources)
    total = parts.volume_ml
    low = min(total, plan.jar_brine.low * plan.jars)
    brine = Span(low, total, max(total, plan.jar_brine.high * plan.jars * (1 + plan.pack.spare)))
    assumes = [f"packed as {_PACKED[plan.cut]}", f"{plan.pack.spare:.0%} of brine to spare"]
    if not plan.jar_said:
        assumes.append(f"jars of {plan.jar_ml:.0f} ml")
    if not plan.strength_said:
        assumes.append("vinegar of 5 % acidity")
    if plan.stated is None and not plan.style_said:
        assumes.append(f"style: {plan.style.name}")
    driver = "how tightly the pieces pack"
    found = [
        number("prepared_mass", plan.prepared, "g", b, plan.pack.sources, driver=driver),
        number("brine_volume", brine, "ml", b, sources, assumes=tuple(assumes), driver=driver),
    ]
    if plan.draw_salt:
        parts = parts._replace(salt_g=parts.salt_g + plan.draw_salt)
    for name, amount, unit in (
        ("vinegar_volume", parts.vinegar_ml, "ml"), ("water_volume", parts.water_ml, "ml"),
        ("sugar_mass", parts.sugar_g, "g"), ("salt_mass", parts.salt_g, "g"),
    ):  # fmt: skip
        span = brine.times(amount / total) if total else Span(0, 0, 0)
        found.append(number(name, span, unit, b, plan.style.sources, driver=driver))
    found.append(number("jar_brine_volume", plan.jar_brine, "ml", b, sources, driver=driver))
    found.append(number("jar_count", _jar_span(plan), "count", b, plan.pack.sources, driver=driver))
    weak = strength_share(_share(parts), plan.strength) < SHARE_FLOOR - 0.005
    keeps = _KEEPS_WEAK_DAYS if weak else _KEEPS_DAYS
    found.append(
        number("shelf_life", keeps, "day", b, ("pk_blog_fridge",), assumes=("4 °C or colder",))
    )
    if plan.juice is not None:
        found += [
            number("draw_salt_mass", Span(*[plan.draw_salt] * 3), "g", b, plan.style.sources),
            number("juice_volume", plan.juice, "ml", b, ("common-practice",),
                   driver="how long it is salted"),
            number("drained_mass", plan.drained, "g", b, ("common-practice",)),
        ]  # fmt: skip
    return found


def _share(parts: Parts) -> float:
    liquid = parts.vinegar_ml + parts.water_ml
    return parts.vinegar_ml / liquid if liquid else 0.0


def _jar_span(plan: Plan) -> Span:
    if plan.jars_said or not plan.from_mass:
        return Span(plan.jars, plan.jars, plan.jars)
    room = usable_ml(plan.jar_ml)
    tight, _, loose = sorted((plan.pack.soft if plan.soft else plan.pack.firm), reverse=True)
    return Span(
        min(plan.jars, jars_needed(plan.drained.likely, tight * room)), plan.jars,
        max(plan.jars, jars_needed(plan.drained.likely, loose * room)),
    )  # fmt: skip


def _short_hints(asked: Asked, plan: Plan, parts: Parts) -> list[Hint]:
    """A second batch for the jars the brine did not reach, or whether a stated brine is enough."""
    short = jars_short(asked.reading.note)
    step = 60.0 if asked.kitchen.measure == "us" else 50.0
    if short and plan.jars and parts.vinegar_ml:
        factor, more = second_batch(parts, plan.jars, short, step)
        text = (
            f"For {short:g} more jar{'s' if short != 1 else ''} make {factor:.2f} times the brine: "
            f"{split_text(asked, more)}. Same proportions, never thinned with water."
        )
        return [Hint("brine", "second-batch", text, plan.batch, ("pk_ndsu",))]
    if plan.stated is None:
        return []
    made, need = plan.stated.volume_ml, plan.jar_brine.likely * plan.jars
    if made < need * 0.97:
        lack = need - made
        text = (
            f"The brine named comes to {asked.show(made, 'ml')} and the jars take about "
            f"{asked.show(need, 'ml')}: make about {asked.show(lack, 'ml')} more of the same."
        )
        return [Hint("brine", "brine-short", text, plan.batch, plan.pack.sources, "note")]
    text = (
        f"The brine named comes to {asked.show(made, 'ml')}; the jars take about "
        f"{asked.show(need, 'ml')}."
    )
    return [Hint("brine", "brine-enough", text, plan.batch, plan.pack.sources)]


def _no_amount(asked: Asked, items: Sequence[Statement], batch: str | None) -> tuple[Hint, ...]:
    """A style's proportions, when neither produce nor jars are known."""
    food = next((i.food for i in items if i.food and i.food not in SEASONINGS), "")
    style, _ = style_of(asked, asked.use.food(food or "").pickle_style)
    text = (
        f"{style.name.capitalize()}: {style.ratio_of}. That is {style.vinegar_share:.0%} vinegar "
        f"of 5 % acidity in the liquid, {style.sugar_g_per_l:.0f} g sugar and "
        f"{style.salt_g_per_l:.0f} g salt to the litre. Tell me the weight or the jars for amounts."
    )
    hints = [Hint("brine", "style", text, batch, style.sources)]
    if less_vinegar(asked.reading.note):
        hints.insert(0, never_less(batch))
    return tuple(hints)
