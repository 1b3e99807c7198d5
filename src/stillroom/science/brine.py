"""Refrigerator pickles: how full a jar packs, how much brine it drinks, where acid and salt settle.

A jar below its headspace holds produce and brine and nothing else::

    brine = usable volume - produce mass / produce density

so a packed mass per millilitre of jar (the pack fraction, by cut) fixes both. The rest is a mass
balance: acetic acid, salt and sugar of the brine spread over brine and produce together.
Nothing here keeps on a shelf; every jar goes to the refrigerator.

Sources: pk_aib539, pk_setp, pk_nchfp_rings (recipes checked against in ``jar_fill.csv``),
pk_mem_phys (volume of dissolved sugar and salt), pk_derived (vinegar floor), pk_glass_lab (glass).
"""

from __future__ import annotations

import math
from typing import NamedTuple

VINEGAR_STRENGTH = 5.0
"""Acidity that a recipe takes for granted, g acetic acid per 100 ml (pk_msu_ingr)."""
SUGAR_ML_PER_G = 0.62
SALT_ML_PER_G = 0.31
VINEGAR_G_PER_ML = 1.01
RAW_DENSITY = 0.96
"""Raw vegetables with the air in them, g/ml; the figure that ``jar_fill.csv`` assumes."""
SOFT_DENSITY = 1.0
"""Salted and drained or heated pieces: most of the air has gone, g/ml."""
SHARE_FLOOR = 0.5
"""Least vinegar in vinegar plus water for raw low-acid vegetables, as 5 % vinegar (pk_derived)."""
ACID_FLOOR = 0.9
"""Least acetic acid that the tested recipes come to in the jar by this balance, g per 100 g."""
ACID_USUAL = 1.3
"""Equal vinegar and water over a half-filled jar, g acetic acid per 100 g (pk_derived)."""
CLOSER = 0.08
"""How much closer than usual the pieces may be pushed to spare a jar; well inside the ranges."""
MARGIN = 0.10
"""What is made beyond what the jars take, so that the last jar is covered."""
GLASS_STEP_C = 40.0
"""Sudden difference at which plain glass starts to crack, deg C (pk_glass_lab)."""
_MOUTH_MM = 60.325
_INCH_MM = 25.4


class Span(NamedTuple):
    """A figure with its range, low <= likely <= high."""

    low: float
    likely: float
    high: float

    def times(self, factor: float) -> Span:
        """The range scaled by a positive factor."""
        return Span(self.low * factor, self.likely * factor, self.high * factor)


class Parts(NamedTuple):
    """What goes into a brine: vinegar and water in ml, sugar and salt in g."""

    vinegar_ml: float
    water_ml: float
    sugar_g: float
    salt_g: float

    @property
    def volume_ml(self) -> float:
        """Volume of the brine once sugar and salt have dissolved.

        >>> round(Parts(946, 473, 400, 9).volume_ml)
        1670
        """
        return (
            self.vinegar_ml
            + self.water_ml
            + SUGAR_ML_PER_G * self.sugar_g
            + SALT_ML_PER_G * self.salt_g
        )

    @property
    def mass_g(self) -> float:
        """Mass of the brine."""
        return VINEGAR_G_PER_ML * self.vinegar_ml + self.water_ml + self.sugar_g + self.salt_g

    def times(self, factor: float) -> Parts:
        """The same brine, more or less of it."""
        return Parts(*(factor * part for part in self))


class Settled(NamedTuple):
    """Jar contents at rest: per cent by mass of everything in the jar."""

    acid_pct: float
    salt_pct: float
    sugar_pct: float


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be above zero, not {value!r}")


def headspace_ml(inches: float, mouth_mm: float = _MOUTH_MM) -> float:
    """Room left free under the rim of a straight-necked jar.

    Args:
        inches: height left free, in.
        mouth_mm: inner width of the neck, mm; a regular mouth if not given.

    Returns:
        Volume, ml.

    Raises:
        ValueError: the height is below 0.

    >>> round(headspace_ml(0.5), 1), round(headspace_ml(0.5, 76.2), 1)
    (36.2, 57.9)
    """
    if inches < 0:
        raise ValueError(f"headspace cannot be {inches!r} in")
    return math.pi / 4 * (mouth_mm / 10) ** 2 * inches * _INCH_MM / 10


