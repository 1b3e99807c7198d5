"""The door to pickles, powders, mixes, soaking and juice: a note in, numbers and hints out.

    sums = kitchen_sums(reading, tables().foods, shelf, Kitchen(humidity=0.6), mass_of)
    sums.numbers, sums.hints, sums.facts(), sums.takes, sums.best_by, sums.allergens

Which sum a statement asks for goes by its act and topic; each is done once for each batch.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from stillroom.base.statement import SEASONINGS, Reading, Statement
from stillroom.enrich.kitchen_brine import brine_sums, tested_recipe
from stillroom.enrich.kitchen_make import named_recipe
from stillroom.enrich.kitchen_mix import mix_sums
from stillroom.enrich.kitchen_powder import powder_keeps, powder_sums
from stillroom.enrich.kitchen_scraps import scraps_hints
from stillroom.enrich.kitchen_soak import (
    dried_for_fresh,
    fresh_for_dried,
    juice_sums,
    soak_sums,
    substitute_sums,
)
from stillroom.enrich.kitchen_types import Asked, Hint, Kitchen, MassOf, Sums
from stillroom.enrich.kitchen_words import asks_process, jars_short
from stillroom.enrich.lots import called_dried, group_statements
from stillroom.science.brine import dried_uptake
from stillroom.science.mixes import Line
from stillroom.tables.food import Food

_PICKLE = re.compile(r"\b(?:pickl\w*|brine\w*|vinegar)\b", re.I)
_JELLY = re.compile(r"\bjell(?:y|ies)\b", re.I)
_JUICE = re.compile(r"\bjuices?\b", re.I)
_MAKE = re.compile(
    r"\b(?:mak(?:e|ing)|scale|mix|lots?|batch(?:es)?|recipe|put together|double)\b", re.I
)
_WHAT_TO_MAKE = re.compile(r"\bwhat (?:can|could|shall|should|might) (?:i|we) (?:\w+ )?make|"
                           r"\bwhat (?:is|are) (?:it|they) (?:good|enough) for", re.I)  # fmt: skip
_WANTS = re.compile(r"\b(?:wants?|needs?|calls? for|asks? for|recipe)\b", re.I)
_INSTEAD = re.compile(
    r"\b(?:replac\w+|instead of|in place of|stands? in|substitut\w+|swap)\b", re.I
)
_DRIED = re.compile(r"\bdried\b|\bflakes?\b", re.I)


def kitchen_sums(
    reading: Reading,
    foods: Mapping[str, Food],
    shelf: Sequence[Line] = (),
    kitchen: Kitchen | None = None,
    mass_of: MassOf | None = None,
    *,
    earlier: Sequence[Statement] = (),
) -> Sums:
    """All pickle, powder, mix, soaking and juice figures of one note.

    Args:
        reading: the note, read.
        foods: foods of the knowledge tables, by canonical name.
        shelf: dried stock, one line a batch, as plain values.
        kitchen: humidity, measure and the juice kept so far.
        mass_of: mass of what a statement gives by count or volume (g), or None.
        earlier: statements told shortly before, oldest first.

    Returns:
        Numbers and hints; empty when the note asks for none of this.
    """
    asked = Asked(reading, foods, tuple(shelf), kitchen or Kitchen(), mass_of,
                  earlier=tuple(earlier))  # fmt: skip
    if asks_process(reading.note):
        return Sums(hints=(tested_recipe(None),))
    if scraps := scraps_hints(asked):
        return Sums(hints=tuple(scraps))
    grouped = group_statements(reading.statements)
    found = Sums()
    pickles = [pair for pair in grouped if _is_brine(pair[0], reading.note)]
    if jars_short(reading.note) and not any(_plannable(asked, item) for item, _ in pickles):
        again = _short_again(asked)
        if again.hints:
            return again
    if pickles:
        found = found.plus(_pickle(asked, grouped, pickles))
    mixes = [pair for pair in grouped if _is_mix(asked, pair[0])]
    if not mixes and not pickles and _speaks_of_mix(asked):
        mixes = grouped[:1] or [(Statement("ask", reading.note), None)]
    if mixes and not pickles:
        items = [item for item, _ in grouped if item.act in ("blend", "have", "ask", "pack")]
        found = found.plus(mix_sums(asked, items, mixes[0][1]))
    for item, batch in grouped:
        found = found.plus(_one(asked, item, batch, mixed=bool(mixes or pickles)))
    if _JELLY.search(reading.note) or _juice_told(reading):
        found = found.plus(juice_sums(asked, None))
    return found


def _juice_told(reading: Reading) -> bool:
    """Whether juice was told of, or is asked for among the stock."""
    return any(
        item.juice or (item.act == "ask" and item.about == "stock" and _JUICE.search(item.text))
        for item in reading.statements
    )


def _plannable(asked: Asked, item: Statement) -> bool:
    """Whether a statement names produce itself, with its amount or its jars."""
    if not item.food or item.food in SEASONINGS:
        return False
    text = (item.asked or item.text).lower()
    named = asked.name(item.food, many=False).lower()[:4] in text or item.food[:4] in text
    return bool(item.amount or (item.vessel_count and named))


def _short_again(asked: Asked) -> Sums:
    """Jars that ran short of the pickle told before: its second batch and nothing else."""
    told = [item for item in asked.earlier
            if item.act == "brine" or (item.act == "ask" and item.about == "brine")]  # fmt: skip
    last = max((k for k, item in enumerate(told) if _plannable(asked, item)), default=None)
    if last is None:
        return Sums()
    batch = told[last].batch
    same = [item for item in told if item.batch == batch] if batch else told[last:]
    words = " ".join(item.asked or item.text for item in same)
    then = Reading(f"{words}. {asked.reading.note}", tuple(same))
    found = brine_sums(replace(asked, reading=then), same, batch)
    return Sums(hints=tuple(hint for hint in found.hints if hint.name == "second-batch"))


def _speaks_of_mix(asked: Asked) -> bool:
    """A mix asked for in words that gave no blend: "make four lots of the herb dip mix"."""
    note = asked.reading.note
    if any(item.act in ("weigh", "look", "load", "use") for item in asked.reading.statements):
        return False
    if named_recipe(asked) is not None and _MAKE.search(note):
        return True
    return bool(_WHAT_TO_MAKE.search(note)) and any(
        item.food and item.amount and (item.dried or item.cut == "powdered")
        for item in asked.reading.statements
    )


def _is_brine(item: Statement, note: str) -> bool:
    if item.act == "brine":
        return True
    if item.act != "ask":
        return False
    return item.about == "brine" or (item.about == "jar" and bool(_PICKLE.search(note)))


def _is_mix(asked: Asked, item: Statement) -> bool:
    if item.act == "ask":
        return item.about == "mix" or (
            item.about in ("powder", "plan", "stock") and named_recipe(asked) is not None
        )
    ground = item.food and item.cut == "powdered"
    return item.act == "blend" and (not ground or named_recipe(asked) is not None)


def _pickle(
    asked: Asked,
    grouped: Sequence[tuple[Statement, str | None]],
    pickles: Sequence[tuple[Statement, str | None]],
) -> Sums:
    """One pickle, or one for each food where each food names its own jars."""
    produce = [
        (item, batch) for item, batch in pickles if item.food and item.food not in SEASONINGS
    ]
    own = {batch for item, batch in produce if item.vessel_count}
    rest = [item for item, _ in pickles if not item.food or item.food in SEASONINGS]
    found = Sums()
    if len(own) > 1 and not any(item.food for item in rest):
        for name in dict.fromkeys(batch for _, batch in produce):
            items = [item for item, batch in produce if batch == name]
            found = found.plus(_with_before(asked, grouped, items, name))
        return found
    items = [item for item, _ in pickles]
    name = next((batch for _, batch in produce), pickles[0][1])
    return _with_before(asked, grouped, items, name)


def _with_before(
    asked: Asked,
    grouped: Sequence[tuple[Statement, str | None]],
    items: Sequence[Statement],
    name: str | None,
) -> Sums:
    """A pickle with what the note said of its produce before; dried pieces drink brine besides."""
    foods = {item.food for item in items if item.food} - SEASONINGS
    dried = [item for item in items if item.dried and item.amount is not None and len(foods) > 1]
    weighed = any(item.amount for item in items if item.food in foods)
    before = [
        item.having(amount=None) if weighed else item
        for item, _ in grouped
        if item.act == "have" and (item.food in foods or not foods) and not item.dried
    ]
    kept = [item for item in items if item not in dried]
    return brine_sums(asked, [*before, *kept], name).plus(_drinks(asked, dried, name))


def _drinks(asked: Asked, dried: Sequence[Statement], name: str | None) -> Sums:
    grams = 0.0
    for item in dried:
        amount = item.amount
        if amount is None or amount.si_unit == "count":
            continue
        density = asked.use.food(item.food or "").dried_g_per_ml
        grams += amount.si_likely * (density if amount.si_unit == "ml" else 1.0)
    if not grams and not (_DRIED.search(asked.reading.note) and dried):
        return Sums()
    drink = dried_uptake(grams)
    text = (
        f"The dried pieces drink about {drink.likely:.0f} ml of brine ({drink.low:.0f} to "
        f"{drink.high:.0f} ml): keep that much back, and top up the next day with the same brine."
    )
    return Sums(hints=(Hint("brine", "dried-drinks", text, name, ("pk_derived",)),))


def _one(asked: Asked, item: Statement, batch: str | None, *, mixed: bool) -> Sums:
    """Sums that one statement asks for by itself."""
    if not item.food:
        told = _dried_told(asked) if item.act == "ask" and item.about == "rehydrate" else None
        return Sums() if told is None else soak_sums(asked, told, batch)
    if item.act == "blend" and item.cut == "powdered" and not mixed:
        return powder_sums(asked, item, batch)
    if item.act == "have" and item.amount and not item.dried and not mixed and _swaps_dried(asked):
        return soak_sums(asked, item, batch)
    if item.act != "ask":
        return Sums()
    powder = _powder_asked(asked, item, batch, mixed=mixed)
    return powder or _soak_asked(asked, item, batch)


def _dried_told(asked: Asked) -> Statement | None:
    """The dried food of the same note that "how much fresh is that" points at."""
    told = [
        item for item in asked.reading.statements
        if item.food and item.amount and item.dried and item.act in ("have", "pack")
    ]  # fmt: skip
    return told[-1] if told else None


def _powder_asked(asked: Asked, item: Statement, batch: str | None, *, mixed: bool) -> Sums | None:
    """What a question about a powder is answered with; None for any other."""
    ground = item.cut == "powdered"
    if item.about == "powder" and not mixed and not _INSTEAD.search(asked.reading.note):
        return powder_sums(asked, item, batch)
    if ground and not mixed and item.amount and item.about in ("yield", "jar"):
        return powder_sums(asked, item, batch)
    if ground and item.about == "shelf-life":
        return powder_keeps(asked, item, batch)
    return None


def _soak_asked(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """Soaking, standing in, and the fresh equal of dried food."""
    if item.about == "rehydrate":
        return soak_sums(asked, item, batch)
    if item.about == "substitute" or (
        item.about in (None, "yield", "mix", "powder") and _INSTEAD.search(asked.reading.note)
    ):
        return _substitute(asked, item, batch)
    counted = item.amount is not None and item.amount.si_unit == "count"
    if item.about == "yield" and counted and called_dried(item):
        return dried_for_fresh(asked, item, batch)  # "how much dried onion for one onion"
    if item.about == "yield" and item.amount and called_dried(item):
        return fresh_for_dried(asked, item, batch)
    return Sums()


def _swaps_dried(asked: Asked) -> bool:
    """A recipe names the fresh amount and the cook has dried: no question, yet one is meant."""
    note = asked.reading.note
    return bool(_WANTS.search(note) and _DRIED.search(note))


def _substitute(asked: Asked, item: Statement, batch: str | None) -> Sums:
    """Stand-ins; with an amount, how much dried or fresh it comes to as well."""
    listed = substitute_sums(asked, item, batch)
    if item.amount is None or asked.use.food(item.food or "").dried_water is None:
        return listed
    return soak_sums(asked, item, batch).plus(listed)
