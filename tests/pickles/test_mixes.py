"""Mixes and powders: recipes as data, scaling, the shelf, spoon weights, caking."""

import pytest

from stillroom.base.problem import ProblemError
from stillroom.science.brine import Span
from stillroom.science.mixes import (
    Line,
    Part,
    allergens_of,
    earliest_best_by,
    lots_for_jars,
    lots_for_part,
    mass_of,
    most_lots,
    scaled,
    shortages,
    take,
    volume_of,
)
from stillroom.science.powder import (
    caking,
    caking_humidity,
    gab_water,
    ground_mass,
    loose_volume,
    powder_jars,
)
from stillroom.tables.kitchen_use import KitchenUse, kitchen_use

PARTS = (
    Part("tomato", 40, 0.58, "powder"),
    Part("onion", 10, 0.49, "powder"),
    Part("celery", 4, 0.2, "flakes", optional=True, allergen="celery"),
)
SHELF = (
    Line("tomato-1", "tomato", 30, "powder", "2027-03-01"),
    Line("tomato-2", "tomato", 60, "powder", "2026-12-01"),
    Line("onion-1", "onion", 15, "powder", "2027-01-15", ("sulphite",)),
)
TSP = 4.92892


def test_there_are_at_least_eight_recipes_and_each_is_whole():
    recipes = kitchen_use().recipes
    assert len(recipes) >= 8
    for recipe in recipes.values():
        assert recipe.words, recipe.id
        assert len(recipe.parts) >= 4, recipe.id
        assert any(not part.optional for part in recipe.parts), recipe.id
        assert recipe.serves > 0, recipe.id


def test_recipe_words_are_never_shared():
    words = [word for recipe in kitchen_use().recipes.values() for word in recipe.words]
    assert len(words) == len(set(words))


def test_scaling_keeps_proportions_and_can_leave_out():
    four = scaled(PARTS, 4)
    assert mass_of(four) == pytest.approx(4 * 54)
    assert [part.food for part in scaled(PARTS, 1, optional=False)] == ["tomato", "onion"]


def test_scaling_by_jar_and_by_powder():
    lots = lots_for_jars(PARTS, 3, 250)
    assert volume_of(scaled(PARTS, lots)).likely == pytest.approx(3 * 250 * 0.8)
    assert lots_for_part(PARTS, "tomato", 140) == pytest.approx(3.5)
    assert lots_for_part(PARTS, "plum", 140) == 0


def test_the_oldest_goes_first_and_nothing_goes_negative():
    taken = take(scaled(PARTS, 1.5, optional=False), SHELF)
    assert [(row.batch, row.g) for row in taken] == [("tomato-2", 60), ("onion-1", 15)]
    left = {line.batch: line.remaining_g for line in SHELF}
    for row in taken:
        left[row.batch] -= row.g
    assert min(left.values()) >= 0


def test_asking_for_more_than_there_is_says_what_is_short():
    need = scaled(PARTS, 3, optional=False)
    short = shortages(need, SHELF)
    assert [(row.food, row.need_g, row.have_g) for row in short] == [
        ("tomato", 120, 90), ("onion", 30, 15)
    ]  # fmt: skip
    with pytest.raises(ValueError, match="tomato, onion"):
        take(need, SHELF)
    assert most_lots(PARTS, SHELF) == pytest.approx(1.5)
    assert most_lots(PARTS, ()) == 0


def test_pantry_foods_are_never_short():
    need = (Part("salt", 500, 1.2),)
    assert shortages(need, (), ("salt",)) == ()
    assert take(need, (), ("salt",)) == ()


def test_best_by_is_the_earliest_and_allergens_are_all():
    used = ["tomato-2", "onion-1"]
    assert earliest_best_by(used, SHELF) == "2026-12-01"
    assert earliest_best_by([], SHELF) is None
    assert allergens_of(PARTS, used, SHELF) == ["celery", "sulphite"]


def test_dip_lot_weighs_what_the_published_half_cup_does():
    """25 to 45 g a half cup, 2 to 2.5 cups of base, five to nine per cent (pk_derived, pk_cp)."""
    use = kitchen_use()
    dip = use.recipes["courgette-herb-dip"]
    parts = [
        Part(part.food, part.g, part.g_per_ml or use.density(part.food, part.form))
        for part in dip.parts
    ]
    assert 25 <= mass_of(parts) <= 45
    assert volume_of(parts).low <= 118 <= volume_of(parts).high
    assert dip.base_ml is not None
    assert 2 * 236 <= dip.base_ml[1] <= 2.5 * 237
    assert dip.base_allergen == "milk"


