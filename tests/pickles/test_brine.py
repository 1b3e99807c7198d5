"""Brine arithmetic: hand-worked balances, dilutions against published ratios, bad input."""

import pytest

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.science.brine import (
    ACID_FLOOR,
    ACID_USUAL,
    SHARE_FLOOR,
    Parts,
    Span,
    brine_in_jar,
    dried_uptake,
    headspace_ml,
    hottest_brine_c,
    jars_needed,
    salt_draw,
    second_batch,
    settle,
    share_for_acid,
    split_brine,
    strength_share,
    usable_ml,
)
from stillroom.science.juice import gather_juice
from stillroom.tables.kitchen_use import kitchen_use

CUP, TBSP_SALT_G = 236.588, 18.0


def test_balance_worked_by_hand_half_filled_jar():
    """Equal parts over a half-filled jar; pk_derived gives 1.3 g acid per 100 g.

    50 ml brine: 25 ml vinegar of 5 g/100 ml = 1.25 g acid, mass 25 * 1.01 + 25 = 50.25 g.
    50 ml produce at 0.96 = 48 g. Contents 98.25 g; 1.25 / 98.25 = 1.272 %.
    """
    assert settle(48, Parts(25, 25, 0, 0)).acid_pct == pytest.approx(1.272, abs=0.001)
    assert settle(48, Parts(25, 25, 0, 0)).acid_pct == pytest.approx(ACID_USUAL, abs=0.05)


def test_balance_worked_by_hand_beans():
    """Dilled beans (pk_setp): 2 lb, 2.5 cups vinegar, 2.5 cups water, 73 g salt.

    Vinegar 591.5 ml holds 29.57 g acid and weighs 597.4 g; water 591.5 g; salt 73 g.
    Contents 907.2 + 597.4 + 591.5 + 73 = 2169.1 g. Acid 29.57 / 2169.1 = 1.363 %,
    salt 73 / 2169.1 = 3.365 %.
    """
    rest = settle(907.2, Parts(2.5 * CUP, 2.5 * CUP, 0, 73))
    assert rest.acid_pct == pytest.approx(1.363, abs=0.002)
    assert rest.salt_pct == pytest.approx(3.365, abs=0.005)


def test_balance_worked_by_hand_sweet_slices_salted_before():
    """500 g slices keeping 7 g salt, 300 ml vinegar of 5 %, 120 g sugar.

    Acid 15 g; contents 500 + 303 + 120 + 7 = 930 g; 1.613 % acid, 0.753 % salt, 12.90 % sugar.
    """
    rest = settle(500, Parts(300, 0, 120, 0), produce_salt_g=7)
    assert rest == pytest.approx((1.613, 0.753, 12.903), abs=0.001)


def test_weak_vinegar_counts_as_less():
    """Half vinegar of 4 % is 0.4 of a 5 % one: under the floor (pk_ndsu_vin, pk_derived)."""
    assert strength_share(0.5, 4) == pytest.approx(0.4)
    assert strength_share(0.5, 4) < SHARE_FLOOR
    assert settle(48, Parts(25, 25, 0, 0), 4).acid_pct == pytest.approx(1.018, abs=0.001)


@pytest.mark.parametrize(
    "row", read_csv(knowledge_dir() / "jar_fill.csv", ("vinegar",)), ids=lambda r: r["recipe_kind"]
)
def test_published_brines_volume_and_dilution(row):
    """Volume and vinegar share of each published recipe; the source stands in the row."""
    sugar_g = float(row["sugar"]) * {"cup": 200, "tbsp": 12.6}[row["sugar_unit"]]
    parts = Parts(
        float(row["vinegar"]) * CUP, float(row["water"]) * CUP, sugar_g,
        float(row["brine_salt"]) * (
            {"cup": 292, "tbsp": TBSP_SALT_G, "tsp": 6}[row["brine_salt_unit"]]
        ),
    )  # fmt: skip
    oil = float(row["oil"]) * CUP
    assert parts.volume_ml + oil == pytest.approx(float(row["brine_ml"]), rel=0.01)
    share = parts.vinegar_ml / (parts.vinegar_ml + parts.water_ml)
    assert share == pytest.approx(float(row["vinegar_share"]), abs=0.002)
    if not oil:
        acid = parts.vinegar_ml * 5 / parts.volume_ml
        assert acid == pytest.approx(float(row["brine_acetic_pct"]), abs=0.03)


@pytest.mark.parametrize("style", kitchen_use().styles.values(), ids=lambda style: style.id)
def test_styles_hold_the_published_floor(style):
    """No style of ours is under equal vinegar and water (pk_derived)."""
    assert style.vinegar_share >= SHARE_FLOOR


