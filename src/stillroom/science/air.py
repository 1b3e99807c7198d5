"""Air: the kitchen's air warmed in the dryer, its humidity, wet bulb and what it can carry off."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from types import ModuleType

from stillroom.science.range import Range

_SOURCES = ("ashrae-2017-ch1", "psychrolib-2.5.0")
_COLDEST_C, _HOTTEST_C = -10.0, 120.0


def _psychrometrics() -> ModuleType:
    """PsychroLib in SI units; imported only when air is computed."""
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    library: ModuleType = psychrolib
    return library


def pressure_pa(altitude_m: float) -> float:
    """Standard air pressure [Pa].

    Args:
        altitude_m: height above the sea [m], -500 to 5000.

    Raises:
        ValueError: the height is outside that.

    Source:
        [ashrae-2017-ch1] table 1, ``101325 (1 - 2.25577e-5 z)^5.2559``.

    >>> round(pressure_pa(1000))
    89875
    """
    if not -500 <= altitude_m <= 5000:
        raise ValueError(f"altitude {altitude_m:g} m is outside -500 to 5000 m")
    return float(101325 * (1 - 2.25577e-5 * altitude_m) ** 5.2559)


def latent_heat(temp_c: float) -> float:
    """Heat to evaporate water [kJ/kg], 0 to 100 deg C.

    Raises:
        ValueError: the temperature is outside 0 to 100 deg C.

    Source:
        [coolprop-8.0.0], a parabola through its values at 20, 60 and 100 deg C, within 0.1 %
        between.

    >>> round(latent_heat(40))
    2406
    """
    if not 0 <= temp_c <= 100:
        raise ValueError(f"latent heat is fitted for 0 to 100 deg C, not {temp_c:g}")
    return 2499.44 - 2.26225 * temp_c - 0.001681 * temp_c**2


def saturation_pa(temp_c: float) -> float:
    """Vapour pressure of water [Pa], -10 to 90 deg C.

    Raises:
        ValueError: the temperature is outside -10 to 90 deg C.

    Source:
        [ashrae-2017-ch1] by PsychroLib.

    >>> round(saturation_pa(21))
    2488
    """
    if not _COLDEST_C <= temp_c <= 90:
        raise ValueError(f"vapour pressure is wanted for -10 to 90 deg C, not {temp_c:g}")
    return float(_psychrometrics().GetSatVapPres(temp_c))


def saturated_ratio(temp_c: float, pressure: float) -> float:
    """Water per dry air of saturated air [kg/kg].

    Args:
        temp_c: temperature [deg C], 0 to 90.
        pressure: air pressure [Pa].

    Raises:
        ValueError: water boils at this temperature and pressure.

    Source:
        [ashrae-2017-ch1] table 2; the saturation pressure is that of PsychroLib with the small
        excess that air gives it (1.0006 + 3.14e-8 P + 5.6e-7 T2, judgement from that table).

    >>> round(saturated_ratio(50, 101325), 4)
    0.0868
    """
    excess = 1.00062 + 3.14e-8 * pressure + 5.6e-7 * temp_c**2
    vapour = float(_psychrometrics().GetSatVapPres(temp_c)) * excess
    if vapour >= pressure:
        raise ValueError(f"water boils at {temp_c:g} deg C at this pressure")
    return 0.62198 * vapour / (pressure - vapour)


def humid_heat(humidity_ratio: float) -> float:
    """Heat capacity of moist air per kg of dry air [kJ/(kg K)], ``1.005 + 1.88 W``."""
    return 1.005 + 1.88 * humidity_ratio


@dataclass(frozen=True)
class Air:
    """Kitchen air and the same air warmed in the dryer.

    Args:
        room_c: kitchen temperature [deg C].
        room_rh: relative humidity there [1].
        dryer_c: temperature in the dryer [deg C].
        pressure: air pressure [Pa].
        humidity_ratio: water per dry air, unchanged by warming [kg/kg].
        dryer_rh: relative humidity in the dryer before it takes up water [1].
        wet_bulb_c: what a wet surface cools to in the dryer [deg C].
        saturated_ratio: water per dry air once fully damp at that wet bulb [kg/kg].
        density: of the dryer's air [kg/m3].
    """

    room_c: float
    room_rh: float
    dryer_c: float
    pressure: float
    humidity_ratio: float
    dryer_rh: float
    wet_bulb_c: float
    saturated_ratio: float
    density: float

    @property
    def pick_up(self) -> float:
        """Most water that the air can take up [kg/kg dry air]."""
        return self.saturated_ratio - self.humidity_ratio


@lru_cache(maxsize=256)  # the same kitchen air goes into every batch
def warmed_air(room_c: float, room_rh: float, dryer_c: float, altitude_m: float = 0.0) -> Air:
    """Kitchen air warmed to the dryer's temperature.

    Args:
        room_c: kitchen temperature [deg C], -10 to 45.
        room_rh: relative humidity there [1], 0 to 1.
        dryer_c: dryer temperature [deg C], at least the kitchen's and at most 120.
        altitude_m: height above the sea [m].

    Returns:
        The state; within 1 % of CoolProp's humid air from 35 to 75 deg C (tests).

    Raises:
        ValueError: a figure is outside these limits, or the dryer is colder than the kitchen.

    Source:
        [ashrae-2017-ch1] by PsychroLib.

    >>> air = warmed_air(21, 0.5, 60)
    >>> round(air.dryer_rh, 4), round(air.wet_bulb_c, 1)
    (0.0624, 26.3)
    """
    if not _COLDEST_C <= room_c <= 45:
        raise ValueError(f"a kitchen at {room_c:g} deg C is outside -10 to 45 deg C")
    if not 0 <= room_rh <= 1:
        raise ValueError(f"relative humidity is a share, 0 to 1, not {room_rh:g}")
    if not room_c <= dryer_c <= _HOTTEST_C:
        raise ValueError(
            f"the dryer at {dryer_c:g} deg C must be between the kitchen's {room_c:g} and "
            f"{_HOTTEST_C:g} deg C"
        )
    psychro = _psychrometrics()
    pressure = pressure_pa(altitude_m)
    ratio = psychro.GetHumRatioFromRelHum(room_c, room_rh, pressure)
    wet_bulb = psychro.GetTWetBulbFromHumRatio(dryer_c, ratio, pressure)
    return Air(
        room_c,
        room_rh,
        dryer_c,
        pressure,
        ratio,
        psychro.GetRelHumFromHumRatio(dryer_c, ratio, pressure),
        wet_bulb,
        psychro.GetSatHumRatio(wet_bulb, pressure),
        psychro.GetMoistAirDensity(dryer_c, ratio, pressure),
    )


def air_humidity(
    room_c: float, room_rh: float | Range, dryer_c: float, altitude_m: float = 0.0
) -> Range:
    """Relative humidity of the air in the dryer, 0 to 1.

    Args:
        room_c: kitchen temperature [deg C].
        room_rh: its relative humidity [1]; a bare number is taken within a tenth either way.
        dryer_c: dryer temperature [deg C].
        altitude_m: height above the sea [m].

    Returns:
        Relative humidity of the air that enters; air that leaves wet food is damper.

    Raises:
        ValueError: see ``warmed_air``.
    """
    room = (
        room_rh
        if isinstance(room_rh, Range)
        else Range(max(0.0, room_rh - 0.1), room_rh, min(1.0, room_rh + 0.1))
    )
    low, likely, high = (
        warmed_air(room_c, end, dryer_c, altitude_m).dryer_rh
        for end in (room.low, room.likely, room.high)
    )
    return Range(
        low,
        likely,
        high,
        assumes=("air that enters, before it takes up water from the food",),
        driver="how damp the kitchen is",
        sources=_SOURCES,
    )
