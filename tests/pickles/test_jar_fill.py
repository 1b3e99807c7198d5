"""Predicted produce and brine per quart against published recipes (knowledge/jar_fill.csv).

Each row names its own source. A near-packed recipe is met within 20 %; any other makes more brine
than the jars take, so its brine bounds ours: never above what is made, never below half of it.
"""

from datetime import datetime

import pytest

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.science.brine import (
    RAW_DENSITY,
    SOFT_DENSITY,
    brine_in_jar,
    headspace_ml,
    usable_ml,
)
from stillroom.tables.kitchen_use import kitchen_use
from stillroom.talk.session import Session

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
    return bought * QUART_ML / jar, brine * (1 + pack.spare) * QUART_ML / jar


NEAR = [row for row in ROWS if row["fill_check"] == "near-packed-weight"]
BOUNDED = [row for row in ROWS if row not in NEAR or row["left_out"]]


def test_every_row_is_tried_and_none_is_left_out():
    assert len(ROWS) == 20
    assert len(NEAR) == 4
    assert [row["recipe_kind"] for row in ROWS if row["left_out"]] == []


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


def test_pepper_rings_are_met_only_with_the_spare_brine_of_their_recipe():
    """Produce and brine of that recipe together overflow its jars: some of the brine is spare."""
    row = next(row for row in ROWS if row["cut"] == "rings")
    made = float(row["produce_g_per_quart"]) * 0.82 / RAW_DENSITY + float(row["brine_ml_per_quart"])
    assert made > 1.2 * usable_ml(473.176) * 2
    assert kitchen_use().pack("rings", "pepper").spare == pytest.approx(0.45)


NOTES = (
    ("8 pint jars of bread and butter cucumber slices 3/16 inch thick", "bread-and-butter slices"),
    ("8 pint jars of whole cucumbers, dilled", "fresh-pack dills, whole"),
    ("8 pint jars of cucumber slices 1/4 inch, reduced sodium", "reduced-sodium sliced dills"),
    ("8 pint jars of sweet cucumber slices", "quick sweet slices or strips"),
    ("7 pint jars of sweet gherkins, small whole cucumbers", "sweet gherkins"),
    ("8 pint jars of sliced courgettes, bread and butter", "bread-and-butter zucchini"),
    ("8 pint jars of pickled beets, cooked, sliced", "pickled beets, sliced"),
    ("4 pint jars of dilled green beans", "dilled green beans"),
    ("8 pint jars of dilled green beans", "dilled green beans, larger batch"),
    ("4 pint jars of carrot rounds half an inch thick", "pickled carrot rounds"),
    ("seven 12-ounce jars of dilled asparagus", "pickled asparagus, 12-ounce jars"),
    ("9 half-pint jars of cauliflower florets", "pickled cauliflower"),
    ("8 pint jars of dilled okra", "dilled okra"),
    ("9 pint jars of hot peppers, halved", "pickled hot peppers"),
    ("4 pint jars of pepper rings", "yellow pepper rings"),
    ("4 pint jars of small onions", "pickled pearl onions"),
    ("9 half-pint jars of small whole mushrooms, cooked", "marinated whole mushrooms"),
    ("7 quart jars of whole cucumbers, dilled", "fresh-pack dills, 1976 quarts"),
    ("9 pint jars of sliced green tomatoes, sweet", "sweet green tomato slices"),
)
"""The recipes as a cook asks for them; the mixed vegetables stand in test_pickle_answers.py."""


@pytest.mark.parametrize(("note", "kind"), NOTES)
def test_recipes_asked_for_in_words_are_met_as_well(note, kind, tmp_path):
    row = next(row for row in ROWS if row["recipe_kind"] == kind)
    numbers = figures(f"how much brine for {note}", tmp_path)
    quarts = numbers["jar_count"].likely * JAR_ML[row["yield_unit"]] / QUART_ML
    brine, made = numbers["brine_volume"].likely / quarts, float(row["brine_ml_per_quart"])
    if row["fill_check"] == "near-packed-weight":
        assert brine == pytest.approx(made, rel=0.20)
    else:
        assert made / 2 <= brine <= made


@pytest.mark.parametrize(
    ("note", "kind", "jars"),
    [
        ("4 lb cucumbers sliced 1/4 inch and 300 g onions, less salt", "reduced-sodium", 8),
        ("2 lb green beans, whole, dilled", "dilled green beans", 4),
        ("4 lb green beans, whole, dilled", "larger batch", 8),
        ("2.75 lb pepper rings", "yellow pepper rings", 4),
    ],
)
def test_the_weight_of_a_near_packed_recipe_fills_its_jars(note, kind, jars, tmp_path):
    """The jars of the recipe lie within those foretold, and the brine in all within a fifth."""
    row = next(row for row in NEAR if kind in row["recipe_kind"])
    numbers = figures(f"how much brine for {note}, in pint jars", tmp_path)
    count = numbers["jar_count"]
    assert count.low <= jars <= count.high
    made = float(row["brine_ml_per_quart"]) * jars / 2
    assert numbers["brine_volume"].likely == pytest.approx(made, rel=0.20)


def figures(note, home):
    answer = Session(home, clock=lambda: datetime(2026, 9, 1, 9)).reply(note, keep=False)
    return {number.name: number for number in answer.numbers}
