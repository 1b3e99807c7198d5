"""Refrigerator pickles: what a note says of produce, jars and brine, worked out.

The order is that of the work: prepared produce, salting, jars, brine to a jar, brine in all, its
parts, and what the jar comes to once produce and brine have settled. Shelf-stable jars are never
worked out here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from stillroom.base.fact import Number
from stillroom.base.statement import Statement
from stillroom.enrich.kitchen_jars import cut_class, is_soft, jar_size
from stillroom.enrich.kitchen_settle import settle_hints
from stillroom.enrich.kitchen_types import Asked, Hint, Sums, number
from stillroom.enrich.kitchen_words import (
    jars_short,
    named_in,
    vinegar_strength,
    wants_shelf,
    water_ml,
)
from stillroom.science.brine import (
    ACID_USUAL,
    MARGIN,
    RAW_DENSITY,
    SOFT_DENSITY,
    VINEGAR_STRENGTH,
    Parts,
    Span,
    brine_in_jar,
    jars_needed,
    salt_draw,
    second_batch,
    share_for_acid,
    split_brine,
    usable_ml,
)
from stillroom.tables.kitchen_use import Pack, Style

SEASONINGS = ("vinegar", "salt", "sugar")
_TRIMMED = {"trimmed", "peeled", "cored", "seeded", "stemmed", "pitted"}
_SALT_G_PER_ML = 292 / 236.588
_SUGAR_G_PER_ML = 200 / 236.588


@dataclass(frozen=True)
class Plan:
    """A pickle as far as it is known; masses in g, volumes in ml, ``per_jar`` is produce."""

    food: str
    foods: tuple[str, ...]
    batch: str | None
    cut: str
    soft: bool
    style: Style
    pack: Pack
    jar_ml: float
    jars: int
    jars_said: bool
    jar_said: bool
    prepared: Span
    drained: Span
    juice: Span | None
    draw_salt: float
    per_jar: Span
    jar_brine: Span
    strength: float
    strength_said: bool
    stated: Parts | None
    water_said: bool
    from_mass: bool
    style_said: bool


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
        text = (
            "Only a refrigerator pickle can be worked out here. Jars for the shelf need a tested "
            "recipe, with its own amounts and times."
        )
        return Sums(hints=(Hint("brine", "tested-recipe", text, batch, ("pk_msu_proc",), "stop"),))
    plan = _plan(asked, items, batch)
    if plan is None:
        return Sums(hints=_no_amount(asked, items, batch))
    parts = _parts(plan)
    hints = [*_jar_hints(asked, plan), *settle_hints(plan_jar(plan, parts), asked.kitchen)]
    return Sums(tuple(_numbers(plan, parts)), (*hints, *_short_hints(asked, plan, parts)))


def _plan(asked: Asked, items: Sequence[Statement], batch: str | None) -> Plan | None:
    produce = [item for item in items if item.food and item.food not in SEASONINGS]
    foods = tuple(dict.fromkeys(item.food for item in produce if item.food))
    food = foods[0] if foods else ""
    use = asked.use.food(food)
    cut = cut_class(produce or items, use, asked.reading.note, mixed=len(foods) > 2)
    style, style_said = _style(asked, use.pickle_style)
    soft = is_soft(produce or items, food) or (
        style.presalt_g_per_kg > 0 and cut in ("slices", "slices-thin", "shreds", "mixed")
    )
    pack = asked.use.pack(cut, use.kind)
    jar_ml, jar_said = jar_size(items, asked.kitchen.measure)
    count = next((item.vessel_count for item in items if item.vessel_count), None)
    mass = _mass(asked, produce, use.trim)
    if mass is None and count is None:
        return None
    return _fill(
        asked,
        Plan(
            food, foods, batch, cut, soft, style, pack, jar_ml, int(count or 0), count is not None,
            jar_said, mass or Span(0, 0, 0), Span(0, 0, 0), None, 0.0, Span(0, 0, 0),
            Span(0, 0, 0), vinegar_strength(asked.reading.note) or VINEGAR_STRENGTH,
            vinegar_strength(asked.reading.note) is not None, _stated(asked, items),
            water_ml(asked.reading.note, asked.kitchen.measure) is not None, mass is not None,
            style_said,
        ),
        drained=any("drained" in item.prep or "pressed" in item.prep for item in produce),
    )  # fmt: skip


def _style(asked: Asked, usual: str) -> tuple[Style, bool]:
    styles = asked.use.styles
    named = named_in(asked.reading.note, {key: row.words for key, row in styles.items()})
    return styles[named or usual or "plain-sour"], named is not None


def _mass(asked: Asked, produce: Sequence[Statement], trim: float) -> Span | None:
    """Prepared mass: as bought less trimmings; half of them where it was trimmed already."""
    spans = []
    for item in produce:
        mass = asked.mass(item)
        if mass is not None:
            loss = asked.use.food(item.food or "").trim if item.food else trim
            done = bool(_TRIMMED.intersection(item.prep))
            likely = loss / 2 if done else loss
            spans.append(
                Span(mass.low * (1 - min(0.95, 1.2 * loss)), mass.likely * (1 - likely), mass.high)
            )
    return Span(*(sum(ends) for ends in zip(*spans, strict=True))) if spans else None


def _stated(asked: Asked, items: Sequence[Statement]) -> Parts | None:
    """The brine that was said: vinegar and water in ml, salt and sugar in g."""
    said: dict[str, float] = {}
    for item in items:
        if item.food in SEASONINGS and item.amount is not None:
            value = item.amount.si_likely
            if item.amount.si_unit == "ml" and item.food != "vinegar":
                value *= _SALT_G_PER_ML if item.food == "salt" else _SUGAR_G_PER_ML
            elif item.amount.si_unit == "g" and item.food == "vinegar":
                value /= 1.01
            elif item.amount.si_unit == "count":
                continue
            said[item.food] = said.get(item.food, 0.0) + value
    if not said.get("vinegar"):
        return None
    water = water_ml(asked.reading.note, asked.kitchen.measure) or 0.0
    return Parts(said["vinegar"], water, said.get("sugar", 0.0), said.get("salt", 0.0))


def _fill(asked: Asked, plan: Plan, *, drained: bool) -> Plan:
    """Salting, jars and brine to a jar."""
    room = usable_ml(plan.jar_ml)
    fraction = plan.pack.soft if plan.soft else plan.pack.firm
    full = Span(*fraction).times(room)
    salted = plan.style.presalt_g_per_kg > 0 and plan.soft and not drained and plan.stated is None
    loss = (
        Span(*asked.use.draw(plan.cut, asked.use.food(plan.food).kind, pressed=False).loss)
        if salted
        else Span(0, 0, 0)
    )
    prepared, jars = plan.prepared, plan.jars
    if not plan.from_mass:
        prepared = full.times(jars / (1 - loss.likely))
    salt, _, juice = salt_draw(prepared.likely, plan.style.presalt_g_per_kg if salted else 0, loss)
    kept = Span(*(m * (1 - loss.likely) for m in prepared))
    if plan.from_mass and not plan.jars_said:
        jars = jars_needed(kept.likely, full.likely)
    per_jar = full
    if plan.from_mass:
        share = kept.times(1 / jars)
        per_jar = Span(*sorted(min(part, full.high) for part in share))
    density = SOFT_DENSITY if plan.soft else RAW_DENSITY
    likely = brine_in_jar(room, per_jar.likely, density)
    jar_brine = Span(
        min(likely, brine_in_jar(room, max(per_jar.high, per_jar.likely * 1.12), density)), likely,
        max(likely, brine_in_jar(room, min(per_jar.low, per_jar.likely * 0.88), density)),
    )  # fmt: skip
    return replace(
        plan, jars=jars, prepared=prepared, drained=kept, juice=juice if salted else None,
        draw_salt=salt, per_jar=per_jar, jar_brine=jar_brine,
    )  # fmt: skip


def _parts(plan: Plan) -> Parts:
    """Brine for all jars with its margin: as stated, else by the style, never under the floor."""
    total = plan.jar_brine.likely * plan.jars * (1 + MARGIN)
    if plan.stated is not None:
        return plan.stated.times(total / plan.stated.volume_ml)
    style = plan.style
    jar = split_brine(
        max(plan.jar_brine.likely, 1.0), style.vinegar_share, style.sugar_g_per_l,
        style.salt_g_per_l,
    )  # fmt: skip
    target = 1.0 if plan.soft else ACID_USUAL
    floor = share_for_acid(target, plan.per_jar.likely, jar, plan.strength)
    share = max(style.vinegar_share, min(1.0, floor))
    return split_brine(total, share, style.sugar_g_per_l, style.salt_g_per_l)


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
    liquid = parts.vinegar_ml + parts.water_ml
    return Jar(
        plan.batch, plan.per_jar.likely, parts.times(plan.jar_brine.likely / volume),
        plan.strength, plan.strength_said, 0.4 * plan.draw_salt / max(plan.jars, 1), plan.cut,
        plan.style.hot, plan.style, plan.water_said, plan.stated is not None, plan.food,
        plan.stated is None and parts.vinegar_ml / liquid > plan.style.vinegar_share + 0.005,
    )  # fmt: skip


def _numbers(plan: Plan, parts: Parts) -> list[Number]:
    b, sources = plan.batch, (*plan.pack.sources, *plan.style.sources)
    total = parts.volume_ml
    low = min(total, plan.jar_brine.low * plan.jars)
    brine = Span(low, total, max(total, plan.jar_brine.high * plan.jars * (1 + MARGIN)))
    assumes = [f"packed as {plan.cut.replace('-', ' ')}", f"{MARGIN:.0%} of brine to spare"]
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
    for name, amount, unit in (
        ("vinegar_volume", parts.vinegar_ml, "ml"), ("water_volume", parts.water_ml, "ml"),
        ("sugar_mass", parts.sugar_g, "g"), ("salt_mass", parts.salt_g, "g"),
    ):  # fmt: skip
        span = brine.times(amount / total) if total else Span(0, 0, 0)
        found.append(number(name, span, unit, b, plan.style.sources, driver=driver))
    found.append(number("jar_brine_volume", plan.jar_brine, "ml", b, sources, driver=driver))
    found.append(number("jar_count", _jar_span(plan), "count", b, plan.pack.sources, driver=driver))
    if plan.juice is not None:
        found += [
            number("draw_salt_mass", Span(*[plan.draw_salt] * 3), "g", b, plan.style.sources),
            number("juice_volume", plan.juice, "ml", b, ("common-practice",),
                   driver="how long it is salted"),
            number("drained_mass", plan.drained, "g", b, ("common-practice",)),
        ]  # fmt: skip
    return found


def _jar_span(plan: Plan) -> Span:
    if plan.jars_said or not plan.from_mass:
        return Span(plan.jars, plan.jars, plan.jars)
    room = usable_ml(plan.jar_ml)
    tight, _, loose = sorted((plan.pack.soft if plan.soft else plan.pack.firm), reverse=True)
    return Span(
        min(plan.jars, jars_needed(plan.drained.likely, tight * room)), plan.jars,
        max(plan.jars, jars_needed(plan.drained.likely, loose * room)),
    )  # fmt: skip


def _jar_hints(asked: Asked, plan: Plan) -> list[Hint]:
    hints: list[Hint] = []
    many = asked.name(plan.food) if plan.food else "produce"
    room = usable_ml(plan.jar_ml)
    top = (plan.pack.soft if plan.soft else plan.pack.firm)[2]
    if plan.from_mass and plan.jars_said and plan.drained.likely > top * room * plan.jars * 1.03:
        likely = (plan.pack.soft if plan.soft else plan.pack.firm)[1] * room
        text = (
            f"That many {many} pack {plan.jars} jars too tightly for the brine to move round them; "
            f"take {jars_needed(plan.drained.likely, likely)} jars of this size."
        )
        hints.append(Hint("jar", "more-jars", text, plan.batch, ("pk_msu_fresh",), "caution"))
    if plan.draw_salt:
        text = (
            f"Toss the pieces with {plan.draw_salt:.0f} g of salt, stand them about "
            f"{plan.style.presalt_hours:.0f} h in the fridge, then drain and taste; rinse if too "
            "salty."
        )
        hints.append(Hint("prep", "salt-draw", text, plan.batch, plan.style.sources))
    text = f"Spices to taste: {plan.style.spices}. The proportions are {plan.style.ratio_of}."
    if plan.stated is None:
        hints.append(Hint("brine", "style", text, plan.batch, plan.style.sources))
    return hints


def _short_hints(asked: Asked, plan: Plan, parts: Parts) -> list[Hint]:
    """A second batch for the jars the brine did not reach, or whether a stated brine is enough."""
    short = jars_short(asked.reading.note)
    step = 60.0 if asked.kitchen.measure == "us" else 50.0
    if short and plan.jars and parts.vinegar_ml:
        factor, more = second_batch(parts, plan.jars, short, step)
        text = (
            f"For {short:g} more jar{'s' if short != 1 else ''} make {factor:.2f} times the brine: "
            f"{more.vinegar_ml:.0f} ml vinegar, {more.water_ml:.0f} ml water, "
            f"{more.sugar_g:.0f} g sugar, {more.salt_g:.0f} g salt. Same proportions, never "
            "thinned with water."
        )
        return [Hint("brine", "second-batch", text, plan.batch, ("pk_ndsu",))]
    if plan.stated is None:
        return []
    made, need = plan.stated.volume_ml, plan.jar_brine.likely * plan.jars
    if made < need * 0.97:
        lack = need - made
        text = (
            f"The brine named comes to {made:.0f} ml and the jars take about {need:.0f} ml: make "
            f"about {lack:.0f} ml more of the same."
        )
        return [Hint("brine", "brine-short", text, plan.batch, plan.pack.sources, "note")]
    text = f"The brine named comes to {made:.0f} ml; the jars take about {need:.0f} ml."
    return [Hint("brine", "brine-enough", text, plan.batch, plan.pack.sources)]


def _no_amount(asked: Asked, items: Sequence[Statement], batch: str | None) -> tuple[Hint, ...]:
    """A style's proportions, when neither produce nor jars are known."""
    food = next((i.food for i in items if i.food and i.food not in SEASONINGS), "")
    style, _ = _style(asked, asked.use.food(food or "").pickle_style)
    text = (
        f"{style.name.capitalize()}: {style.ratio_of}. That is {style.vinegar_share:.0%} vinegar "
        f"of 5 % acidity in the liquid, {style.sugar_g_per_l:.0f} g sugar and "
        f"{style.salt_g_per_l:.0f} g salt to the litre. Tell me the weight or the jars for amounts."
    )
    return (Hint("brine", "style", text, batch, style.sources),)
