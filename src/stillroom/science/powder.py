"""Powders: what grinding leaves, how much room it takes, when it cakes.

Bulk densities come from published spoon weights (pk_sr26, usda_sr28) and are loose, level spoons:
shaking a jar down packs a powder by a tenth or more. Caking is judged from the water that the
powder takes up from the kitchen's air (its isotherm); it is packed drier than that by far.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from stillroom.science.brine import Span
from stillroom.science.equilibrium import gab

LOOSE_LIMIT = 0.10
"""Up to here an opened powder still runs; a judgement of this project, not a published figure."""
LUMPS_LIMIT = 0.13
"""Above this it sets to a lump in days; a judgement likewise."""
SALT_HUMIDITY = 0.75
"""Salt draws water above this relative humidity (pk_mem_phys)."""
JAR_FILL = 0.95
"""A powder jar is filled nearly full (pk_cp_mem)."""


def ground_mass(dry_g: float, loss: Span) -> Span:
    """Powder from dried pieces after dust and what the sieve keeps back, g.

    Args:
        dry_g: dried pieces, g.
        loss: part lost, 0 to 1.

    Raises:
        ValueError: the mass is below 0, or the loss is outside 0 to below 1.

    >>> ground_mass(100, Span(0.02, 0.05, 0.10))
    Span(low=90.0, likely=95.0, high=98.0)
    """
    if dry_g < 0 or not 0 <= loss.low <= loss.high < 1:
        raise ValueError("a mass cannot be negative, and a loss lies between 0 and 1")
    return Span(*(dry_g * (1 - part) for part in reversed(loss)))


def loose_volume(mass: Span, density: Span) -> Span:
    """Room that a mass takes loosely filled, ml.

    Args:
        mass: g.
        density: g/ml.

    Raises:
        ValueError: the mass is below 0, or the density is not above 0.

    >>> [round(ml) for ml in loose_volume(Span(90, 95, 98), Span(0.42, 0.49, 0.65))]
    [138, 194, 233]
    """
    if density.low <= 0 or mass.low < 0:
        raise ValueError("a density must be above zero and a mass not negative")
    return Span(mass.low / density.high, mass.likely / density.likely, mass.high / density.low)


def powder_jars(volume_ml: float, jar_ml: float) -> int:
    """Small jars for a powder, each nearly full.

    Raises:
        ValueError: the volume is below 0, or the jar is not above 0.

    >>> powder_jars(194, 118)
    2
    """
    if volume_ml < 0 or jar_ml <= 0:
        raise ValueError("a volume cannot be negative and a jar must hold something")
    return max(1, math.ceil(volume_ml / (jar_ml * JAR_FILL) - 0.02))


def caking(water: float, salted: bool = False, humidity: float | None = None) -> str:
    """How a powder left in the kitchen's air ends.

    Args:
        water: what it would hold in balance with that air, wet basis, 0 to 1.
        salted: the mix holds salt.
        humidity: relative humidity of the kitchen, 0 to 1, where known.

    Returns:
        ``loose``, ``lumps`` or ``cakes``.

    Raises:
        ValueError: the water is outside 0 to below 1.

    >>> caking(0.05), caking(0.12), caking(0.12, salted=True, humidity=0.8)
    ('loose', 'lumps', 'cakes')
    """
    if not 0 <= water < 1:
        raise ValueError(f"water lies between 0 and 1, not {water!r}")
    if water > LUMPS_LIMIT or (salted and humidity is not None and humidity > SALT_HUMIDITY):
        return "cakes"
    return "lumps" if water > LOOSE_LIMIT else "loose"


def caking_humidity(water_at: Callable[[float], float], limit: float = LOOSE_LIMIT) -> float:
    """Relative humidity at which a powder comes to a water limit.

    Args:
        water_at: wet-basis water by relative humidity (an isotherm), rising.
        limit: wet basis, 0 to 1.

    Returns:
        Relative humidity, 0.05 to 0.9; the nearer end where the limit lies outside.
    """
    low, high = 0.05, 0.9
    if water_at(low) >= limit:
        return low
    if water_at(high) <= limit:
        return high
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if water_at(middle) < limit else (low, middle)
    return (low + high) / 2


def gab_water(humidity: float, m0: float, c: float, k: float) -> float:
    """Water at balance by the GAB isotherm, wet basis.

    ``X = m0 C K a / ((1 - K a)(1 - K a + C K a))`` on dry solids, then ``X / (1 + X)``.

    Args:
        humidity: relative humidity of the air, 0.05 to 0.9.
        m0: monolayer, kg/kg dry.
        c: constant C.
        k: constant K, below 1 for a usable fit.

    Raises:
        ValueError: the humidity is outside 0 to 1, or K times it is 1 or more.

    >>> round(gab_water(0.1, 0.09721, 47.501, 0.65253), 3)
    0.074
    """
    if not 0 < humidity < 1 or k * humidity >= 1:
        raise ValueError(f"no GAB value at a humidity of {humidity!r}")
    dry = gab(humidity, m0, c, k)
    return dry / (1 + dry)
