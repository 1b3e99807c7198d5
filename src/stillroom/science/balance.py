"""Dry-matter balance: solids stay, water leaves; exact for any food."""

from __future__ import annotations

from math import ceil, exp, log

from stillroom.science.constants import FoodConstants
from stillroom.science.range import Range, as_range, combine

_BALANCE = ("narayanan-ch9", "treybal-ch12")


def _fraction(name: str, value: float) -> None:
    if not 0 <= value < 1:
        raise ValueError(f"{name} must be a fraction of the whole, 0 to below 1, not {value:g}")


def _positive(name: str, value: float) -> None:
    if not 0 < value < float("inf"):
        raise ValueError(f"{name} must be above 0, not {value:g}")


def dry_basis(water_wet: float) -> float:
    """Water per dry solid from water per whole, ``X = w / (1 - w)``.

    Args:
        water_wet: water fraction, wet basis [1].

    Returns:
        kg water per kg dry solid.

    Raises:
        ValueError: the fraction is outside 0 to below 1.

    Source:
        [narayanan-ch9] example 9.2.

    >>> dry_basis(0.945)
    17.18
    """
    _fraction("moisture", water_wet)
    return water_wet / (1 - water_wet)


def wet_basis(water_dry: float) -> float:
    """Water per whole from water per dry solid, ``w = X / (1 + X)`` [1].

    Raises:
        ValueError: the water is below 0.

    >>> wet_basis(12.27)
    0.92464
    """
    if water_dry < 0:
        raise ValueError("water per dry solid cannot be negative")
    return water_dry / (1 + water_dry)


def mass_at(
    start_g: float, water_in: float, water_out: float, juice_g: float = 0.0, brix: float = 0.0
) -> float:
    """Mass of a load at a given moisture.

    Dry solids stay, apart from those that went with pressed or drained juice:
    ``m = ((m0 (1 - w0)) - J b / 100) / (1 - w)``.

    Args:
        start_g: prepared mass before draining [g].
        water_in: its water fraction, wet basis [1].
        water_out: the water fraction asked about, wet basis [1].
        juice_g: juice that was drained or pressed off [g].
        brix: soluble solids of that juice [percent by mass].

    Returns:
        Mass [g].

    Raises:
        ValueError: a figure is out of range, the target is wetter than the start, or the juice
            holds more than the food.

    Source:
        [narayanan-ch9], [treybal-ch12] (mass conservation).

    >>> mass_at(1000, 0.945, 0.11, juice_g=300, brix=5.0)
    44.94
    """
    _positive("start weight", start_g)
    _fraction("fresh moisture", water_in)
    _fraction("moisture asked about", water_out)
    if water_out > water_in:
        raise ValueError(
            f"the target moisture {water_out:.3g} is wetter than the fresh food {water_in:.3g}"
        )
    if not 0 <= juice_g < start_g or not 0 <= brix < 100:
        raise ValueError("juice must weigh less than the food, and its Brix be 0 to below 100")
    solids = start_g * (1 - water_in) - juice_g * brix / 100
    if solids <= 0:
        raise ValueError("the juice would carry off all the solids: check its amount and Brix")
    return solids / (1 - water_out)


def prepared_mass(whole_g: float | Range, refuse: float | Range) -> Range:
    """What is left after peel, core, pit and trim.

    Args:
        whole_g: as bought or picked [g].
        refuse: share thrown away [1]; a bare number is a careful cook's share, so that a
            quarter less to two fifths more is taken.

    Returns:
        Prepared mass [g].

    Raises:
        ValueError: the share is outside 0 to below 1, or the mass is not above 0.

    >>> round(prepared_mass(1000, 0.10).likely)
    900
    """
    share = (
        refuse
        if isinstance(refuse, Range)
        else Range(0.75 * refuse, refuse, min(0.95, 1.4 * refuse))
    )
    _positive("whole weight", as_range(whole_g).low)
    _fraction("refuse", share.low)
    _fraction("refuse", share.high)
    return combine(lambda whole, trim: whole * (1 - trim), whole=whole_g, trim=share)


