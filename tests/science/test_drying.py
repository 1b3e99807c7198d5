"""Behaviour of the drying model, loading, balance, floor and energy; bad input."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cases import constants, model_table

from stillroom.science import air, balance, energy, equilibrium, loading
from stillroom.science.drying import Dryer, drying_time, look_schedule, stages
from stillroom.science.range import Range

TABLE = model_table()
PLUM = constants("plum", "stone-fruit", TABLE)
COURGETTE = constants("zucchini", "juicy-vegetable", TABLE)
SAGE = constants("sage", "sturdy-herb", TABLE)


def _hours(mm: float = 6.4, temp: float = 57, load: float | None = None, rh: float = 0.5) -> float:
    return drying_time(
        COURGETTE, loading.piece("sliced", mm), Dryer(temp, room_rh=rh), TABLE.dryer, load
    ).likely


def test_time_grows_with_thickness_load_and_damp_and_falls_with_heat() -> None:
    assert _hours(10) > 1.3 * _hours(5)
    assert _hours(temp=65) < _hours(temp=50)
    assert _hours(load=9) > 1.2 * _hours(load=4)
    assert _hours(rh=0.8) > _hours(rh=0.3)


def test_an_oven_and_thin_mountain_air_take_longer() -> None:
    size = loading.piece("sliced", 6.4)
    home = stages(COURGETTE, size, Dryer(57), TABLE.dryer).hours
    assert stages(COURGETTE, size, Dryer(57, kind="oven"), TABLE.dryer).hours > 1.8 * home
    lab = Dryer(57, kind="laboratory")
    high = replace(lab, altitude_m=3000)
    assert (
        stages(COURGETTE, size, high, TABLE.dryer).hours
        != stages(COURGETTE, size, lab, TABLE.dryer).hours
    )


def test_the_curve_ends_at_the_end_point() -> None:
    curve = stages(PLUM, loading.piece("halved", None, 45), Dryer(60), TABLE.dryer)
    assert curve.moisture(0) == pytest.approx(curve.start)
    assert curve.moisture(curve.hours) == pytest.approx(curve.end)
    assert all(curve.moisture(t) >= curve.moisture(t + 1) for t in range(40))


def test_an_unknown_food_goes_by_its_group_with_a_wider_range_and_says_so() -> None:
    odd = TABLE.constants("samphire", "", "vegetable")
    size, dryer = loading.piece("sliced", 6.4), Dryer(57)
    wide = drying_time(odd, size, dryer, TABLE.dryer)
    known = drying_time(COURGETTE, size, dryer, TABLE.dryer)
    assert not odd.known
    assert any("goes by its class" in words for words in wide.assumes)
    assert wide.high / wide.likely > known.high / known.likely
    dried = balance.dry_mass(1000, odd)
    assert any("not in the tables" in words for words in dried.assumes)


@pytest.mark.parametrize("temp", [20, 95])
def test_a_temperature_outside_the_model_names_its_span(temp: float) -> None:
    with pytest.raises(ValueError, match="30 to 80"):
        Dryer(temp)


def test_other_bad_input_is_refused() -> None:
    with pytest.raises(ValueError, match="no such cut"):
        loading.piece("spiralised")
    with pytest.raises(ValueError, match="outside the model"):
        loading.piece("sliced", 400)
    with pytest.raises(ValueError, match="load"):
        stages(COURGETTE, loading.piece("sliced"), Dryer(57), TABLE.dryer, 0)
    with pytest.raises(ValueError, match="wetter"):
        balance.mass_at(100, 0.5, 0.9)
    with pytest.raises(ValueError, match="carry off all"):
        balance.mass_at(100, 0.95, 0.1, juice_g=90, brix=10)
    with pytest.raises(ValueError, match="more than"):
        balance.moisture_now(1000, 1200, COURGETTE)
    with pytest.raises(ValueError, match="less than the dry matter"):
        balance.moisture_now(1000, 10, COURGETTE)


def test_tare_is_taken_off_and_put_back() -> None:
    bare = balance.end_mass(1000, COURGETTE)
    tray = balance.end_mass(1000, COURGETTE, tare_g=350)
    assert tray.likely == pytest.approx(bare.likely + 350)
    with_tray = balance.moisture_now(1350, 850, COURGETTE, tare_g=350)
    assert with_tray.likely == pytest.approx(balance.moisture_now(1000, 500, COURGETTE).likely)


def test_pressed_juice_lowers_the_end_weight() -> None:
    assert (
        balance.dry_mass(1000, PLUM, juice_g=300, brix=14.3).likely
        < balance.dry_mass(1000, PLUM).likely
    )


def test_a_muggy_kitchen_is_too_damp_for_crisp_herbs_and_help_is_named() -> None:
    assert equilibrium.floor_moisture(SAGE, 21, 0.45, 41).reachable
    muggy = equilibrium.floor_moisture(SAGE, 31, 0.85, 38)
    assert not muggy.reachable
    assert any("dryer at" in words for words in muggy.helps)
    assert any("humidity" in words for words in muggy.helps)


def test_trays_and_loads_are_whole_and_at_least_one() -> None:
    need = loading.trays(Range(0.4, 0.6, 0.9), 0.1, 5)
    assert (need.trays.likely, need.trays.high) == (6, 9)
    assert need.loads is not None
    assert need.loads.likely == 2


def test_energy_lies_between_the_ideal_and_what_is_published() -> None:
    warm = air.warmed_air(21, 0.5, 60)
    used = energy.energy(1000.0, warm)
    assert used.ideal_kwh == pytest.approx(0.78, abs=0.02)
    assert 1.2 <= used.per_kg_water.low <= used.per_kg_water.high <= 6.9  # cigr-energy-review
    assert energy.energy(1000.0, warm, Range(2, 3, 4), 300).kwh.high <= 1.2


def test_the_look_schedule_rises_and_ends_at_the_high_end() -> None:
    for hours in (Range(1, 2, 4), Range(6, 9, 15), Range(20, 33, 60)):
        times = look_schedule(hours)
        assert list(times) == sorted(set(times))
        assert times[-1] == pytest.approx(hours.high, abs=0.26)


def test_at_the_likely_end_weight_it_is_at_the_likely_end_moisture() -> None:
    for food in (PLUM, COURGETTE, SAGE):
        end = balance.end_mass(2000, food).likely
        now = balance.moisture_now(2000, end, food, driest=0.8 * food.end_low)
        assert now.likely == pytest.approx(food.end_likely, abs=0.01)
        assert 0.8 * food.end_low <= now.low <= now.likely <= now.high
