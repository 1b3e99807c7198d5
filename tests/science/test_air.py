"""Air against CoolProp, an independent library, within 1 %."""

from __future__ import annotations

import pytest
from CoolProp.HumidAirProp import HAPropsSI

from stillroom.science.air import air_humidity, pressure_pa, warmed_air


@pytest.mark.parametrize("altitude", [0, 1500])
@pytest.mark.parametrize("dryer", [35, 45, 55, 65, 75])
@pytest.mark.parametrize(("room", "humidity"), [(10, 0.8), (21, 0.5), (30, 0.8)])
def test_warmed_air_agrees_with_coolprop(
    room: float, humidity: float, dryer: float, altitude: float
) -> None:
    air = warmed_air(room, humidity, dryer, altitude)
    p = pressure_pa(altitude)
    ratio = HAPropsSI("W", "T", room + 273.15, "R", humidity, "P", p)
    state = ("T", dryer + 273.15, "W", ratio, "P", p)
    assert air.humidity_ratio == pytest.approx(ratio, rel=0.01)
    assert air.dryer_rh == pytest.approx(HAPropsSI("R", *state), rel=0.01)
    bulb = HAPropsSI("B", *state) - 273.15
    assert air.wet_bulb_c == pytest.approx(bulb, rel=0.01)
    full = HAPropsSI("W", "T", bulb + 273.15, "R", 1.0, "P", p)
    assert air.saturated_ratio == pytest.approx(full, rel=0.01)


@pytest.mark.parametrize(
    ("room", "humidity", "dryer", "altitude", "words"),
    [
        (60, 0.5, 70, 0, "kitchen"),
        (21, 1.4, 60, 0, "relative humidity"),
        (21, 0.5, 15, 0, "dryer"),
        (21, 0.5, 150, 0, "dryer"),
        (21, 0.5, 60, 9000, "altitude"),
    ],
)
def test_air_refuses_what_it_cannot_do(
    room: float, humidity: float, dryer: float, altitude: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        warmed_air(room, humidity, dryer, altitude)


def test_a_damper_kitchen_makes_damper_dryer_air() -> None:
    assert air_humidity(21, 0.3, 55).high < air_humidity(21, 0.8, 55).low
