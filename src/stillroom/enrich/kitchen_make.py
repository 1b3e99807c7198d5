"""Whether a note makes a mix or only speaks of one, and what making it takes from the shelf."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from stillroom.base.statement import Reading, Statement
from stillroom.enrich.kitchen_types import Asked, Making, Taking
from stillroom.enrich.kitchen_words import lots_said, people_said
from stillroom.science.brine import Span
from stillroom.science.mixes import (
    Line,
    Part,
    Short,
    allergens_of,
    earliest_best_by,
    lots_for_jars,
    lots_for_part,
    mass_of,
    scaled,
    shortages,
    take,
    volume_of,
)
from stillroom.tables.food import Food
from stillroom.tables.kitchen_rows import Recipe
from stillroom.tables.recipe_names import Named, find_recipe

PANTRY = ("salt", "sugar", "wheat flour")
"""What every kitchen is taken to have."""
_JAR_ML = {"us": 236.6, "metric": 250.0}
"""A small jar, where a mix is asked for by the jar and no size is said."""
_MADE = re.compile(
    r"\b(?:made|mixed(?: up)?|put together|stirred (?:up|together)|blended|doubled|tripled|halved"
    r"|(?:'m|’m|am|are|'re|’re|was|were|been)\s+(?:\w+ )?(?:making|mixing|putting together))\b",
    re.I,
)
_MAKE = re.compile(
    r"\b(?:make|mix(?: up)?|put together|stir (?:up|together)|blend|double|triple|halve)\b", re.I
)
_BIDDEN = re.compile(
    r"(?:(?:please|now|then|and|ok|okay|so|right|go ahead and|just)[\s,]+)*"
    r"(?:make|mix up|put together|stir (?:up|together)|blend|double|triple)\b", re.I
)  # fmt: skip
_ONLY_MEANT = re.compile(
    r"\b(?:can|could|should|shall|would|will|might|may|must|how|if|what|whether|to|want|wants|need"
    r"|wish|like|wonder\w*|plan\w*|before|when|don['’]?t|didn['’]?t|haven['’]?t|not|never|without"
    r"|let['’]?s|going|gonna|enough|tomorrow|next|someday|hope|think\w*|about|instead of)\b"
    r"|['’]ll\b|['’]d\b|\?", re.I
)  # fmt: skip
_POINTS = re.compile(
    r"\b(?:scale|size|stretch|make|do) (?:it|that|this|the (?:mix|recipe))\b", re.I
)
_LEFT_OUT = re.compile(
    r"\b(?:without|no|leave out|leaving out|skip|hold|minus|not)\s+(?:the\s+|any\s+)?"
    r"(?:dried\s+)?([a-z]+(?:(?:,| and| or)(?: the)? [a-z]+)*)", re.I
)  # fmt: skip


def named_recipe(asked: Asked) -> Named | None:
    """The recipe whose name stands in the note; of one only pointed at, the one spoken of last."""
    found = find_recipe(asked.reading.note)
    if found is not None or not _POINTS.search(asked.reading.note):
        return found
    before = (find_recipe(item.asked or item.text) for item in reversed(asked.earlier))
    return next((named for named in before if named), None)


def deed_said(note: str, item: Statement) -> str:
    """Whether a statement makes a mix: ``made`` done, ``make`` bidden, or empty for neither.

    What is wished, asked, supposed or put off makes nothing; "make four lots" asks what goes in
    and bids it at once.

    >>> deed_said("made two lots of herb salt", Statement("blend", "made two lots of herb salt"))
    'made'
    >>> deed_said("make two lots of herb salt", Statement("blend", "make two lots of herb salt"))
    'make'
    >>> deed_said("we should make herb salt", Statement("blend", "we should make herb salt"))
    ''
    """
    if item.act == "ask" and not _BIDDEN.match(item.text):
        return ""
    if item.act not in ("blend", "ask") or item.whatif or item.intended:
        return ""
    begin = max((note.rfind(mark, 0, item.start) for mark in ".;!?\n"), default=-1) + 1
    end = min((at for mark in ".;!?\n" if (at := note.find(mark, item.end)) >= 0),
              default=len(note))  # fmt: skip
    clause = note[begin : end + 1] if item.end else item.text
    named = find_recipe(clause)
    before = clause[: named.start] if named else clause  # "mix" in a name is no verb
    verbs = [(found.start(), word)
             for word, pattern, where in (("made", _MADE, clause), ("make", _MAKE, before))
             if (found := pattern.search(where))]  # fmt: skip
    if not verbs:
        return ""
    at, word = min(verbs)
    later = re.search(r"\b(?:tomorrow|next week|some ?day|later)\b|\?", clause, re.I)
    return "" if later or _ONLY_MEANT.search(clause[:at]) else word


def left_out(asked: Asked, recipe: Recipe) -> frozenset[str]:
    """Foods of a recipe that are to stay out; "no pepper" means the one that may be left out."""
    phrases = " | ".join(_LEFT_OUT.findall(asked.reading.note.lower()))
    if not phrases:
        return frozenset()
    words = set(re.findall(r"[a-z]+", phrases))
    full, partly = set(), set()
    for part in recipe.parts:
        names = {part.food, asked.name(part.food).lower(),
                 asked.name(part.food, many=False).lower()}  # fmt: skip
        if any(re.search(rf"\b{re.escape(name)}\b", phrases) for name in names):
            full.add(part.food)
        elif any(words & {name.split()[0], name.split()[-1]} for name in names):
            partly.add(part.food)
    found = full or partly
    return frozenset(p.food for p in recipe.parts if p.optional and p.food in found) or (
        frozenset(found)
    )


def parts_of(
    asked: Asked, recipe: Recipe, *, out: frozenset[str] = frozenset()
) -> tuple[Part, ...]:
    """One lot of a recipe with densities and allergens, without the foods that stay out."""
    return tuple(
        Part(
            part.food, part.g, part.g_per_ml or asked.use.density(part.food, part.form), part.form,
            part.optional, part.keep_back, part.allergen or asked.use.food(part.food).allergen,
        )
        for part in recipe.parts
        if part.food not in out
    )  # fmt: skip


def lots_wanted(
    asked: Asked, recipe: Recipe, parts: Sequence[Part], items: Sequence[Statement]
) -> float:
    """Lots wanted: as said, else by servings, jars, the mix's or a food's amount, else one."""
    note = asked.reading.note
    said = lots_said(note)
    if said:
        return said
    people = people_said(note)
    if people:
        return people / recipe.serves
    jar = next((i for i in items if i.vessel_count and not _only_packed(i, items)), None)
    if jar is not None:
        size = jar.vessel_ml or _JAR_ML[asked.kitchen.measure]
        return lots_for_jars(parts, jar.vessel_count or 1, size)
    return _by_amount(asked, parts, items) or 1.0


def _only_packed(item: Statement, items: Sequence[Statement]) -> bool:
    """Two jars that a finished mix was packed in say where it is, not how much was made."""
    return item.act == "pack" and any(other.act == "blend" for other in items)


def _by_amount(asked: Asked, parts: Sequence[Part], items: Sequence[Statement]) -> float:
    for item in items:
        amount = item.amount
        if amount is None:
            continue
        if item.food is None and amount.si_unit in ("g", "ml"):
            one = mass_of(parts) if amount.si_unit == "g" else volume_of(parts).likely
            return amount.si_likely / one
        mass = dried_mass(asked, item)
        lots = lots_for_part(parts, item.food or "", mass.likely) if mass else 0.0
        if lots > 0:
            return lots
    return 0.0


def dried_mass(asked: Asked, item: Statement) -> Span | None:
    """Dried mass that a statement gives, g; spoons and cups by the bulk density of its form."""
    if item.amount is None or not item.food:
        return None
    if item.amount.si_unit == "g":
        return asked.mass(item)
    if item.amount.si_unit != "ml":
        return None
    likely = item.amount.si_likely
    if is_powder(item):
        low, mid, high = asked.use.grind(asked.use.food(item.food).kind).g_per_ml
        return Span(low * likely, mid * likely, high * likely)
    mid = asked.use.food(item.food).dried_g_per_ml
    if item.food in ("salt", "sugar", "vinegar"):
        return Span(mid * likely, mid * likely, mid * likely)
    return Span(0.6 * mid * likely, mid * likely, 1.5 * mid * likely)


def is_powder(item: Statement) -> bool:
    """Whether a statement's food is ground."""
    return item.cut == "powdered" or bool(re.search(r"powder|ground\b", item.text, re.I))


