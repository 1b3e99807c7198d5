"""A pickle planned from what a note says: produce, jars, brine to a jar and its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from stillroom.base.statement import SEASONINGS, Statement
from stillroom.enrich.kitchen_jars import as_jars, cut_class, is_soft, jar_size
from stillroom.enrich.kitchen_types import Asked
from stillroom.enrich.kitchen_words import named_in, vinegar_strength, water_ml
from stillroom.science.brine import (
    ACID_FLOOR,
    RAW_DENSITY,
    SOFT_DENSITY,
    VINEGAR_STRENGTH,
    Parts,
    Span,
    brine_in_jar,
    jars_needed,
    salt_draw,
    share_for_acid,
    split_brine,
    usable_ml,
)
from stillroom.tables.kitchen_rows import Pack, Style

_SALTED_CUTS = ("slices", "slices-thin", "shreds", "mixed")
"""Pieces that are salted and drained before they are packed, where a style asks for it."""
_TRIMMED = {"trimmed", "peeled", "cored", "seeded", "stemmed", "pitted"}
_COOKS_DOWN = {"mushroom": (0.35, 0.5, 0.65)}
"""What is left of food that gives up much of its water in the pan (recipe of pk_aib539)."""
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


def plan_pickle(asked: Asked, items: Sequence[Statement], batch: str | None) -> Plan | None:
    """The plan of one pickle; None where neither produce nor jars are given."""
    produce = [item for item in items if item.food and item.food not in SEASONINGS]
    foods = tuple(dict.fromkeys(item.food for item in produce if item.food))
    food = foods[0] if foods else ""
    use = asked.use.food(food)
    style, style_said = style_of(asked, use.pickle_style)
    cut = cut_class(produce or items, use, asked.reading.note, mixed=len(foods) > 2)
    if cut == "slices" and style.presalt_g_per_kg and not _thickness(produce):
        cut = "slices-thin"  # the published salted slices are 3/16 inch
    if not style_said and style.presalt_g_per_kg and cut not in _SALTED_CUTS:
        style = asked.use.styles["dill-and-garlic"]
    soft = is_soft(produce or items, food, cut) or (
        style.presalt_g_per_kg > 0 and cut in _SALTED_CUTS
    )
    pack = asked.use.pack(cut, use.kind)
    items, produce = [as_jars(item) for item in items], [as_jars(item) for item in produce]
    jar_ml, jar_said = jar_size(items, asked.kitchen.measure, asked.reading.note)
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


def _thickness(items: Sequence[Statement]) -> bool:
    return any(item.thickness_mm for item in items)


def style_of(asked: Asked, usual: str) -> tuple[Style, bool]:
    """The style that the note names, else the food's usual one; and whether it was named."""
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
            if "cooked" in item.prep and item.food in _COOKS_DOWN:
                low, likely, high = _COOKS_DOWN[item.food]
                mass = Span(mass.low * low, mass.likely * likely, mass.high * high)
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
    solids = usable_ml(plan.jar_ml, plan.style.solids_headspace_in)
    full = Span(*fraction).times(min(room, solids))
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
    if plan.from_mass and plan.jars == 1 and kept.likely > 2 * full.high:
        plan = replace(plan, jars_said=False)  # "in a litre jar" names the kind, not the number
    if plan.from_mass and not plan.jars_said:
        jars = jars_needed(kept.likely, full.likely)
    per_jar = full
    if plan.from_mass:
        share = kept.times(1 / jars)
        if share.likely <= full.high * 1.03:
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


def parts_for(plan: Plan) -> Parts:
    """Brine for all jars with its margin: as stated, else by the style, never under the floor."""
    total = plan.jar_brine.likely * plan.jars * (1 + plan.pack.spare)
    if plan.stated is not None:
        return plan.stated.times(total / plan.stated.volume_ml)
    style = plan.style
    jar = split_brine(
        max(plan.jar_brine.likely, 1.0), style.vinegar_share, style.sugar_g_per_l,
        style.salt_g_per_l,
    )  # fmt: skip
    floor = share_for_acid(ACID_FLOOR, plan.per_jar.likely, jar, plan.strength)
    share = max(style.vinegar_share, min(1.0, floor))
    return split_brine(total, share, style.sugar_g_per_l, style.salt_g_per_l)
