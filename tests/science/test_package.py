"""Damp through packages: scaling, published shelf lives of one powder in three films, bad input."""

from __future__ import annotations

from math import inf

import pytest

from stillroom.science.package import (
    Inside,
    days_to_critical,
    film_area,
    openings_to_critical,
    permeance,
)

# knowledge/packaging.csv PK041: the straight isotherm of the worked example (mem-labuza-pack).
FOOD = Inside(100, 0.08, 0.16, lambda a: 0.08 + 0.3429 * (a - 0.25), 0.25)


def _days(wvtr: float, *, um: float = 44.45, temp: float = 21, rh: float = 0.6) -> float:
    return days_to_critical(FOOD, permeance(wvtr, um), 0.06, temp, rh)


def test_a_film_ten_times_better_lasts_ten_times_as_long() -> None:
    """PK042: 1303.7 days."""
    assert _days(2) == pytest.approx(10 * _days(20))
    assert _days(2) == pytest.approx(1303.7, rel=0.01)


def test_films_stand_to_each_other_as_garlic_powder_lasted_in_them() -> None:
    """PK027 and PK028: 24 days in LDPE, 78 in HDPE, one air; wvtr per mil 1-2 and 0.3-0.6."""
    ratio = _days(0.45 * 15.5, um=25.4) / _days(1.5 * 15.5, um=25.4)
    assert ratio == pytest.approx(78 / 24, rel=0.1)


def test_cooler_drier_and_thicker_last_longer() -> None:
    assert _days(20, temp=5) > 2 * _days(20)
    assert _days(20, rh=0.55) > _days(20) > _days(20, rh=0.8)
    assert _days(20, um=100) == pytest.approx(_days(20) * 100 / 44.45)


def test_glass_and_dry_air_let_no_damp_in() -> None:
    assert _days(0) == inf
    assert _days(20, rh=0.2) == inf
    assert _days(20, rh=0.4) == inf  # it settles below what still counts as dry


def test_slow_evening_out_inside_slows_the_gain() -> None:
    film = permeance(2000)
    bare = days_to_critical(FOOD, film, 0.06, 21, 0.6)
    slow = days_to_critical(FOOD, film, 0.06, 21, 0.6, 0.4)
    assert slow > bare
    assert slow - bare == pytest.approx(2.75, abs=0.01)  # ln 3 / 0.4


def test_openings_matter_for_powder_in_a_big_jar_and_not_for_a_full_one() -> None:
    little = Inside(20, 0.08, 0.16, FOOD.moisture_at, 0.25)
    assert openings_to_critical(FOOD, 300, 21, 0.6) > 1000
    assert openings_to_critical(little, 900, 21, 0.8) < 150
    assert openings_to_critical(FOOD, 300, 21, 0.2) == inf


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: permeance(-1), "gauge"),
        (lambda: permeance(10, 0), "gauge"),
        (lambda: film_area(0), "holds something"),
        (lambda: openings_to_critical(FOOD, -5, 21, 0.5), "less than no air"),
        (lambda: days_to_critical(FOOD, 1, 0.06, 21, 1.4), "share"),
        (
            lambda: days_to_critical(Inside(0, 0.1, 0.2, lambda a: a, 0.2), 1, 0.06, 21, 0.5),
            "dry matter",
        ),
    ],
)
def test_bad_figures_are_refused(call: object, words: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=words):
        call()