@dataclass(frozen=True)
class Shelved:
    """A scaled recipe held against the shelf.

    Args:
        parts: what goes in; optional parts only where there is enough of them.
        takes: what comes from which batch.
        short: what the shelf lacks; empty where nothing is kept of it at all.
        tracked: whether any part of the recipe is on the shelf.
        absent: optional parts that are not there.
    """

    parts: tuple[Part, ...]
    takes: tuple[Taking, ...] = ()
    short: tuple[Short, ...] = ()
    tracked: bool = False
    absent: tuple[str, ...] = ()


IN_HAND = "what you have in hand"
"""Stands for the batch of dried food that the same note tells of."""


def in_hand(asked: Asked) -> tuple[Line, ...]:
    """Dried food that the note itself tells of and the shelf does not hold."""
    shelf = {line.food for line in asked.shelf}
    lines = []
    for item in asked.reading.statements:
        told = item.act in ("have", "blend") and item.food and item.food not in shelf
        mass = dried_mass(asked, item) if told and (item.dried or is_powder(item)) else None
        if mass is not None and item.food:
            lines.append(Line(IN_HAND, item.food, mass.likely))
    return tuple(lines)


def shelved(asked: Asked, parts: Sequence[Part]) -> Shelved:
    """What the shelf gives for a scaled recipe, never more than is there."""
    foods = {part.food for part in parts} - set(PANTRY)
    shelf = (*asked.shelf, *in_hand(asked))
    have = {food: sum(line.remaining_g for line in shelf if line.food == food)
            for food in foods}  # fmt: skip
    if not any(have.values()):
        return Shelved(tuple(parts))
    used = tuple(
        part for part in parts
        if not part.optional or part.food in PANTRY or have[part.food] >= part.g - 1e-6
    )  # fmt: skip
    short = shortages(used, shelf, PANTRY)
    there = [replace(part, g=min(part.g, have.get(part.food, 0.0))) for part in used
             if part.food not in PANTRY and have.get(part.food)]  # fmt: skip
    taken = take(there, shelf, PANTRY)
    absent = tuple(part.food for part in parts if part not in used)
    return Shelved(used, tuple(Taking(row.batch, row.food, row.g) for row in taken), short, True,
                   absent)  # fmt: skip


