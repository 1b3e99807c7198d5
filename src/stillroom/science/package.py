"""Damp that gets into packed dry food: through the film, and with the air at each opening.

The food gains moisture until it is as wet as still counts as dry. With a straight piece of
isotherm, constant air outside, an even moisture inside and the film as the only resistance:
``ln((me - mi) / (me - mc)) = (k / x)(A / Ws)(p0 / b) t``. The film's own slowing in the cool is
left out, so the answer is on the short side [mem-labuza-pack].
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, log

from stillroom.science.air import saturation_pa

MMHG_PA = 133.322
TEST_C, TEST_RH = 37.8, 0.90
"""Air of the film tests, 100 deg F and 90 % [biosys-handbook-ch11 gives 38 deg C]."""
TABLE_UM = 25.4
"""Gauge to which film tables refer, one mil [um]."""
FILM_M2_PER_LITRE = 0.07
"""Film round one litre of pieces in a flat zip bag, both faces [m2]; judgement from a bag of about
18 x 20 cm. Larger bags need less for each litre (area as volume to the power two thirds)."""
AIR_CHANGES = 3.0
"""How often the air above the food is renewed at one opening; judgement, pessimistic."""
_GAS_G_MMHG = 18.015 * MMHG_PA / 8.314  # g of vapour in a m3, times mmHg over kelvin


def permeance(wvtr: float, film_um: float = TABLE_UM, table_um: float = TABLE_UM) -> float:
    """What a film passes for each difference of vapour pressure [g/(m2 day mmHg)].

    Args:
        wvtr: measured at 37.8 deg C and 90 % relative humidity [g/(m2 day)].
        film_um: gauge of this film [um].
        table_um: gauge that ``wvtr`` belongs to [um].

    Raises:
        ValueError: a gauge is not above 0, or ``wvtr`` is negative.

    Source:
        mem-labuza-pack; air of the test from biosys-handbook-ch11.

    >>> round(permeance(20, 44.45), 3)
    0.258
    """
    if wvtr < 0 or film_um <= 0 or table_um <= 0:
        raise ValueError("a film needs a gauge above 0 and a transmission that is not negative")
    test = TEST_RH * saturation_pa(TEST_C) / MMHG_PA
    return wvtr * table_um / film_um / test


@dataclass(frozen=True)
class Inside:
    """The dry food in a package.

    Args:
        solids_g: dry matter [g].
        start: moisture when packed [kg/kg dry].
        critical: moisture at which it no longer counts as dry [kg/kg dry].
        moisture_at: its isotherm: moisture [kg/kg dry] at a water activity.
        activity: water activity when packed [1].
    """

    solids_g: float
    start: float
    critical: float
    moisture_at: Callable[[float], float]
    activity: float

    def slope(self, store_rh: float) -> float:
        """The straight working isotherm between the food and the air [kg/kg dry per activity]."""
        return (self.moisture_at(store_rh) - self.start) / (store_rh - self.activity)


def days_to_critical(
    food: Inside,
    permeance_g: float,
    area_m2: float,
    store_c: float,
    store_rh: float,
    evening_per_day: float = inf,
) -> float:
    """Days until a packed food has taken up as much as it may.

    Args:
        food: what is inside.
        permeance_g: of the film [g/(m2 day mmHg)]; 0 for glass and metal.
        area_m2: of film [m2].
        store_c: temperature of the store [deg C], 0 to 45.
        store_rh: its relative humidity [1].
        evening_per_day: how fast damp spreads among the pieces [1/day], in series with the film;
            infinite when the inside is even at once.

    Returns:
        Days; infinite where the store's air is too dry to bring it there, or nothing passes.

    Raises:
        ValueError: no solids, or figures outside their range.

    Source:
        mem-labuza-pack, check value WE083.
    """
    if food.solids_g <= 0 or area_m2 < 0 or permeance_g < 0:
        raise ValueError("a package needs some dry matter, and film figures that are not negative")
    if not 0 <= store_rh <= 1:
        raise ValueError(f"relative humidity is a share, 0 to 1, not {store_rh:g}")
    if store_rh <= food.activity or permeance_g * area_m2 == 0:
        return inf
    settles = food.moisture_at(store_rh)
    if settles <= food.critical:
        return inf
    if food.start >= food.critical:
        return 0.0
    vapour = saturation_pa(store_c) / MMHG_PA
    pace = permeance_g * area_m2 / food.solids_g * vapour / food.slope(store_rh)
    slowed = 1 / (1 / pace + 1 / evening_per_day)
    return log((settles - food.start) / (settles - food.critical)) / slowed


def openings_to_critical(
    food: Inside, air_ml: float, store_c: float, store_rh: float, changes: float = AIR_CHANGES
) -> float:
    """How many openings bring in as much damp as a packed food may take up.

    Each opening renews the air in the vessel; the food takes all the vapour above its own
    activity out of it before the next. Damp that food standing open draws is not in it.

    Args:
        food: what is inside.
        air_ml: air in the vessel, between the pieces too [ml].
        store_c: temperature of the room [deg C].
        store_rh: its relative humidity [1].
        changes: how often the air is renewed at one opening.

    Returns:
        Openings; infinite in air too dry to matter.

    Raises:
        ValueError: the air is below 0.

    Source:
        vapour as an ideal gas; ``changes`` is a judgement.
    """
    if air_ml < 0:
        raise ValueError("a vessel cannot hold less than no air")
    over = store_rh - food.activity
    if over <= 0 or food.moisture_at(store_rh) <= food.critical or air_ml == 0:
        return inf
    density = _GAS_G_MMHG * saturation_pa(store_c) / MMHG_PA / (store_c + 273.15)
    gain = changes * air_ml * 1e-6 * density * over
    return max(0.0, food.critical - food.start) * food.solids_g / gain


def film_area(volume_ml: float) -> float:
    """Film round a bag that holds a volume of pieces [m2]; judgement, see FILM_M2_PER_LITRE.

    Raises:
        ValueError: the volume is not above 0.

    >>> film_area(1000)
    0.07
    """
    if volume_ml <= 0:
        raise ValueError("a bag holds something")
    return float(FILM_M2_PER_LITRE * (volume_ml / 1000) ** (2 / 3))
