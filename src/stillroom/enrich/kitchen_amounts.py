"""A pickle's amounts in a sentence, and what goes with them in the work."""

from __future__ import annotations

import re

from stillroom.enrich.kitchen_plan import Plan
from stillroom.enrich.kitchen_types import Asked, Hint
from stillroom.science.brine import MARGIN, Parts, jars_needed, usable_ml

_ASKS_DRAW = re.compile(
    r"\b(?:salt|water|juice)\b.*\b(?:draw|draws|drawn|pull|pulls|salt(?:ing)? (?:down|first))\b"
    r"|\b(?:draw|pull)\w*\b.*\b(?:salt|water|juice)\b", re.I
)  # fmt: skip
_SIZES = {118: "quarter-pint", 237: "half-pint", 355: "12-ounce", 473: "pint", 946: "quart",
          1893: "half-gallon"}  # fmt: skip


def amounts_hint(asked: Asked, plan: Plan, parts: Parts) -> Hint:
    """The whole answer in a sentence: jars, brine, its parts, brine to a jar."""
    show = asked.show
    low, high = plan.jar_brine.low * plan.jars, plan.jar_brine.high * plan.jars * _made(plan)
    ranged = f"{show(min(low, parts.volume_ml), 'ml')} to {show(max(high, parts.volume_ml), 'ml')}"
    text = (
        f"{_jars(asked, plan)} about {show(parts.volume_ml, 'ml')} of brine ({ranged}), "
        f"{show(plan.jar_brine.likely, 'ml')} to a jar: {split_text(asked, parts)}."
    )
    sources = tuple(dict.fromkeys((*plan.pack.sources, *plan.style.sources)))
    return Hint("brine", "amounts", text, plan.batch, sources)


def split_text(asked: Asked, parts: Parts) -> str:
    """The parts of a brine in words; what is not in it is left out."""
    show = asked.show
    split = [f"{show(parts.vinegar_ml, 'ml')} vinegar"]
    if parts.water_ml > 0:
        split.append(f"{show(parts.water_ml, 'ml')} water")
    if parts.sugar_g > 0:
        split.append(f"{show(parts.sugar_g, 'g')} sugar")
    if parts.salt_g > 0:
        split.append(f"{_salt(asked, parts.salt_g)} salt")
    return ", ".join(split)


def _salt(asked: Asked, grams: float) -> str:
    """Salt; a little of it by the teaspoon of 6 g (pk_sr26) where spoons are the measure."""
    if asked.kitchen.measure == "us" and grams < 60:
        return f"{grams / 6:.2g} tsp ({grams:.0f} g)"
    return asked.show(grams, "g")


def _made(plan: Plan) -> float:
    return 1 + plan.pack.spare


def _jars(asked: Asked, plan: Plan) -> str:
    """How many jars of what: the beginning of the sentence."""
    many = " and ".join(asked.name(food) for food in plan.foods) or "produce"
    named = _SIZES.get(round(plan.jar_ml))
    plural = "" if plan.jars == 1 else "s"
    jars = f"{plan.jars} {named} jar{plural}"
    if named is None:
        jars = f"{plan.jars} jar{plural} of {plan.jar_ml:.0f} ml"
    if not plan.from_mass:
        take = "takes" if plan.jars == 1 else "take"
        grams = asked.show(plan.prepared.likely, "g")
        return f"{jars} of {many} {take} (with about {grams} of prepared pieces)"
    drained = ""
    if plan.juice is not None:
        drained = f", {asked.show(plan.drained.likely, 'g')} once salted and drained"
    grams = asked.show(plan.prepared.likely, "g")
    head = f"{many[0].upper()}{many[1:]} ({grams} prepared{drained})"
    if overfull(plan):
        return f"{head} will not all go into {jars}; packed as usual these take"
    return f"{head} fill {'' if plan.jars_said else 'about '}{jars}, which take"


def overfull(plan: Plan) -> bool:
    """Whether there is more than the jars that were named can take."""
    top = (plan.pack.soft if plan.soft else plan.pack.firm)[2]
    room = top * usable_ml(plan.jar_ml) * plan.jars
    return plan.from_mass and plan.jars_said and plan.drained.likely > room * 1.03


def jar_hints(asked: Asked, plan: Plan) -> list[Hint]:
    """Jars too full, salting first, spices and style, brine that is left over."""
    hints: list[Hint] = []
    many = asked.name(plan.food) if plan.food else "produce"
    room = usable_ml(plan.jar_ml)
    if overfull(plan):
        likely = (plan.pack.soft if plan.soft else plan.pack.firm)[1] * room
        text = (
            f"That many {many} pack {plan.jars} jars too tightly for the brine to move round them; "
            f"take {jars_needed(plan.drained.likely, likely)} jars of this size."
        )
        hints.append(Hint("jar", "more-jars", text, plan.batch, ("pk_msu_fresh",), "caution"))
    if plan.draw_salt:
        text = (
            f"Toss the pieces with {asked.show(plan.draw_salt, 'g')} of salt, stand them about "
            f"{plan.style.presalt_hours:.0f} h in the fridge, then drain off about "
            f"{asked.show(plan.juice.likely if plan.juice else 0, 'ml')} of water and taste; rinse "
            "if too salty."
        )
        name = "salt-first" if _ASKS_DRAW.search(asked.reading.note) else "salt-draw"
        hints.append(Hint("prep", name, text, plan.batch, plan.style.sources))
    if plan.pack.spare > MARGIN:
        text = (
            f"That makes about {plan.pack.spare:.0%} more brine than the jars take, as ring "
            "recipes do: rings trap air and settle. What never touched them keeps covered in the "
            "fridge for the next lot."
        )
        hints.append(Hint("brine", "spare", text, plan.batch, (*plan.pack.sources, "pk_clemson")))
    taken = "" if plan.style_said else f"Taken as {plan.style.name}. "
    text = (
        f"{taken}Spices to taste: {plan.style.spices}. The proportions are {plan.style.ratio_of}."
    )
    if plan.stated is None:
        hints.append(Hint("brine", "style", text, plan.batch, plan.style.sources))
    return hints