@pytest.mark.parametrize(
    ("food", "grams_a_teaspoon"),
    [("onion", 2.4), ("garlic", 3.1), ("bell pepper", 2.3), ("chili pepper", 1.8), ("thyme", 1.4),
     ("oregano", 1.8), ("basil", 1.4), ("sage", 0.7)],
)  # fmt: skip
def test_powder_density_holds_the_published_spoon(food, grams_a_teaspoon):
    """Level teaspoons of ground food (pk_sr26; herbs usda_sr28)."""
    use = kitchen_use()
    low, _, high = use.grind(use.food(food).kind).g_per_ml
    assert low * TSP * 0.99 <= grams_a_teaspoon <= high * TSP * 1.01


@pytest.mark.parametrize(
    ("food", "grams_a_teaspoon"),
    [("parsley", 0.5), ("dill", 1.0), ("thyme", 1.0), ("basil", 0.7), ("oregano", 1.0),
     ("rosemary", 1.2), ("marjoram", 0.6), ("mint", 0.5), ("tarragon", 0.6)],
)  # fmt: skip
def test_leaf_density_is_the_published_spoon(food, grams_a_teaspoon):
    """Dried leaf by the level teaspoon (pk_sr26)."""
    assert kitchen_use().density(food, "leaf") * TSP == pytest.approx(grams_a_teaspoon, rel=0.05)


def test_grinding_loses_some_and_takes_room():
    mass = ground_mass(100, Span(0.02, 0.05, 0.10))
    room = loose_volume(mass, Span(0.42, 0.49, 0.65))
    assert mass.likely == 95
    assert room.low < room.likely < room.high
    assert powder_jars(room.likely, 118) == 2


def test_caking_follows_the_isotherm():
    """Potato at 30 deg C: 0.0799 dry at 0.1, 0.098 at 0.2 (kiranoudis-1993-md)."""
    for humidity, dry in ((0.1, 0.0799), (0.2, 0.098)):
        water = gab_water(humidity, 0.09721, 47.501, 0.65253)
        assert water / (1 - water) == pytest.approx(dry, abs=0.0002)
    assert caking(gab_water(0.25, 0.09721, 47.501, 0.65253)) == "loose"
    assert caking(gab_water(0.75, 0.09721, 47.501, 0.65253)) == "cakes"
    at = caking_humidity(lambda h: gab_water(h, 0.09721, 47.501, 0.65253))
    assert gab_water(at, 0.09721, 47.501, 0.65253) == pytest.approx(0.10, abs=1e-6)
    assert caking_humidity(lambda h: 0.5) == 0.05
    assert caking_humidity(lambda h: 0.0) == 0.9


@pytest.mark.parametrize(
    "call",
    [
        lambda: scaled(PARTS, 0),
        lambda: scaled(PARTS, -2),
        lambda: Part("", 5, 1),
        lambda: Part("onion", 0, 1),
        lambda: Part("onion", 5, 0),
        lambda: Line("x", "onion", -1),
        lambda: lots_for_jars(PARTS, 0, 250),
        lambda: lots_for_part(PARTS, "onion", -1),
        lambda: ground_mass(-1, Span(0, 0, 0)),
        lambda: loose_volume(Span(1, 1, 1), Span(0, 1, 1)),
        lambda: powder_jars(10, 0),
        lambda: caking(1.0),
        lambda: gab_water(1.0, 0.1, 10, 1.0),
    ],
)
def test_bad_input_is_refused(call):
    with pytest.raises(ValueError, match=r"\w"):
        call()


def test_a_broken_recipe_file_is_a_problem_with_its_name(tmp_path):
    (tmp_path / "mix_recipes.yaml").write_text("recipes: [{id: x, name: y}]", encoding="utf-8")
    with pytest.raises(ProblemError, match="mix_recipes"):
        _ = KitchenUse(tmp_path).recipes
    with pytest.raises(ProblemError, match="mix_recipes"):
        _ = KitchenUse(tmp_path / "nowhere").recipes


def test_a_broken_pack_row_names_file_and_line(tmp_path):
    (tmp_path / "brine_pack.csv").write_text(
        "cut,class,firm_low,firm,firm_high,soft_low,soft,soft_high,note,source\n"
        "whole,,0.6,0.5,0.4,0.1,0.2,0.3,,common-practice\n", encoding="utf-8"
    )  # fmt: skip
    with pytest.raises(ProblemError, match=r"brine_pack\.csv:2"):
        _ = KitchenUse(tmp_path).packs
