"""Energy and cost of drying, beside the least that physics allows."""

from __future__ import annotations

from dataclasses import dataclass

from stillroom.science.air import Air, humid_heat, latent_heat
from stillroom.science.range import Range, combine

_PICK_UP = Range(
    0.3, 0.5, 0.65,
    assumes=("air leaves the dryer with about half the water it could carry",),
    sources=("practical-action-100217",),
)  # fmt: skip
_WALLS = Range(1.0, 1.1, 1.25, assumes=("a tenth is lost through the walls",))
_KJ_PER_KWH = 3600.0


def ideal_kwh_per_kg(air: Air) -> float:
    """Least energy of a once-through hot-air dryer per kg of water [kWh/kg].

    ``cs (T - T0) / (Was - W0)``: the air leaves saturated and nothing is lost.

    Raises:
        ValueError: the dryer is not warmer than the kitchen.

    Source:
        [coolprop-8.0.0] values; 0.72 to 0.80 from a 21 deg C kitchen at 50 %.

    >>> from stillroom.science.air import warmed_air
    >>> round(ideal_kwh_per_kg(warmed_air(21, 0.5, 60)), 2)
    0.78
    """
    if air.dryer_c <= air.room_c or air.pick_up <= 0:
        raise ValueError("the dryer must be warmer than the kitchen")
    heat = humid_heat(air.humidity_ratio) * (air.dryer_c - air.room_c)
    return heat / air.pick_up / _KJ_PER_KWH


def latent_kwh_per_kg(air: Air) -> float:
    """Latent heat at the wet bulb: the floor without heat recovery [kWh/kg]."""
    return latent_heat(air.wet_bulb_c) / _KJ_PER_KWH


@dataclass(frozen=True)
class Energy:
    """Energy for a load.

    Args:
        kwh: what the dryer takes [kWh].
        ideal_kwh: the least a once-through dryer could take [kWh].
        per_kg_water: energy per kg of water [kWh/kg].
    """

    kwh: Range
    ideal_kwh: float
    per_kg_water: Range


def energy(
    water_g: float | Range, air: Air, hours: Range | None = None, watts: float | None = None
) -> Energy:
    """Energy that a load takes.

    Args:
        water_g: water to carry off [g].
        air: kitchen and dryer.
        hours: drying time, when known [h].
        watts: rating of the dryer, when the cook gives it [W]; bounds the answer by the time.

    Returns:
        Energy with its range. Published small dryers take 1.2 to 6.9 kWh per kg of water.

    Raises:
        ValueError: the dryer is not warmer than the kitchen, or a rating is not above 0.

    Source:
        [practical-action-100217] pick-up factors 0.1 to 0.5; [cigr-energy-review] for the span.
    """
    ideal = ideal_kwh_per_kg(air)
    per_kg = combine(
        lambda pick_up, walls: ideal * walls / pick_up, pick_up=_PICK_UP, walls=_WALLS
    ).noting(sources=("cigr-energy-review", "coolprop-8.0.0"))
    total = combine(lambda water, per_kg: water / 1000 * per_kg, water=water_g, per_kg=per_kg)
    if watts is not None:
        total = _bounded(total, hours, watts)
    named = {"per kg": "how much of the warm air's capacity is used", "water": "how much water"}
    return Energy(
        Range(
            total.low, total.likely, total.high, total.assumes,
            named.get(total.driver, total.driver), total.sources,
        ),
        (water_g.likely if isinstance(water_g, Range) else water_g) / 1000 * ideal,
        per_kg,
    )  # fmt: skip


def _bounded(total: Range, hours: Range | None, watts: float) -> Range:
    """Keep the answer below what the heater can draw in the time."""
    if watts <= 0:
        raise ValueError("the dryer's rating must be above 0 W")
    if hours is None:
        return total
    most = watts * hours.high / 1000
    likely = min(total.likely, watts * hours.likely / 1000)
    high = max(likely, min(total.high, most))
    return Range(
        min(total.low, likely), likely, high, total.assumes, total.driver, total.sources
    ).noting(f"the dryer draws at most {watts:g} W")


def cost(kwh: Range, price_per_kwh: float) -> Range:
    """Cost [currency of the price].

    Args:
        kwh: what the dryer takes [kWh].
        price_per_kwh: price of power [currency/kWh].

    Raises:
        ValueError: the price is negative.

    >>> cost(Range(1, 2, 3), 0.30).likely
    0.6
    """
    if price_per_kwh < 0:
        raise ValueError("a price of power cannot be negative")
    return kwh.scaled(price_per_kwh)
