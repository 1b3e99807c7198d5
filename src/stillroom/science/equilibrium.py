"""Moisture that a food settles at in the dryer's air, and what helps when that is too damp."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, sqrt

from stillroom.science.air import warmed_air
from stillroom.science.balance import dry_basis, wet_basis
from stillroom.science.constants import FoodConstants, Isotherm
from stillroom.science.range import Range

_GAS = 0.008314  # kJ/(mol K)


def gab_figures(isotherm: Isotherm, temp_c: float) -> tuple[float, float, float]:
    """Monolayer, C and K of a GAB isotherm at a temperature.

    Source:
        [kiranoudis-1993-md]: each is a prefactor times exp(H / RT).
    """
    m0, h_m, c0, h_c, k0, h_k = isotherm.figures
    heat = _GAS * (temp_c + 273.15)
    return m0 * exp(h_m / heat), c0 * exp(h_c / heat), k0 * exp(h_k / heat)


def gab(activity: float, monolayer: float, c: float, k: float) -> float:
    """The GAB expression itself, ``X = m0 C K a / ((1 - K a)(1 - K a + C K a))`` [kg/kg dry].

    Callers bound its range: ``gab_moisture`` for food, ``powder.gab_water`` for powder in open air.
    """
    x = k * activity
    return monolayer * c * x / ((1 - x) * (1 - x + c * x))


def gab_moisture(activity: float, monolayer: float, c: float, k: float) -> float:
    """GAB isotherm, ``X = m0 C K a / ((1 - K a)(1 - K a + C K a))`` [kg/kg dry].

    Args:
        activity: water activity [1], 0.05 to 0.9; below, data are thin.
        monolayer: m0 [kg/kg dry].
        c: C.
        k: K, below 1.

    Raises:
        ValueError: K is 1 or more, or the activity is outside 0 to 0.95.

    >>> gab_moisture(0.5, 0.09721, 47.501, 0.65253)
    0.1383
    """
    if not 0 < k < 1:
        raise ValueError(f"a GAB fit with K = {k:g} has no limit: K must be below 1")
    if not 0 <= activity <= 0.95:
        raise ValueError(f"GAB holds up to a water activity of 0.95, not {activity:g}")
    return gab(activity, monolayer, c, k)


def gab_activity(moisture: float, monolayer: float, c: float, k: float) -> float:
    """Water activity from moisture by the GAB quadratic [1].

    Raises:
        ValueError: moisture is negative or K is not below 1.

    >>> gab_activity(0.12, 0.092498, 23.24691, 0.674335)
    0.4443
    """
    if moisture < 0:
        raise ValueError("moisture cannot be negative")
    if not 0 < k < 1:
        raise ValueError(f"a GAB fit with K = {k:g} has no limit: K must be below 1")
    if moisture == 0:
        return 0.0
    # X (1 - x)(1 + (C - 1) x) = m0 C x with x = K a
    square = moisture * (1 - c)
    linear = moisture * (c - 2) - monolayer * c
    root = sqrt(linear**2 - 4 * square * moisture)
    x = 2 * moisture / (-linear + root)
    return min(x / k, 1.0)


def oswin_moisture(activity: float, isotherm: Isotherm, temp_c: float) -> float:
    """Oswin isotherm, ``X = (k0 + k1 T)(a / (1 - a))^(n0 + n1 T)`` [kg/kg dry], T in kelvin.

    Raises:
        ValueError: the activity is outside 0 to below 0.95.

    Source:
        [hfe-onion-md], fitted at 17 to 27 deg C; percent dry basis there.
    """
    if not 0 <= activity < 0.95:
        raise ValueError(f"Oswin is used below a water activity of 0.95, not {activity:g}")
    k0, k1, n0, n1 = isotherm.figures
    kelvin = temp_c + 273.15
    return float((k0 + k1 * kelvin) * (activity / (1 - activity)) ** (n0 + n1 * kelvin) / 100)


def salt_humidity(a: float, b_kelvin: float, temp_c: float) -> float:
    """Humidity over a saturated salt, ``A exp(B / T)`` [percent], to check a meter.

    Source:
        [crc-salts], 15 to 35 deg C.

    >>> round(salt_humidity(69.2, 25, 25))
    75
    """
    return a * exp(b_kelvin / (temp_c + 273.15))


def equilibrium_moisture(isotherm: Isotherm, activity: float, temp_c: float) -> float:
    """Water that a food holds in balance with air [kg/kg dry].

    Temperatures outside those measured are moved to the nearest measured one.

    Args:
        isotherm: measured on this food, or borrowed.
        activity: relative humidity of the air [1], up to 0.95.
        temp_c: temperature [deg C].
    """
    if isotherm.form == "drier":
        return min(equilibrium_moisture(part, activity, temp_c) for part in isotherm.parts)
    kept = min(max(temp_c, isotherm.low_c), isotherm.high_c)
    if isotherm.form == "oswin":
        return oswin_moisture(activity, isotherm, kept)
    return gab_moisture(activity, *gab_figures(isotherm, kept))


@dataclass(frozen=True)
class Floor:
    """How dry the air lets a food become.

    Args:
        moisture: the floor, wet basis [1].
        reachable: the air is dry enough for the end point.
        helps: what would help, best first; empty when reachable.
        hotter_c: dryer temperature from which the end point is reached [deg C]; None above 70.
        drier_rh: room humidity up to which it is reached [1]; None below a tenth.
    """

    moisture: Range
    reachable: bool
    helps: tuple[str, ...] = ()
    hotter_c: float | None = None
    drier_rh: float | None = None


def floor_moisture(
    food: FoodConstants,
    room_c: float,
    room_rh: float,
    dryer_c: float,
    altitude_m: float = 0.0,
) -> Floor:
    """The driest that a food gets in this kitchen at this temperature, and what helps.

    Args:
        food: its end point and isotherm.
        room_c: kitchen temperature [deg C].
        room_rh: its relative humidity [1].
        dryer_c: dryer temperature [deg C].
        altitude_m: height above the sea [m].

    Returns:
        The floor (with the error of a borrowed isotherm, about a tenth in water activity),
        whether the likely floor lies below the end point, and what helps.

    Raises:
        ValueError: the food has no isotherm, or the air is outside ``warmed_air``.
    """
    if food.isotherm is None:
        raise ValueError(f"no isotherm for {food.food}")
    isotherm = food.isotherm
    air = warmed_air(room_c, room_rh, dryer_c, altitude_m)
    borrowed = isotherm.food != food.food
    error = 0.1 if borrowed else 0.05

    def at(activity: float) -> float:
        return wet_basis(equilibrium_moisture(isotherm, min(max(activity, 0.0), 0.94), dryer_c))

    moisture = Range(
        at(air.dryer_rh - error),
        at(air.dryer_rh),
        at(air.dryer_rh + error),
        assumes=(
            f"the isotherm of {isotherm.food}" + (" stands in" if borrowed else ""),
            f"air at {100 * air.dryer_rh:.0f} % relative humidity in the dryer",
        ),
        driver="how damp the kitchen is",
        sources=(isotherm.source, "ashrae-2017-ch1"),
    )
    reachable = moisture.likely < food.end_likely
    if reachable:
        return Floor(moisture, reachable)
    hotter, drier = _changes(food, room_c, room_rh, dryer_c)
    helps = (
        *((f"a dryer at {hotter:.0f} °C or more, where the food allows it",) if hotter else ()),
        *((f"drying the room to {100 * drier:.0f} % relative humidity (air conditioning does)",)
          if drier else ()),
        "a cooler, drier room or a drier day",
    )  # fmt: skip
    return Floor(moisture, reachable, helps, hotter, drier)


def _changes(
    food: FoodConstants, room_c: float, room_rh: float, dryer_c: float
) -> tuple[float | None, float | None]:
    """Single changes that would bring the floor below the end point, tried by computing them."""
    isotherm = food.isotherm
    if isotherm is None:
        return None, None
    target = dry_basis(food.end_likely)

    def reaches(rh: float, temp_c: float) -> bool:
        activity = min(warmed_air(room_c, rh, temp_c).dryer_rh, 0.94)
        return equilibrium_moisture(isotherm, activity, temp_c) < target

    hotter = next((temp for temp in range(int(dryer_c) + 1, 71) if reaches(room_rh, temp)), None)
    drier = next((p for p in range(int(100 * room_rh), 9, -1) if reaches(p / 100, dryer_c)), None)
    return hotter, None if drier is None else drier / 100
