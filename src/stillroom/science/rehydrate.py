"""Water back into dried food, and what dried food stands for fresh.

Solids are kept: one gram dried with water content ``d`` stands for ``(1 - d) / (1 - f)`` grams
fresh with water content ``f``. Soaking gives back less than that by mass, because the tissue has
shrunk; soak water and times are the published ones by food.
Sources: pk_uf_dryveg, pk_uf_reprint, pk_usu_use, pk_sr26.
"""

from __future__ import annotations

from typing import NamedTuple

from stillroom.science.brine import Span

WARM_FACTOR = 1.5
COLD_FACTOR = 2.0
"""Cold water takes about twice as long as boiling (pk_usu_use: 30-90 min against 20-60)."""
COLD_LIMIT_MIN = 120.0
"""Soaks longer than this stand in the refrigerator (pk_uf_dryveg)."""


class Soak(NamedTuple):
    """Water in ml and time in min, with ranges; ``chill`` when it must stand in the fridge."""

    water_ml: Span
    minutes: Span
    chill: bool


def fresh_equal(dried_g: float, water_dried: float, water_fresh: float) -> float:
    """Fresh food that a dried mass stands for.

    Args:
        dried_g: dried mass, g.
        water_dried: its water, 0 to 1.
        water_fresh: water of the fresh food, 0 to 1.

    Returns:
        Fresh, prepared mass, g.

    Raises:
        ValueError: the mass is below 0, or the dried food is as wet as the fresh.

    >>> round(fresh_equal(1, 0.0393, 0.8911), 1)
    8.8
    """
    if dried_g < 0 or not 0 <= water_dried < water_fresh < 1:
        raise ValueError("a mass cannot be negative, and dried food holds less water than fresh")
    return dried_g * (1 - water_dried) / (1 - water_fresh)


def dried_equal(fresh_g: float, water_dried: float, water_fresh: float) -> float:
    """Dried food that stands for a fresh mass, g; the inverse of ``fresh_equal``.

    >>> round(dried_equal(400, 0.04, 0.8829), 1)
    48.8
    """
    return fresh_g / fresh_equal(1.0, water_dried, water_fresh)


def soak(dried_ml: float, water_ratio: Span, minutes: Span, how: str = "hot") -> Soak:
    """Water and time for a volume of dried pieces.

    Args:
        dried_ml: dried pieces, loosely filled, ml.
        water_ratio: ml of water to a ml of dried pieces.
        minutes: published time in boiling or hot water, min.
        how: ``hot``, ``warm`` or ``cold``.

    Returns:
        The soak.

    Raises:
        ValueError: a negative volume, or a way that is not one of the three.

    >>> soak(236.6, Span(2.25, 2.25, 2.25), Span(60, 60, 90)).water_ml.likely
    532.35
    """
    factors = {"hot": 1.0, "warm": WARM_FACTOR, "cold": COLD_FACTOR}
    if how not in factors:
        raise ValueError(f"soak in hot, warm or cold water, not {how!r}")
    if dried_ml < 0:
        raise ValueError(f"dried pieces cannot be {dried_ml!r} ml")
    time = minutes.times(factors[how])
    return Soak(water_ratio.times(dried_ml), time, how == "cold" and time.high > COLD_LIMIT_MIN)