def usable_ml(capacity_ml: float, headspace_in: float = 0.5) -> float:
    """What a jar holds below its headspace; a vessel too small for it keeps a tenth free.

    Args:
        capacity_ml: nominal capacity near the brim, ml.
        headspace_in: free height, in.

    Returns:
        Volume, ml.

    >>> round(usable_ml(473.18)), round(usable_ml(50))
    (437, 45)
    """
    _positive(capacity_ml=capacity_ml)
    return (
        max(capacity_ml - headspace_ml(headspace_in), 0.9 * capacity_ml)
        if (capacity_ml < 4 * headspace_ml(headspace_in))
        else capacity_ml - headspace_ml(headspace_in)
    )


def brine_in_jar(jar_ml: float, produce_g: float, density: float = RAW_DENSITY) -> float:
    """Brine that fills a jar round its produce.

    Args:
        jar_ml: volume below the headspace, ml.
        produce_g: produce packed in it, g.
        density: of the produce, g/ml.

    Returns:
        Brine, ml; 0 when the produce alone would fill the jar.

    Raises:
        ValueError: the produce weighs less than nothing, or the jar or the density is not above 0.

    >>> round(brine_in_jar(437, 192))
    237
    """
    _positive(jar_ml=jar_ml, density=density)
    if produce_g < 0:
        raise ValueError(f"produce cannot be {produce_g!r} g")
    return max(0.0, jar_ml - produce_g / density)


def jars_needed(produce_g: float, per_jar_g: float) -> int:
    """Jars for some produce [count]; what a little closer packing takes up opens no other.

    >>> jars_needed(1000, 240), jars_needed(1050, 240), jars_needed(2100, 240)
    (4, 5, 9)
    """
    _positive(per_jar_g=per_jar_g)
    return max(1, math.ceil(produce_g / per_jar_g / (1 + CLOSER) - 1e-9))


def split_brine(
    volume_ml: float, vinegar_share: float, sugar_g_per_l: float = 0.0, salt_g_per_l: float = 0.0
) -> Parts:
    """Parts of a brine that comes to a given volume.

    Args:
        volume_ml: of the brine with everything dissolved, ml.
        vinegar_share: vinegar in vinegar plus water, 0 to 1.
        sugar_g_per_l: sugar to a litre of vinegar plus water, g.
        salt_g_per_l: salt to a litre of vinegar plus water, g.

    Returns:
        The parts; ``split_brine(v, ...).volume_ml`` is ``v``.

    Raises:
        ValueError: a part is below 0, or the share is outside 0 to 1.

    >>> [round(part) for part in split_brine(1000, 0.5, 0, 62)]
    [491, 491, 0, 61]
    """
    if volume_ml < 0 or sugar_g_per_l < 0 or salt_g_per_l < 0 or not 0 <= vinegar_share <= 1:
        raise ValueError("a brine has no negative part, and a share lies between 0 and 1")
    swell = 1 + (SUGAR_ML_PER_G * sugar_g_per_l + SALT_ML_PER_G * salt_g_per_l) / 1000
    liquid = volume_ml / swell
    return Parts(
        liquid * vinegar_share,
        liquid * (1 - vinegar_share),
        liquid * sugar_g_per_l / 1000,
        liquid * salt_g_per_l / 1000,
    )


def settle(
    produce_g: float, brine: Parts, strength: float = VINEGAR_STRENGTH, produce_salt_g: float = 0.0
) -> Settled:
    """Acid, salt and sugar once produce and brine have come to balance.

    Args:
        produce_g: produce in the jar, g.
        brine: the brine in the jar.
        strength: acidity of the vinegar as labelled, g per 100 ml.
        produce_salt_g: salt left in the produce by an earlier salting, g.

    Returns:
        Per cent by mass of the contents.

    Raises:
        ValueError: a mass or the strength is below 0, or the jar is empty.

    >>> half = settle(48, Parts(25, 25, 0, 0))
    >>> round(half.acid_pct, 2)
    1.27
    """
    if produce_g < 0 or strength < 0 or produce_salt_g < 0:
        raise ValueError("produce, salt and vinegar strength cannot be negative")
    total = produce_g + brine.mass_g + produce_salt_g
    _positive(contents=total)
    return Settled(
        brine.vinegar_ml * strength / total,
        100 * (brine.salt_g + produce_salt_g) / total,
        100 * brine.sugar_g / total,
    )