def end_mass(
    prepared_g: float | Range,
    food: FoodConstants,
    juice_g: float | Range = 0.0,
    brix: float | Range = 0.0,
    tare_g: float = 0.0,
) -> Range:
    """What the scale reads when the load is dry.

    Args:
        prepared_g: prepared mass before draining [g].
        food: moisture fresh and dried, and how much the solids vary.
        juice_g: juice drained or pressed off [g].
        brix: soluble solids of that juice [percent].
        tare_g: empty weight of the tray that is weighed along [g].

    Returns:
        Mass [g], the tray included. One point of fresh moisture near 94 % moves it by about a
        sixth, so that a weighing beats a guess.

    Raises:
        ValueError: see ``mass_at``.
    """
    if tare_g < 0:
        raise ValueError("a tray cannot weigh less than nothing")
    return dry_mass(prepared_g, food, juice_g, brix).plus(tare_g)


def dry_mass(
    prepared_g: float | Range,
    food: FoodConstants,
    juice_g: float | Range = 0.0,
    brix: float | Range = 0.0,
) -> Range:
    """Mass of the dried food itself [g]; arguments as for ``end_mass``.

    >>> tomato = FoodConstants("tomato", "vegetable", 0.938, 0.945, 0.953, 0.05, 0.08, 0.12)
    >>> round(dry_mass(1000, tomato).likely, 1)
    59.8
    """
    result = combine(
        lambda mass, solids, end, juice, soluble: mass_at(mass, 1 - solids, end, juice, soluble),
        mass=prepared_g,
        solids=food.solids,
        end=food.end,
        juice=juice_g,
        soluble=brix,
    )
    named = {"solids": "how much dry matter the fresh food holds", "end": "how dry it ends",
             "mass": "the weight it starts from", "juice": "how much juice was taken off",
             "soluble": "what the juice carries off"}  # fmt: skip
    return Range(
        result.low, result.likely, result.high,
        driver=named.get(result.driver, result.driver),
    ).noting(
        *result.assumes,
        f"fresh {food.food} is {100 * food.water_likely:.0f} % water",
        f"dried to {100 * food.end_likely:.0f} % water",
        *(() if food.known else (f"{food.food} is not in the tables; its class stands in",)),
        sources=(*result.sources, *_BALANCE),
    )  # fmt: skip


def water_removed(prepared_g: float | Range, food: FoodConstants) -> Range:
    """Water that the dryer carries off [g].

    >>> bean = FoodConstants("green bean", "legume", 0.90, 0.9053, 0.91, 0.10, 0.14, 0.16)
    >>> round(water_removed(100, bean).likely, 1)
    89.0
    """
    return combine(
        lambda mass, solids, end: mass - mass_at(mass, 1 - solids, end),
        mass=prepared_g,
        solids=food.solids,
        end=food.end,
    ).noting(sources=_BALANCE)


def drying_ratio(food: FoodConstants) -> Range:
    """Prepared weight over dried weight [1].

    >>> tomato = FoodConstants("tomato", "vegetable", 0.94, 0.945, 0.95, 0.08, 0.11, 0.12)
    >>> round(drying_ratio(tomato).likely, 2)
    16.18
    """
    return combine(lambda solids, end: (1 - end) / solids, solids=food.solids, end=food.end).noting(
        sources=_BALANCE
    )


