"""Hours still to dry, from the weighings of a batch and the curve expected of it."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.science.constants import DryerModel, FoodConstants
from stillroom.science.drying import Dryer, stages
from stillroom.science.loading import Piece
from stillroom.science.range import Range
from stillroom.science.refit import WeighIn, remaining_time

CALIBRATION = (
    "80 % interval, calibrated on simulated curves of four kinds, one of them with a slow tail"
)


def remaining_hours(
    constants: FoodConstants,
    size: Piece,
    dryer: Dryer,
    model: DryerModel,
    prepared_g: float,
    weighings: Sequence[tuple[float, float]],
) -> Range | None:
    """Hours left to the end weight; None where the weighings cannot be this batch's.

    Args:
        constants: the food.
        size: its pieces.
        dryer: the dryer and room.
        model: the drying model.
        prepared_g: weight at the start [g].
        weighings: (hours since loading, g without the tray), in order of time.
    """
    usable = [WeighIn(hours, grams) for hours, grams in weighings if hours > 0]
    if not usable:
        return None
    try:
        prior = stages(constants, size, dryer, model)
        found = remaining_time(prior, prepared_g, usable)
    except ValueError:
        return None
    return found.remaining.noting(CALIBRATION)
