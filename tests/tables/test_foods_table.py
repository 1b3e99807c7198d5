"""Foods against the interface's list, published tables and their own class."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest

from stillroom.base.problem import ProblemError
from stillroom.tables.food import DRYNESS
from stillroom.tables.tables import load_tables, tables

HERE = Path(__file__).parent
CANONICAL = {
    "vegetable": "asparagus, beet, bell pepper, broccoli, brussels sprout, cabbage, carrot, "
    "cauliflower, celery, chili pepper, corn, cucumber, eggplant, fennel, garlic, ginger, "
    "green bean, green pea, horseradish, kale, kohlrabi, leek, lettuce, mushroom, okra, onion, "
    "parsnip, potato, pumpkin, radish, rhubarb, rutabaga, scallion, shallot, spinach, "
    "sweet potato, swiss chard, tomatillo, tomato, turnip, winter squash, zucchini",
    "fruit": "apple, apricot, banana, blackberry, blueberry, cherry, citrus peel, cranberry, "
    "currant, date, fig, gooseberry, grape, kiwifruit, lemon, lime, mango, melon, nectarine, "
    "orange, papaya, peach, pear, persimmon, pineapple, plum, raspberry, strawberry",
    "herb": "basil, bay leaf, chamomile, chive, cilantro, dill, fennel seed, lavender, "
    "lemon balm, lemon verbena, marjoram, mint, oregano, parsley, rosemary, sage, savory, "
    "tarragon, thyme",
    "": "beef, chicken, turkey, venison, fish, egg, milk, yogurt, sour cream, bean, rice, nut, "
    "vinegar, salt, sugar",
}
NAMED = [(food, group) for group, names in CANONICAL.items() for food in names.split(", ")]
# Where two published tables differ, the better ranked one is followed and the other stays
# visible: (food, source of the other, what it says).
DIFFER = {
    ("bell pepper", "osu-chow"): "pliable; other tables say brittle",
    ("parsley", "mem-uga-table"): "140 F; herb sheets say 95 to 115 F, and those come first",
}


def published() -> Iterator[dict[str, str]]:
    """Rows copied source by source from the published drying tables, apart from foods.csv."""
    with (HERE / "published_drying.csv").open(encoding="utf-8", newline="") as handle:
        yield from csv.DictReader(handle)


ROWS = list(published())


@pytest.mark.parametrize(("food", "group"), NAMED)
def test_foods_hold_every_canonical_name(food: str, group: str) -> None:
    found = tables().foods[food]
    assert group in ("", found.group)
    assert 0 < found.water_likely < 1 or food in ("salt", "sugar")
    assert found.water_low <= found.water_likely <= found.water_high
    assert set(found.dryness) <= set(DRYNESS)
    assert found.sources_for("water_likely")


def test_foods_hold_nothing_else() -> None:
    assert set(tables().foods) == {food for food, _ in NAMED}


def heat_agrees(row: dict[str, str]) -> bool:
    food = tables().foods[row["food"]]
    if not row["temp_f"] or food.temperature_c is None:
        return not row["temp_f"]
    parts = [(float(part) - 32) / 1.8 for part in row["temp_f"].split("-")]
    # 5 deg F either way: sheets round to the marks of a home dryer.
    return min(parts) - 2.9 <= food.temperature_c <= max(parts) + 2.9


def dryness_agrees(row: dict[str, str]) -> bool:
    return not row["dryness"] or bool(
        set(row["dryness"].split("|")) & set(tables().foods[row["food"]].dryness)
    )


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['food']}-{row['source']}")
def test_foods_agree_with_each_published_row(row: dict[str, str]) -> None:
    agrees = heat_agrees(row) and dryness_agrees(row)
    assert agrees != ((row["food"], row["source"]) in DIFFER)


def test_foods_agree_with_a_named_table_for_forty_foods() -> None:
    firm = {
        row["food"]
        for row in ROWS
        if row["temp_f"]
        and row["dryness"]
        and heat_agrees(row)
        and tables().foods[row["food"]].dryness[0] in row["dryness"].split("|")
    }
    assert len(firm) >= 40, sorted(firm)


def test_published_rows_name_their_source() -> None:
    assert {row["source"] for row in ROWS} <= set(tables().sources)


@pytest.mark.parametrize(
    ("food", "days"),
    [("tomato", 7), ("plum", 7), ("apple", 7), ("citrus peel", 7), ("zucchini", 5), ("basil", 5),
     ("bell pepper", 5), ("rhubarb", 5), ("beef", 0)],
)  # fmt: skip
def test_conditioning_days_follow_the_kind(food: str, days: int) -> None:
    # practitioner-rule: five days for vegetables, seven for fruit and tomatoes.
    assert tables().foods[food].conditioning_days == days


@pytest.mark.parametrize(
    ("food", "low", "high"),
    [("green bean", 3, 4), ("bell pepper", 6, 8), ("zucchini", 0.5, 1), ("cherry", 8, 12),
     ("tomato", 2, 3), ("banana", 2, 4)],
)  # fmt: skip
def test_keeping_at_70f_follows_the_charts(food: str, low: float, high: float) -> None:
    # umn-drying-charts I and II; "under 1 month" for summer squash is kept as half to one.
    assert tables().foods[food].keep_70f == (low, high)


@pytest.mark.parametrize(
    ("word", "food"),
    [("courgettes", "zucchini"), ("summer squash", "zucchini"), ("aubergine", "eggplant"),
     ("beetroot", "beet"), ("capsicum", "bell pepper"), ("sweet pepper", "bell pepper"),
     ("jalapeño", "chili pepper"), ("cayenne", "chili pepper"), ("hot pepper", "chili pepper"),
     ("spring onions", "scallion"), ("green onion", "scallion"), ("coriander leaf", "cilantro"),
     ("swede", "rutabaga"), ("sweetcorn", "corn"), ("prunes", "plum"), ("damsons", "plum"),
     ("raisins", "grape"), ("sultana", "grape"), ("butternut", "winter squash"),
     ("acorn squash", "winter squash"), ("cukes", "cucumber"), ("toms", "tomato"),
     ("cherry tomatoes", "tomato"), ("silverbeet", "swiss chard"), ("kumara", "sweet potato"),
     ("naartjies", "orange"), ("brinjal", "eggplant"), ("bhindi", "okra"), ("trout", "fish")],
)  # fmt: skip
def test_food_words_know_regional_names(word: str, food: str) -> None:
    assert tables().food_words[word] == food


def test_safe_side_of_acid_is_taken() -> None:
    # pH of tomatoes runs from 4.3 to 4.9, across the line of 4.6 (ph_extension_list).
    foods = tables().foods
    assert foods["tomato"].acid == "low-acid"
    assert foods["banana"].acid == "low-acid"
    for food in foods.values():
        if food.acid == "acid" and food.ph_high is not None:
            assert food.ph_high <= 4.8, food.id


def add_food(folder: Path, **cells: str) -> None:
    path = folder / "foods.csv"
    with path.open(encoding="utf-8", newline="") as handle:
        head = next(csv.reader(handle))
    with path.open("a", encoding="utf-8", newline="") as handle:
        csv.DictWriter(handle, head, lineterminator="\n").writerow(cells)


def test_one_row_is_enough_for_a_food(folder: Path) -> None:
    add_food(
        folder, id="salsify", name="salsify", words="oyster plant", water_pct="77",
        water_source="usda_sr28", **{"class": "sweet-root", "group": "vegetable"},
    )  # fmt: skip
    food = load_tables(folder).foods["salsify"]
    assert food.temperature_c == 60.0
    assert food.dryness[0] == "brittle"
    assert food.conditioning_days == 5
    assert food.guidance == "class"
    assert food.water_low < 0.77 < food.water_high
    assert load_tables(folder).portion_g("salsify", "cup") is not None
    assert {"oyster plant", "salsify"} <= set(food.words)


@pytest.mark.parametrize(
    ("cells", "says"),
    [({"class": "root"}, "Expected one of"),
     ({"class": "pome", "water_pct": "wet"}, "low-likely-high"),
     ({"class": "pome", "water_pct": "9-8-7"}, "low first"),
     ({"class": "pome", "water_pct": "920"}, "percent water"),
     ({"class": "pome", "water_pct": "85", "group": "veg"}, "one of vegetable"),
     ({"class": "pome", "water_pct": "85", "dryness": "bone"}, "words out of"),
     ({"class": "pome", "water_pct": "85", "temp_f": "hot"}, "a number")],
)  # fmt: skip
def test_bad_food_rows_name_line_and_expectation(
    folder: Path, cells: dict[str, str], says: str
) -> None:
    add_food(folder, id="medlar", **cells)
    with pytest.raises(ProblemError) as caught:
        _ = load_tables(folder).foods
    (problem,) = caught.value.problems
    assert problem.line == len(NAMED) + 2
    assert problem.file.endswith("foods.csv")
    assert says in str(problem)
    assert caught.value.exit_status == 3
