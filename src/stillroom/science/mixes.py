"""Dry mixes: scale a recipe, see what it takes from the shelf, never take more than there is.

Parts are masses, because spoon weights differ several fold between flakes and powder (pk_sr26).
Dates are compared as ordinals or ISO text; this module has no clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from stillroom.science.brine import Span


@dataclass(frozen=True)
class Part:
    """One part of a recipe: dried food in g, its bulk density in g/ml, and how it is used."""

    food: str
    g: float
    g_per_ml: float
    form: str = "pieces"
    optional: bool = False
    keep_back: bool = False
    allergen: str = ""

    def __post_init__(self) -> None:
        if not self.food or self.g <= 0 or self.g_per_ml <= 0:
            raise ValueError(f"a part needs a food, a mass and a density above zero: {self}")


@dataclass(frozen=True)
class Line:
    """One line of the shelf: a batch of a dried food with what is left of it.

    ``form`` is ``powder`` or the cut; ``best_by`` ISO text; ``remaining_g`` 0 or more.
    """

    batch: str
    food: str
    remaining_g: float
    form: str = ""
    best_by: str | None = None
    allergens: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.remaining_g < 0:
            raise ValueError(f"{self.batch} cannot hold {self.remaining_g} g")


@dataclass(frozen=True)
class Short:
    """A part that the shelf cannot give: g wanted and g there."""

    food: str
    need_g: float
    have_g: float


@dataclass(frozen=True)
class Taken:
    """What a mix takes from one line of the shelf."""

    batch: str
    food: str
    g: float


def scaled(parts: Iterable[Part], lots: float, *, optional: bool = True) -> tuple[Part, ...]:
    """A recipe for some lots, with or without its optional parts.

    Raises:
        ValueError: ``lots`` is not above zero.
    """
    if not lots > 0:
        raise ValueError(f"lots must be above zero, not {lots!r}")
    return tuple(replace(part, g=part.g * lots) for part in parts if optional or not part.optional)


def mass_of(parts: Iterable[Part]) -> float:
    """Mass of a mix, g."""
    return sum(part.g for part in parts)


def volume_of(parts: Iterable[Part]) -> Span:
    """Room that a mix takes, ml: fine parts slip between coarse ones, flakes vary in the spoon."""
    loose = sum(part.g / part.g_per_ml for part in parts)
    return Span(0.75 * loose, 0.92 * loose, 1.15 * loose)


def lots_for_jars(parts: Sequence[Part], jars: float, jar_ml: float, fill: float = 0.8) -> float:
    """Lots that fill some jars, with room left to shake them.

    Args:
        parts: one lot.
        jars: how many.
        jar_ml: capacity of one, ml.
        fill: part of the jar that is filled, 0 to 1.

    Raises:
        ValueError: a count or capacity that is not above zero.
    """
    if not (jars > 0 and jar_ml > 0 and 0 < fill <= 1):
        raise ValueError("jars, their size and their fill must be above zero")
    return jars * jar_ml * fill / volume_of(parts).likely


def lots_for_part(parts: Iterable[Part], food: str, have_g: float) -> float:
    """Lots that use up what there is of one food; 0 when the recipe does not hold it.

    Raises:
        ValueError: ``have_g`` is below 0.
    """
    if have_g < 0:
        raise ValueError(f"there cannot be {have_g!r} g of {food}")
    need = sum(part.g for part in parts if part.food == food)
    return have_g / need if need else 0.0


def _merged(parts: Iterable[Part]) -> dict[str, float]:
    need: dict[str, float] = {}
    for part in parts:
        need[part.food] = need.get(part.food, 0.0) + part.g
    return need


def shortages(
    parts: Iterable[Part], shelf: Iterable[Line], pantry: Iterable[str] = ()
) -> tuple[Short, ...]:
    """Foods of a mix that the shelf cannot give in full.

    Args:
        parts: the scaled recipe [g].
        shelf: lines of stock [g].
        pantry: foods that every kitchen is taken to have, such as salt.
    """
    lines, always = list(shelf), set(pantry)
    short = []
    for food, need in _merged(parts).items():
        have = sum(line.remaining_g for line in lines if line.food == food)
        if food not in always and have < need - 1e-6:
            short.append(Short(food, need, have))
    return tuple(short)


def most_lots(parts: Sequence[Part], shelf: Iterable[Line], pantry: Iterable[str] = ()) -> float:
    """Most lots that the shelf allows, leaving out no part that is not optional."""
    lines, always = list(shelf), set(pantry)
    ratios = [
        sum(line.remaining_g for line in lines if line.food == food) / need
        for food, need in _merged(part for part in parts if not part.optional).items()
        if food not in always
    ]
    return min(ratios, default=0.0)


def take(
    parts: Iterable[Part], shelf: Iterable[Line], pantry: Iterable[str] = ()
) -> tuple[Taken, ...]:
    """What a mix takes from the shelf, oldest best-by first, never more than is there.

    Raises:
        ValueError: the shelf is short; ask ``shortages`` first.
    """
    parts, lines, always = list(parts), list(shelf), set(pantry)
    if short := shortages(parts, lines, always):
        raise ValueError(f"the shelf is short of {', '.join(item.food for item in short)}")
    taken: list[Taken] = []
    for food, need in _merged(parts).items():
        ordered = sorted(
            (line for line in lines if line.food == food),
            key=lambda line: (line.best_by is None, line.best_by or "", line.batch),
        )
        for line in ordered:
            grams = min(need, line.remaining_g)
            if grams > 1e-9:
                taken.append(Taken(line.batch, food, grams))
                need -= grams
    return tuple(taken)


def earliest_best_by(batches: Iterable[str], shelf: Iterable[Line]) -> str | None:
    """The earliest best-by among the batches used, or None where none has one."""
    used = set(batches)
    dates = [line.best_by for line in shelf if line.batch in used and line.best_by]
    return min(dates, default=None)


def allergens_of(parts: Iterable[Part], batches: Iterable[str], shelf: Iterable[Line]) -> list[str]:
    """Allergens of a mix: those of its parts and of every batch that went into it, sorted."""
    used = set(batches)
    found = {part.allergen for part in parts if part.allergen}
    for line in shelf:
        if line.batch in used:
            found.update(line.allergens)
    return sorted(found)
