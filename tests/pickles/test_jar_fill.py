"""Predicted produce and brine per quart against published recipes (knowledge/jar_fill.csv).

Each row names its own source. A near-packed recipe is met within 20 %; any other makes more brine
than the jars take, so its brine bounds ours: never above what is made, never below half of it.
"""

import pytest

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.science.brine import (
    MARGIN,
    RAW_DENSITY,
    SOFT_DENSITY,
    brine_in_jar,
    headspace_ml,
    usable_ml,
)
from stillroom.tables.kitchen_use import kitchen_use

JAR_ML = {"half-pint": 236.588, "12-oz jar": 354.882, "pint": 473.176, "quart": 946.353}
QUART_ML = 946.353
ROWS = read_csv(knowledge_dir() / "jar_fill.csv", ("recipe_kind", "cut", "class", "limp"))


def predicted(row):
    """Produce in g and brine to make in ml, both to a quart of jars."""
    pack = kitchen_use().pack(row["cut"], row["class"])
    limp = row["limp"] == "yes"
    fraction = (pack.soft if limp else pack.firm)[1]
    jar = JAR_ML[row["yield_unit"]]
    room = usable_ml(jar, float(row["headspace_in"]))
    solids = jar - headspace_ml(float(row["solids_headspace_in"] or row["headspace_in"]))
    packed = fraction * min(room, solids)
    brine = brine_in_jar(room, packed, SOFT_DENSITY if limp else RAW_DENSITY)
    bought = packed / (1 - float(row["trim_pct"] or 0) / 100)
    return bought * QUART_ML / jar, brine * (1 + MARGIN) * QUART_ML / jar


NEAR = [row for row in ROWS if row["fill_check"] == "near-packed-weight"]
BOUNDED = [row for row in ROWS if row not in NEAR or row["left_out"]]


def test_every_row_is_tried_and_those_left_out_say_why():
    assert len(ROWS) == 20
    assert len(NEAR) == 4
    assert [row["recipe_kind"] for row in ROWS if row["left_out"]] == ["yellow pepper rings"]


@pytest.mark.parametrize("row", NEAR, ids=lambda row: row["recipe_kind"])
def test_near_packed_produce_within_a_fifth(row):
    assert predicted(row)[0] == pytest.approx(float(row["produce_g_per_quart"]), rel=0.20)


@pytest.mark.parametrize(
    "row", [row for row in NEAR if not row["left_out"]], ids=lambda row: row["recipe_kind"]
)
def test_near_packed_brine_within_a_fifth(row):
    assert predicted(row)[1] == pytest.approx(float(row["brine_ml_per_quart"]), rel=0.20)


@pytest.mark.parametrize("row", BOUNDED, ids=lambda row: row["recipe_kind"])
def test_brine_lies_between_half_and_all_of_what_the_recipe_makes(row):
    made = float(row["brine_ml_per_quart"])
    assert made / 2 <= predicted(row)[1] <= made


def test_the_row_left_out_cannot_be_met_by_any_packing():
    """Even with produce and brine both a fifth under, the pepper rings overflow their jars."""
    row = next(row for row in ROWS if row["left_out"])
    least = 0.8 * (
        float(row["produce_g_per_quart"]) / RAW_DENSITY + float(row["brine_ml_per_quart"])
    )
    assert least > 1.2 * usable_ml(473.176) * 2
