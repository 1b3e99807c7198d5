"""Portions, refuse, drying rows and plain tables against figures read off their sources."""

from __future__ import annotations

import pytest

from stillroom.tables.tables import tables

CUP = 236.5882365


@pytest.mark.parametrize(
    ("food", "cut", "grams"),
    [("zucchini", "sliced", 113), ("carrot", "shredded", 110), ("onion", "chopped", 160),
     ("onion", "sliced", 115), ("tomato", "chopped", 180), ("cabbage", "shredded", 70),
     ("strawberry", "pureed", 232), ("strawberry", "whole", 144), ("parsley", "chopped", 60),
     ("plum", "sliced", 165), ("cherry", "pitted", 155), ("kale", "chopped", 16)],
)  # fmt: skip
def test_portion_of_a_cup_is_the_database_figure(food: str, cut: str, grams: float) -> None:
    # usda_sr28, household weights of the raw food.
    found = tables().portion_g(food, "cup", cut=cut)
    assert found is not None
    assert found.likely * CUP == pytest.approx(grams, abs=1)
    assert found.low < found.likely < found.high
    assert found.exact


@pytest.mark.parametrize(
    ("food", "unit", "size", "grams"),
    [("tomato", "count", "medium", 123), ("tomato", "count", "large", 182),
     ("apple", "count", "medium", 182), ("onion", "count", "small", 70), ("plum", "count", "", 66),
     ("garlic", "clove", "", 3), ("cabbage", "head", "", 908), ("celery", "stalk", "", 40),
     ("spinach", "bunch", "", 340), ("zucchini", "count", "", 196), ("carrot", "count", "", 61)],
)  # fmt: skip
def test_portion_of_a_piece_is_the_database_figure(
    food: str, unit: str, size: str, grams: float
) -> None:
    found = tables().portion_g(food, unit, size=size or None)
    assert found is not None
    assert found.likely == pytest.approx(grams)
    assert found.low <= found.likely <= found.high


@pytest.mark.parametrize(
    ("food", "pounds"),
    [("apple", (48, 48)), ("tomato", (50, 60)), ("cucumber", (48, 50)), ("okra", (26, 26))],
)
def test_bushel_weighs_what_the_market_table_says(food: str, pounds: tuple[int, int]) -> None:
    # pk_state_wm, pk_nchfp_cuke, pk_uf_okra; apples msu_apple_facts.
    found = tables().portion_g(food, "bushel")
    assert found is not None
    bushel = found.likely * 35239.07 / 453.59237
    assert pounds[0] - 0.1 <= bushel <= pounds[1] + 0.1


def test_dozen_is_counted_in_pieces() -> None:
    one, dozen = (tables().portion_g("plum", unit) for unit in ("count", "dozen"))
    assert one == dozen


def test_dried_and_powdered_weigh_less_to_the_measure() -> None:
    raw = tables().portion_g("tomato", "cup")
    dried = tables().portion_g("tomato", "cup", form="dried")
    powder = tables().portion_g("garlic", "tbsp", cut="powdered")
    assert raw is not None
    assert dried is not None
    assert powder is not None
    assert dried.likely < raw.likely
    assert powder.likely * CUP / 16 == pytest.approx(9.7, abs=0.1)  # usda_sr28


@pytest.mark.parametrize("food", sorted(tables().foods))
def test_every_food_fills_a_cup(food: str) -> None:
    found = tables().portion_g(food, "cup")
    assert found is not None
    assert 0.02 < found.likely < 1.6


def test_unknown_food_and_unit_have_no_portion() -> None:
    assert tables().portion_g("medlar", "cup") is None
    assert tables().portion_g("salt", "bunch") is None


@pytest.mark.parametrize(
    ("food", "preps", "loss"),
    [("apple", ["peeled", "cored"], 0.23), ("apple", ["cored"], 0.10), ("plum", ["pitted"], 0.06),
     ("apricot", ["pitted", "washed"], 0.07), ("bell pepper", ["cored", "seeded"], 0.18),
     ("zucchini", ["trimmed"], 0.05), ("tomato", ["washed", "sliced"], 0.0),
     ("cherry", ["pitted", "stemmed"], 0.10), ("medlar", ["peeled"], 0.0)],
)  # fmt: skip
def test_loss_is_the_database_refuse(food: str, preps: list[str], loss: float) -> None:
    # usda_sr28, refuse percent of the raw food.
    found = tables().loss(food, preps)
    assert found.likely == pytest.approx(loss)
    assert found.low <= found.likely <= found.high <= 0.9


def test_loss_counts_part_of_a_lumped_figure() -> None:
    # Parings and part tops of beets are 33 percent together; peeling alone is part of it.
    found = tables().loss("beet", ["peeled"])
    assert found.likely < 0.33
    assert found.high == pytest.approx(0.33)


def test_drying_rows_show_disagreement_best_first() -> None:
    rows = tables().drying("carrot")
    assert [row.rank for row in rows] == sorted(row.rank for row in rows)
    assert {"csu-9308", "msu-pfs-1997", "gray-1919"} <= {row.source for row in rows}
    assert rows[0].era == "modern"
    assert rows[-1].era == "old"


def test_drying_rows_keep_every_published_line() -> None:
    assert sum(len(tables().drying(food)) for food in ("", *tables().foods)) == 314


def test_drying_hours_follow_the_cut() -> None:
    halves = tables().drying_hours("peach", "halved")
    slices = tables().drying_hours("peach", "sliced")
    assert halves is not None
    assert slices is not None
    assert slices.hours is not None
    assert halves.hours == (36.0, 48.0)  # mem-uga-table
    assert slices.hours[1] < halves.hours[0]
    assert tables().drying_hours("rice") is None


def test_composition_pairs_raw_and_dried() -> None:
    raw = [one for one in tables().composition("tomato", "raw") if one.named == "tomato"]
    assert {one.db_id for one in raw} == {"11529", "IFCT-D075"}
    assert raw[-1].water == pytest.approx(0.9452, abs=0.01)


@pytest.mark.parametrize(
    ("vessel", "ml"),
    [("half-pint", 237), ("pint", 473), ("quart", 946), ("half-gallon", 1893), ("litre", 1000),
     ("half-litre", 500)],
)  # fmt: skip
def test_vessels_have_the_interface_sizes(vessel: str, ml: float) -> None:
    assert tables().vessels[vessel].ml == ml


def test_rows_of_an_unknown_table_are_refused() -> None:
    with pytest.raises(KeyError, match="not one of"):
        tables().rows("weather")


def test_rows_filter_by_food() -> None:
    assert {row["food"] for row in tables().rows("yields", "plum")} == {"plum"}


def test_recalled_sources_say_so() -> None:
    assert "recalled from memory" in tables().sources["mem-uga-table"].line
    assert "common practice" in tables().sources["practitioner-rule"].line
    assert "recalled" not in tables().sources["ndsu-fn1588"].line
