"""Water activity of a food from its moisture, where no isotherm of its own is published.

The dry matter is taken as two parts that share the water and meet at one water activity: sugars,
which hold water as a solution does (Norrish), and the rest, which holds it as the class isotherm
says. ``X(aw) = s X_sugar(aw) + (1 - s) X_rest(aw)``, solved for ``aw`` by bisection.

Range: moisture up to 0.9 wet basis; sugars are counted as glucose and fructose, which lower the
activity more than sucrose, so the sugar share is given a range and the wetter answer kept as high.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, log

from stillroom.science.balance import dry_basis
from stillroom.science.constants import Isotherm
from stillroom.science.equilibrium import equilibrium_moisture
from stillroom.science.range import Range

NORRISH_K = 2.25
"""Norrish constant of glucose and fructose at 25 deg C [mem-norrish]."""
WATER_G_MOL, SUGAR_G_MOL = 18.015, 180.16
NORRISH_FROM = 0.75
"""Below this water activity Norrish was not fitted and overstates what sugar holds."""
DRY_END = 0.6
"""Exponent by which sugar holds less below that, fitted here to the apple isotherm [mem-ratti]."""
MODEL_ERROR = 0.06
"""Typical error of the estimate in water activity, judged against the apple isotherm and the
moisture pairs of [beuchat-cfw-1981]."""
MOULD_LINE, PATHOGEN_LINE, GROWTH_LINE = 0.70, 0.85, 0.60
"""Moulds, pathogens, and any growth at all [beuchat-cfw-1981]."""
_TOP = 0.94
_MOST_WATER = 50.0
"""Water to sugar [g/g] beyond which this is water with a little sugar in it."""


def sugar_activity(
    water_per_sugar: float, norrish_k: float = NORRISH_K, sugar_g_mol: float = SUGAR_G_MOL
) -> float:
    """Norrish, ``aw = xw exp(-K xs^2)`` with mole fractions.

    Args:
        water_per_sugar: g water to 1 g sugar.
        norrish_k: constant of the sugar; sucrose 6.47, glucose and fructose 2.25.
        sugar_g_mol: its molar mass [g/mol].

    Returns:
        Water activity [1].

    Raises:
        ValueError: the water is below 0.

    Source:
        mem-norrish.

    >>> sugar_activity(1.0)
    0.8923
    """
    if water_per_sugar < 0:
        raise ValueError("water cannot be negative")
    water, sugar = water_per_sugar / WATER_G_MOL, 1 / sugar_g_mol
    share = water / (water + sugar)
    return share * exp(-norrish_k * (1 - share) ** 2)


def sugar_moisture(activity: float) -> float:
    """Water that sugar holds at a water activity [g/g sugar]; the inverse of ``sugar_activity``.

    Newton on ``ln x - K (1 - x)^2 = ln aw``; the left side is concave and rises, so that steps
    from ``x = aw`` come nearer from below and cannot leap over the root.

    >>> sugar_moisture(sugar_activity(0.4))
    0.4
    """
    if activity <= 0:
        return 0.0
    if activity >= 1:
        return _MOST_WATER
    target, share = log(activity), activity
    for _ in range(60):
        miss = target - log(share) + NORRISH_K * (1 - share) ** 2
        step = miss / (1 / share + 2 * NORRISH_K * (1 - share))
        share += step
        if step < 1e-14 * share:
            break
    return min(_MOST_WATER, share / (1 - share) * WATER_G_MOL / SUGAR_G_MOL)


def mixture_moisture(
    activity: float, sugar_of_solids: float, rest: Isotherm, temp_c: float = 25.0
) -> float:
    """Water of the whole food at a water activity [kg/kg dry]."""
    bound = equilibrium_moisture(rest, min(activity, _TOP), temp_c)
    less: float = min(1.0, activity / NORRISH_FROM) ** DRY_END
    held = sugar_moisture(activity) * less
    return sugar_of_solids * held + (1 - sugar_of_solids) * bound


def mixture_activity(
    water_wet: float, sugar_of_solids: float, rest: Isotherm, temp_c: float = 25.0
) -> float:
    """Water activity of the whole food at a moisture.

    Args:
        water_wet: moisture, wet basis [1].
        sugar_of_solids: sugars as a share of the dry matter [1].
        rest: isotherm of the rest.
        temp_c: temperature of the isotherm [deg C].

    Returns:
        Water activity [1]; 1 for food wetter than the model reaches.

    Raises:
        ValueError: a share is outside 0 to 1.
    """
    if not 0 <= sugar_of_solids <= 1:
        raise ValueError(f"the sugar share {sugar_of_solids} is not between 0 and 1")
    target = dry_basis(water_wet)
    if target >= mixture_moisture(0.999, sugar_of_solids, rest, temp_c):
        return 1.0
    low, high = 0.0, 0.999
    for _ in range(50):
        middle = (low + high) / 2
        wetter = mixture_moisture(middle, sugar_of_solids, rest, temp_c) > target
        low, high = (low, middle) if wetter else (middle, high)
    return (low + high) / 2


@lru_cache(maxsize=256)  # foods have the same end point in every batch
def activity_range(
    water: Range, sugar_of_solids: float, rest: Isotherm, temp_c: float = 25.0
) -> Range:
    """Water activity with the error of the estimate, on the safe side.

    Args:
        water: moisture, wet basis [1].
        sugar_of_solids: sugars as a share of the dry matter [1]; varied by a quarter.
        rest: isotherm of the rest.
        temp_c: temperature [deg C].
    """
    less, more = sugar_of_solids * 0.75, min(0.95, sugar_of_solids * 1.25)
    likely = mixture_activity(water.likely, sugar_of_solids, rest, temp_c)
    ends = [
        mixture_activity(moisture, share, rest, temp_c)
        for moisture in (water.low, water.high)
        for share in (less, more)
    ]
    return Range(
        max(0.0, min(*ends, likely) - MODEL_ERROR),
        likely,
        min(1.0, max(*ends, likely) + MODEL_ERROR),
        ("an estimate from sugar and the rest of the dry matter, not a measurement",),
        driver="how much water is left",
        sources=("mem-norrish", rest.source),
    )


EVENING_PER_DAY = 0.4
"""Share of a moisture gap between pieces that closes in a day, in a shaken jar; judgement: a week,
the usual conditioning of fruit, evens out 94 %."""


def evened_out(moistures: tuple[float, float], share: float, days: float, rate: float) -> float:
    """Gap in moisture between two kinds of pieces after some days in one closed jar.

    The pieces trade water through the air of the jar; the gap shrinks as ``exp(-rate days)``.

    Args:
        moistures: of the wetter and the drier pieces, dry basis [kg/kg].
        share: part of the dry matter that is in the wetter pieces [1].
        days: days in the jar.
        rate: per day; about 0.4 for shaken jars of small pieces (judgement: a week evens out 94 %).

    Returns:
        The gap that is left [kg/kg].

    Raises:
        ValueError: the share is outside 0 to 1.
    """
    if not 0 <= share <= 1:
        raise ValueError(f"the share {share} is not between 0 and 1")
    return (moistures[0] - moistures[1]) * exp(-rate * days)
