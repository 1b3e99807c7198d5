"""Water activity estimates against published isotherm points and moisture pairs."""

from __future__ import annotations

import pytest

from stillroom.enrich.model import constants_for
from stillroom.science.activity import (
    activity_range,
    evened_out,
    mixture_activity,
    sugar_activity,
    sugar_moisture,
)
from stillroom.science.balance import wet_basis
from stillroom.science.constants import Isotherm
from stillroom.science.range import Range, exactly
from stillroom.tables.tables import tables


def rest_and_share(food: str) -> tuple[Isotherm, float]:
    constants = constants_for(food, tables())
    assert constants is not None
    assert constants.isotherm is not None
    row = tables().foods[food]
    return constants.isotherm, min(0.95, row.sugar_fraction / (1 - row.water_likely))


# Norrish for glucose, as computed in knowledge/sorption.csv (mem-norrish): 50 % and 70 % sugar.
@pytest.mark.parametrize(("water_per_sugar", "activity"), [(1.0, 0.8923), (0.4286, 0.7481)])
def test_sugar_activity_follows_norrish(water_per_sugar: float, activity: float) -> None:
    assert sugar_activity(water_per_sugar) == pytest.approx(activity, abs=0.0005)
    assert sugar_moisture(activity) == pytest.approx(water_per_sugar, rel=0.002)


APPLE = [row for row in tables().rows("sorption", "apple") if row["row_kind"] == "point"]


@pytest.mark.parametrize("row", APPLE, ids=lambda row: row["id"])
def test_estimate_for_apple_is_near_the_published_isotherm(row: dict[str, str]) -> None:
    """mem-ratti: above 0.4, where it matters, within 0.08 and never far on the wet side."""
    rest, share = rest_and_share("apple")
    water = wet_basis(float(row["x_kg_kg_db"]))
    published = float(row["aw"])
    found = mixture_activity(water, share, rest, float(row["temp_lo_c"] or 25))
    if published >= 0.4:
        assert found == pytest.approx(published, abs=0.08)
    assert found > published - 0.16


@pytest.mark.parametrize(("moisture", "activity"), [(0.15, 0.60), (0.20, 0.65)])
def test_dried_fruit_pairs_lie_in_the_range(moisture: float, activity: float) -> None:
    """beuchat-cfw-1981: dried fruit of 15 to 20 % moisture at 0.60 to 0.65."""
    for food in ("apple", "plum", "apricot", "pear"):
        rest, share = rest_and_share(food)
        found = activity_range(exactly(moisture), share, rest)
        assert found.holds(activity), (food, found)


def test_brittle_vegetables_are_far_below_any_growth() -> None:
    """beuchat-cfw-1981 puts dried vegetables at 0.20 to 0.30; 5 % moisture."""
    for food in ("carrot", "green bean", "potato"):
        rest, share = rest_and_share(food)
        assert mixture_activity(0.05, share, rest) < 0.45


def test_more_water_is_never_less_active() -> None:
    rest, share = rest_and_share("plum")
    found = [mixture_activity(w / 100, share, rest) for w in range(2, 88, 3)]
    assert found == sorted(found)


def test_range_holds_its_likely_value_and_says_it_is_an_estimate() -> None:
    rest, share = rest_and_share("tomato")
    found = activity_range(Range(0.08, 0.1, 0.14), share, rest)
    assert found.low <= found.likely <= found.high
    assert "estimate" in found.assumes[0]


def test_wrong_sugar_share_is_refused() -> None:
    rest, _ = rest_and_share("plum")
    with pytest.raises(ValueError, match="sugar share"):
        mixture_activity(0.2, 1.2, rest)


def test_gap_between_pieces_shrinks_in_the_jar() -> None:
    gap = evened_out((0.4, 0.15), 0.1, 7, 0.4)
    assert 0 < gap < 0.1 * (0.4 - 0.15)
