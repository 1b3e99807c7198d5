"""How much water is in a batch now, and how far its activity is from what spoils it."""

from __future__ import annotations

from dataclasses import dataclass

from stillroom.enrich.loads import Load
from stillroom.science.activity import (
    GROWTH_LINE,
    MOULD_LINE,
    PATHOGEN_LINE,
    activity_range,
    mixture_activity,
)
from stillroom.science.balance import end_mass, moisture_now
from stillroom.science.range import Range

_DRY_MOULDS = 0.65
"""From here moulds that like it dry grow [beuchat-cfw-1981]."""
LINES_SOURCE = "beuchat-cfw-1981"

_DRIEST = 0.8
"""Driest that a home dryer gets a food, as a share of its driest usual end point; judgement."""


def sugar_share(load: Load) -> float:
    """Sugars as a share of the dry matter [1]."""
    return min(0.95, load.food.sugar_fraction / max(1e-6, 1 - load.food.water_likely))


def last_weight(load: Load) -> float | None:
    """The last weight of all of it, lighter than at the start [g]; None without one."""
    for name in ("weighed_g", "dry_g"):
        now = load.slots.get(name)
        if isinstance(now, int | float) and load.prepared and 0 < now < load.prepared.likely:
            return float(now)
    return None


def weighed_water(load: Load) -> Range | None:
    """Water left by the last weighing, wet basis [1]; None without a weight before and after.

    Weights that cannot be this batch's (heavier than at the start, lighter than its dry matter)
    give None too.
    """
    prepared, now = load.prepared, last_weight(load)
    if prepared is None or now is None:
        return None
    try:
        found = moisture_now(
            prepared.likely, now, load.constants, driest=_DRIEST * load.constants.end_low
        )
    except ValueError:
        return None
    return found.noting("by the last weighing")


@dataclass(frozen=True)
class Margins:
    """Water of a batch, its activity, and what is left to the lines.

    Args:
        water: wet basis [1].
        activity: water activity [1].
        weighed: the water comes from a weighing and not from the usual end point.
        at_end: the last weight is at or below the likely end weight.
    """

    water: Range
    activity: Range
    weighed: bool
    at_end: bool = False

    @property
    def to_mould(self) -> Range:
        """Below the line of common moulds [1]; below 0 they can grow."""
        return _under(MOULD_LINE, self.activity)

    @property
    def to_pathogens(self) -> Range:
        """Below the line of the bacteria that make ill [1]."""
        return _under(PATHOGEN_LINE, self.activity)

    @property
    def sound(self) -> str:
        """Whether a vacuum is sound now: ``yes``, ``test`` (only by the test) or ``no``."""
        if self.activity.high < GROWTH_LINE:
            return "yes"
        if self.at_end:
            return "test"
        if self.activity.likely >= MOULD_LINE or self.activity.high >= PATHOGEN_LINE:
            return "no"
        return "test" if not self.weighed or self.activity.likely < _DRY_MOULDS else "no"


def _under(line: float, activity: Range) -> Range:
    return Range(
        line - activity.high, line - activity.likely, line - activity.low,
        activity.assumes, activity.driver, (*activity.sources, LINES_SOURCE),
    )  # fmt: skip


def margins(load: Load) -> Margins | None:
    """The margins of a batch now, or at its usual end point when it was not weighed."""
    isotherm = load.constants.isotherm
    if isotherm is None:
        return None
    weighed = weighed_water(load)
    water = weighed or load.constants.end.noting("at the usual end point")
    activity = activity_range(water, sugar_share(load), isotherm).noting(*water.assumes)
    return Margins(water, activity, weighed is not None, _at_end(load))


def _at_end(load: Load) -> bool:
    now = last_weight(load)
    if now is None or load.prepared is None:
        return False
    return now <= end_mass(load.prepared, load.constants).likely


def activity_at(load: Load, water_wet: float) -> float | None:
    """Water activity of this food at a moisture [1]; None without an isotherm."""
    isotherm = load.constants.isotherm
    if isotherm is None:
        return None
    return mixture_activity(water_wet, sugar_share(load), isotherm)