def made_of(asked: Asked, named: Named, held: Shelved) -> Making:
    """The mix for the journal: each part with its batch, the earliest best-by, all allergens."""
    batches = [row.batch for row in held.takes]
    parts: list[tuple[str | None, str, float]] = [
        (None if t.batch == IN_HAND else t.batch, t.food, t.g) for t in held.takes
    ]
    for part in held.parts:
        rest = part.g - sum(row.g for row in held.takes if row.food == part.food)
        if rest > 1e-6:
            parts.append((None, part.food, rest))
    return Making(
        named.recipe.id, tuple(parts), earliest_best_by(batches, asked.shelf),
        tuple(allergens_of(held.parts, batches, asked.shelf)),
    )  # fmt: skip


def makings(
    reading: Reading, foods: Mapping[str, Food], shelf: Sequence[Line], measure: str = "us"
) -> dict[int, Making | None]:
    """What the mixes of a note take from the shelf, by the number of their statement.

    A mix that is bidden ("make four lots") is made when the shelf has all of it; one told as done
    ("made four lots") takes what there is. None stands where a recipe is named and nothing is
    made: a wish, a question, a shelf that is short.

    Args:
        reading: the note, read.
        foods: of the knowledge tables.
        shelf: dried stock before the note.
        measure: ``us`` or ``metric``.
    """
    from stillroom.enrich.kitchen_types import Kitchen

    own = [item for item in reading.statements if item.act == "blend" and item.food and item.amount]
    found: dict[int, Making | None] = {}
    if len(own) > 1:
        return found
    asked = Asked(reading, foods, tuple(shelf), Kitchen(measure=measure))
    for index, item in enumerate(reading.statements):
        bidden = item.act == "ask" and item.about == "mix" and _BIDDEN.match(item.text)
        named = find_recipe(item.text) if item.act == "blend" or bidden else None
        if named is None:
            continue
        if named.loose and not lots_said(reading.note):
            if not deed_said(reading.note, item):
                found[index] = None
            continue
        found[index] = _making(asked, named, item)
    return found


def _making(asked: Asked, named: Named, item: Statement) -> Making | None:
    told = deed_said(asked.reading.note, item)
    if not told:
        return None
    one = parts_of(asked, named.recipe, out=left_out(asked, named.recipe))
    lots = lots_wanted(asked, named.recipe, one, asked.reading.statements)
    held = shelved(asked, scaled(one, lots))
    if told == "make" and (held.short or not held.tracked):
        return None
    return made_of(asked, named, held)