def moisture_now(
    start_g: float,
    now_g: float,
    food: FoodConstants,
    juice_g: float = 0.0,
    tare_g: float = 0.0,
    driest: float = 0.0,
) -> Range:
    """Moisture of a load from its weight now.

    Args:
        start_g: prepared weight at the start, tray included when it is weighed along [g].
        now_g: weight now, tray included likewise [g].
        food: its fresh moisture and how much that varies.
        juice_g: juice taken off before drying [g]; its solids are not counted.
        tare_g: empty weight of the tray [g].
        driest: driest that a dryer gets the food, wet basis [1]. Where the weight would be less
            than that for some of the dry matters that the fresh food may have, those are dropped
            from the range.

    Returns:
        Water fraction, wet basis [1].

    Raises:
        ValueError: the weight now is above the start, or below what the solids alone weigh.

    >>> tray = FoodConstants("greens", "leafy", 0.89, 0.89, 0.89, 0.05, 0.06, 0.08, 1.0)
    >>> round(moisture_now(5000, 912, tray).likely, 4)
    0.3969
    """
    start, now = start_g - tare_g - juice_g, now_g - tare_g
    _positive("start weight without its tray", start)
    _positive("weight now without its tray", now)
    if now > start:
        raise ValueError(
            f"{now_g:g} g now is more than the {start_g:g} g at the start: "
            "was the same tray weighed, with the same empty weight?"
        )
    whole = start_g - tare_g
    least = whole * food.solids.low
    if now < 0.98 * least:
        raise ValueError(
            f"{now:g} g is less than the dry matter of {whole:g} g {food.food} "
            f"(at least {least:.0f} g): was some taken off, or is the empty weight wrong?"
        )
    solids = food.solids
    low, likely, high = (
        max(0.0, 1 - whole * share / now) for share in (solids.high, solids.likely, solids.low)
    )
    if low < driest:
        likely = max(likely, driest)  # at the likely end weight it is at the likely end moisture
        low, high = _above(driest, whole / now, solids)
        low, high = min(low, likely), max(high, likely)
    return Range(
        low,
        likely,
        high,
        driver="how much dry matter the fresh food holds",
        assumes=(f"fresh {food.food} is {100 * food.water_likely:.0f} % water",),
        sources=_BALANCE,
    )  # fmt: skip


_NORMAL = (0.063, 0.189, 0.319, 0.454, 0.598, 0.755, 0.935, 1.150, 1.440, 1.960)
_TENTH = 1.2816  # spreads of a bell curve beyond which one case in ten lies


def _above(driest: float, shrunk: float, solids: Range) -> tuple[float, float]:
    """Ends of the moistures that twenty likely dry matters leave, none below ``driest``."""
    spreads = (*(-z for z in reversed(_NORMAL)), *_NORMAL)
    up, down = log(solids.high / solids.likely), log(solids.likely / solids.low)
    drawn = [
        1 - shrunk * solids.likely * exp(z / _TENTH * (up if z > 0 else down)) for z in spreads
    ]
    kept = sorted(water for water in drawn if water >= driest) or [driest]
    low, high = (kept[min(len(kept) - 1, int(p * len(kept)))] for p in (0.1, 0.9))
    return low, high


def dry_volume(dry_g: float | Range, bulk_g_ml: Range) -> Range:
    """Room that the dried food takes, loosely filled [ml].

    >>> round(dry_volume(100.0, Range(0.2, 0.25, 0.3)).likely)
    400
    """
    _positive("bulk density", bulk_g_ml.low)
    return combine(lambda mass, density: mass / density, mass=dry_g, density=bulk_g_ml)


def jar_count(volume_ml: float | Range, jar_ml: float, fill: float = 1.0) -> Range:
    """Jars of one size that hold a volume [count, whole numbers].

    Args:
        volume_ml: what has to go in [ml].
        jar_ml: capacity of one jar [ml].
        fill: share of it that is filled: 1 to the top, 2/3 for conditioning.

    Raises:
        ValueError: a capacity or share is not above 0.

    >>> jar_count(1500.0, 473).likely
    4
    """
    _positive("jar", jar_ml)
    _positive("fill", fill)
    volume = as_range(volume_ml)
    low, likely, high = (
        ceil(end / (jar_ml * fill) - 1e-9) for end in (volume.low, volume.likely, volume.high)
    )
    return Range(
        low,
        likely,
        high,
        assumes=volume.assumes,
        driver=volume.driver,
        sources=volume.sources,
    )