@pytest.mark.parametrize(
    ("style", "vinegar", "water", "sugar", "salt"),
    [
        ("dill-and-garlic", 2.5, 2.5, 0, 73),  # pk_setp
        ("sweet-spiced", 4, 2, 400, 9),  # pk_aib539
        ("light-sweet", 5.5, 1, 400, 12),  # pk_nchfp_rings
        ("plain-sour", 5, 1.25, 0, 30),  # pk_nchfp_rings
        ("pepper-sour", 5, 1, 25, 24),  # pk_aib539
        ("sweet-slices", 4, 0, 400, 0),  # pk_uf_zuc
        ("less-salt", 6, 0, 1200, 36),  # pk_aib539
    ],
)
def test_styles_are_their_published_ratio(style, vinegar, water, sugar, salt):
    row = kitchen_use().styles[style]
    litres = (vinegar + water) * CUP / 1000
    assert row.vinegar_share == pytest.approx(vinegar / (vinegar + water), abs=0.002)
    assert row.sugar_g_per_l == pytest.approx(sugar / litres, rel=0.02, abs=0.5)
    assert row.salt_g_per_l == pytest.approx(salt / litres, rel=0.06, abs=0.5)


def test_sorts_that_share_a_recipe_differ_only_in_spice():
    sweet, hot = (kitchen_use().styles[key] for key in ("sweet-slices", "sweet-and-hot"))
    assert (sweet.vinegar_share, sweet.sugar_g_per_l) == (hot.vinegar_share, hot.sugar_g_per_l)
    assert "hot pepper" in hot.spices
    assert "hot pepper" not in sweet.spices


def test_split_brine_adds_up():
    parts = split_brine(1500, 0.667, 282, 6)
    assert parts.volume_ml == pytest.approx(1500)
    assert parts.vinegar_ml / (parts.vinegar_ml + parts.water_ml) == pytest.approx(0.667)


def test_share_for_acid_is_the_inverse_of_settle():
    jar = split_brine(180, 0.5, 0, 30)
    share = share_for_acid(ACID_FLOOR, 300, jar)
    liquid = jar.vinegar_ml + jar.water_ml
    raised = jar._replace(vinegar_ml=share * liquid, water_ml=(1 - share) * liquid)
    assert settle(300, raised).acid_pct == pytest.approx(ACID_FLOOR, rel=1e-6)
    assert share_for_acid(9, 300, jar) == 1.0


def test_headspace_matches_the_published_volumes():
    """jar_sizes: a half inch in a regular mouth is 36.3 ml, in a wide one 57.9 (pk_derived)."""
    assert headspace_ml(0.5) == pytest.approx(36.3, abs=0.2)
    assert headspace_ml(1, 76.2) == pytest.approx(115.8, abs=0.2)
    assert usable_ml(946.35) == pytest.approx(910.1, abs=0.3)


def test_second_batch_is_the_smallest_in_the_same_proportions():
    first = Parts(960, 480, 400, 9)
    factor, more = second_batch(first, 8, 2, 60)
    assert factor == pytest.approx(0.25)
    assert more == pytest.approx(first.times(0.25))
    smaller = second_batch(first, 8, 2.05, 60)[0]
    assert smaller * 960 == pytest.approx(300)


def test_salt_draw_loses_juice_and_keeps_mass():
    salt, drained, juice = salt_draw(1000, 36, Span(0.08, 0.14, 0.22))
    assert salt == 36
    assert drained.likely + juice.likely == pytest.approx(1000)
    assert juice.low < juice.likely < juice.high


def test_dried_pieces_drink_no_more_than_flakes_can_hold():
    """Onion flakes hold at most 7.8 ml a gram (pk_derived)."""
    drink = dried_uptake(10)
    assert drink.high == pytest.approx(78)
    assert 0 < drink.low < drink.likely < drink.high


def test_a_jar_too_full_takes_no_brine():
    assert brine_in_jar(437, 900) == 0.0
    assert jars_needed(0, 240) == 1


def test_hot_brine_for_a_cold_jar():
    assert hottest_brine_c(20) == 60  # pk_derived
    assert hottest_brine_c(4) == 44


def test_juice_adds_up_to_a_batch():
    assert gather_juice([]).batches == 0
    assert gather_juice([500, 450]).batches == 1
    assert gather_juice([500]).missing_ml == 450


@pytest.mark.parametrize(
    "call",
    [
        lambda: usable_ml(0),
        lambda: usable_ml(float("nan")),
        lambda: headspace_ml(-1),
        lambda: brine_in_jar(400, -1),
        lambda: jars_needed(100, 0),
        lambda: split_brine(-1, 0.5),
        lambda: split_brine(1000, 1.2),
        lambda: split_brine(1000, 0.5, -1),
        lambda: settle(-1, Parts(1, 1, 0, 0)),
        lambda: settle(0, Parts(0, 0, 0, 0)),
        lambda: salt_draw(100, 30, Span(0.5, 0.9, 1.0)),
        lambda: second_batch(Parts(0, 100, 0, 0), 2, 1, 50),
        lambda: second_batch(Parts(100, 100, 0, 0), 2, 0, 50),
        lambda: share_for_acid(1, 100, Parts(1, 1, 0, 0), 0),
        lambda: dried_uptake(-1),
        lambda: gather_juice([-5]),
        lambda: gather_juice([5], 0),
    ],
)
def test_bad_input_is_refused(call):
    with pytest.raises(ValueError, match=r"\w"):
        call()