def share_for_acid(
    target_pct: float, produce_g: float, brine: Parts, strength: float = VINEGAR_STRENGTH
) -> float:
    """Vinegar share that brings a jar to an acidity at rest, capped at undiluted vinegar.

    Args:
        target_pct: acetic acid wanted, g per 100 g of contents.
        produce_g: produce in the jar, g.
        brine: the brine in the jar, whose liquid, sugar and salt stay.
        strength: acidity of the vinegar as labelled, g per 100 ml.

    Returns:
        Vinegar in vinegar plus water, 0 to 1; 1.0 also where even that falls short.
    """
    _positive(strength=strength)
    liquid = brine.vinegar_ml + brine.water_ml
    _positive(liquid=liquid)
    rest = produce_g + brine.sugar_g + brine.salt_g + liquid
    gain = strength - target_pct * (VINEGAR_G_PER_ML - 1)
    return min(1.0, max(0.0, target_pct * rest / (gain * liquid)))


def strength_share(share: float, strength: float) -> float:
    """A vinegar share as if the vinegar were 5 %, to hold against published ratios.

    >>> strength_share(0.5, 4)
    0.4
    """
    return share * strength / VINEGAR_STRENGTH


def salt_draw(produce_g: float, salt_g_per_kg: float, loss: Span) -> tuple[float, Span, Span]:
    """Salt to scatter, juice that it pulls out, and what is left to pack.

    Args:
        produce_g: prepared produce, g.
        salt_g_per_kg: salt to a kilogram, g.
        loss: part of the produce that runs off as juice, 0 to 1.

    Returns:
        Salt in g, drained mass in g, juice in ml (juice weighs about what water does).

    Raises:
        ValueError: a mass is below 0, or the loss is outside 0 to below 1.
    """
    if produce_g < 0 or salt_g_per_kg < 0 or not 0 <= loss.low <= loss.high < 1:
        raise ValueError("masses cannot be negative, and a loss lies between 0 and 1")
    juice = loss.times(produce_g)
    drained = Span(*(produce_g * (1 - part) for part in reversed(loss)))
    return produce_g * salt_g_per_kg / 1000, drained, juice


def second_batch(brine: Parts, jars: int, short: float, step_ml: float) -> tuple[float, Parts]:
    """Smallest further brine in the same proportions for jars that got none.

    Args:
        brine: brine that the ``jars`` were to take together.
        jars: how many that was for.
        short: jars still without brine; 0.5 is a half-filled one.
        step_ml: vinegar is measured in steps of this, rounded up, ml.

    Returns:
        Factor on the first brine, and the parts.

    >>> factor, parts = second_batch(Parts(1000, 1000, 0, 60), 9, 2, 50)
    >>> round(factor, 3), [round(part) for part in parts]
    (0.25, [250, 250, 0, 15])
    """
    _positive(jars=jars, short=short, step_ml=step_ml, vinegar=brine.vinegar_ml)
    vinegar = math.ceil(brine.vinegar_ml * short / jars / step_ml - 1e-9) * step_ml
    factor = vinegar / brine.vinegar_ml
    return factor, brine.times(factor)


def dried_uptake(dried_g: float) -> Span:
    """Brine that dried pieces in a jar drink as they swell.

    Args:
        dried_g: dried onion, garlic or pepper, g.

    Returns:
        Brine, ml: salt and acid slow the swelling, so clearly less than the 7.8 ml/g that onion
        flakes could hold (pk_derived).

    Raises:
        ValueError: the mass is below 0.
    """
    if dried_g < 0:
        raise ValueError(f"dried pieces cannot be {dried_g!r} g")
    return Span(2.5 * dried_g, 4.5 * dried_g, 7.8 * dried_g)


def hottest_brine_c(jar_c: float) -> float:
    """Hottest brine that plain glass at some temperature should meet, deg C (pk_glass_lab).

    >>> hottest_brine_c(20)
    60.0
    """
    return jar_c + GLASS_STEP_C
