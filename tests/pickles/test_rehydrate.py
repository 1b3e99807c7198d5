"""Soaking and equivalents inside the published ranges, source beside each check."""

import pytest

from stillroom.science.brine import Span
from stillroom.science.rehydrate import dried_equal, fresh_equal, soak
from stillroom.tables.kitchen_use import kitchen_use
from stillroom.tables.tables import tables

CUP = 236.588


def fresh_for(food: str, dried_g: float = 1.0) -> float:
    """Grams fresh that the tables say a gram dried stands for."""
    dried = kitchen_use().food(food).dried_water
    assert dried is not None
    return fresh_equal(dried_g, dried, tables().foods[food].water_likely)


@pytest.mark.parametrize(
    ("food", "low", "high"),
    [
        ("onion", 7.0, 8.9),  # 8 by weight, pk_army; ceiling 8.82, pk_sr26
        ("carrot", 7.0, 8.3),  # ceiling 8.2, pk_sr26
        ("celery", 16.0, 20.0),  # ceiling 19.91, pk_sr26
        ("tomato", 12.0, 15.7),  # sun-dried ceiling 15.59, pk_sr26
        ("mushroom", 8.8, 12.1),  # shiitake 8.82, white 12.0, pk_sr26
        ("parsley", 6.5, 7.8),  # 7.7, pk_sr26
        ("thyme", 2.4, 2.8),  # 2.6, pk_sr26
        ("basil", 10.0, 11.5),  # 11.3, pk_sr26
        ("ginger", 4.0, 4.6),  # 4.3, pk_sr26
        ("garlic", 2.1, 2.4),  # 2.3, pk_sr26
    ],
)
def test_dried_stands_for_fresh(food, low, high):
    assert low <= fresh_for(food) <= high


def test_there_and_back():
    assert dried_equal(fresh_equal(37, 0.05, 0.9), 0.05, 0.9) == pytest.approx(37)


@pytest.mark.parametrize(
    ("food", "cups", "low", "high"),
    [
        ("apple", 1.5, 30, 60),  # pk_uf_dryveg
        ("pear", 1.75, 60, 75),  # pk_uf_dryveg, pk_cp_rehyd
        ("peach", 2, 75, 90),  # pk_uf_dryveg
        ("asparagus", 2.25, 90, 120),  # pk_uf_dryveg
        ("green bean", 2.5, 60, 90),  # pk_uf_reprint, pk_cp_rehyd
        ("beet", 2.75, 90, 120),  # pk_uf_reprint
        ("carrot", 2.25, 60, 90),  # pk_uf_reprint
        ("cabbage", 3, 60, 90),  # pk_uf_reprint
        ("corn", 2.25, 30, 60),  # pk_uf_reprint
        ("okra", 3, 30, 60),  # pk_uf_reprint
        ("onion", 2, 45, 60),  # pk_uf_reprint, pk_cp_rehyd
        ("green pea", 2.5, 30, 60),  # pk_uf_reprint
        ("pumpkin", 3, 60, 90),  # pk_uf_reprint
        ("winter squash", 1.75, 60, 90),  # pk_uf_reprint
        ("spinach", 1, 30, 45),  # pk_uf_reprint
        ("sweet potato", 1.5, 30, 60),  # pk_uf_reprint
        ("potato", 1.5, 30, 45),  # pk_cp_rehyd
    ],
)
def test_soaks_are_the_published_ones(food, cups, low, high):
    row = kitchen_use().soak(food, kitchen_use().food(food).kind)
    plan = soak(CUP, Span(*row.water), Span(row.minutes[0], row.minutes[0], row.minutes[1]))
    assert plan.water_ml.likely == pytest.approx(cups * CUP)
    assert (plan.minutes.low, plan.minutes.high) == (low, high)


@pytest.mark.parametrize("food", sorted(kitchen_use().foods))
def test_every_dried_food_has_some_soak_inside_the_published_spread(food):
    """One to three cups a cup, up to two hours in hot water (pk_uf_reprint, pk_uf_dryveg)."""
    use = kitchen_use().food(food)
    row = kitchen_use().soak(food, use.kind)
    if use.kind != "herb":
        assert 1 <= row.water[1] <= 3
    assert row.minutes[1] <= 120


def test_cold_takes_longer_and_long_soaks_are_chilled():
    """30 to 90 min cold, 20 to 60 hot (pk_usu_use); chilled over two hours (pk_uf_dryveg)."""
    hot = soak(CUP, Span(2, 2, 2), Span(60, 75, 90))
    cold = soak(CUP, Span(2, 2, 2), Span(60, 75, 90), "cold")
    assert cold.minutes.low > hot.minutes.low
    assert cold.chill
    assert not hot.chill


def test_dried_herbs_are_three_to_one_by_volume():
    """Three of fresh for one of dried leaf (pk_wvu)."""
    row = next(row for row in kitchen_use().equals if row.food == "herb" and row.fresh_amount == 3)
    assert (row.fresh_unit, row.dried_low, row.dried_unit) == ("tablespoon", 1, "tablespoon")


def test_every_source_is_known():
    use, known = kitchen_use(), set(tables().sources)
    rows = [
        *use.foods.values(), *use.packs.values(), *use.styles.values(), *use.draws,
        *use.grinds.values(), *use.soaks.values(), *use.equals, *use.stand_ins.values(),
        *use.recipes.values(),
    ]  # fmt: skip
    assert {source for row in rows for source in row.sources} <= known


def test_every_food_of_the_tables_is_covered():
    assert set(kitchen_use().foods) == set(tables().foods)
    assert {row.food for row in kitchen_use().equals} - {"herb"} <= set(tables().foods)


@pytest.mark.parametrize(
    "call",
    [
        lambda: fresh_equal(-1, 0.05, 0.9),
        lambda: fresh_equal(1, 0.95, 0.9),
        lambda: soak(-1, Span(1, 1, 1), Span(1, 1, 1)),
        lambda: soak(1, Span(1, 1, 1), Span(1, 1, 1), "iced"),
    ],
)
def test_bad_input_is_refused(call):
    with pytest.raises(ValueError, match=r"\w"):
        call()
