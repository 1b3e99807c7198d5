"""Figures that cannot be meant: weights that rise, heats and cuts beyond the equations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from stillroom.base.fact import Fact
from stillroom.base.quantity import show
from stillroom.enrich.kitchen_types import Hint
from stillroom.science.drying import COOLEST_C, HOTTEST_C
from stillroom.science.loading import THICKEST_MM, THINNEST_MM

if TYPE_CHECKING:
    from stillroom.enrich.loads import Kitchen, Load
    from stillroom.science.constants import FoodConstants
    from stillroom.science.range import Range

Weighings = Sequence[tuple[float, float]]
_SLACK = 1.005  # a scale's own error
_CLEAR = 1.02  # beyond this it is no error of the scale


def sensible(
    weighings: Weighings, prepared: Range | None, constants: FoodConstants
) -> tuple[list[tuple[float, float]], dict[float, str]]:
    """Weighings that can be those of one load that dries, and what is wrong with the others.

    Args:
        weighings: (hours since loading, g without the tray), in order of time.
        prepared: weight at the start [g]; None unknown.
        constants: the food, for its dry matter.

    Returns:
        Those to go by; and for the hours of each other one: ``heavy`` (more than at the start),
        ``risen`` (more than before) or ``light`` (less than the dry matter).
    """
    kept: list[tuple[float, float]] = []
    odd: dict[float, str] = {}
    for hours, grams in weighings:
        if prepared is not None and grams > _CLEAR * prepared.high:
            odd[hours] = "heavy"
        elif prepared is not None and grams < 0.97 * prepared.low * constants.solids.low:
            odd[hours] = "light"
        elif kept and grams > _SLACK * kept[-1][1]:
            odd[hours] = "risen" if grams > _CLEAR * kept[-1][1] else ""
        else:
            kept.append((hours, grams))
    return kept, odd


def odd_weight(load: Load, facts: Sequence[Fact], kitchen: Kitchen) -> Iterator[Hint]:
    """A word on the newest weighing when it cannot be this load's."""
    weighed = any(
        fact.kind == "said" and fact.get("act") == "weigh" and fact.get("batch") == load.batch
        for fact in facts
    )
    if not weighed or not load.weighings:
        return
    hours, grams = load.weighings[-1]
    kept, odd = sensible(load.weighings, load.prepared, load.constants)
    if not odd.get(hours) or (load.prepared is None and not kept):
        return
    mass = show(grams, "g", kitchen.measure)
    start = show(load.prepared.likely, "g", kitchen.measure) if load.prepared else ""
    before = show(kept[-1][1], "g", kitchen.measure) if kept else ""
    why = {
        "heavy": f"{mass} is more than the {start} that went in. Was the tray weighed too? Tell me "
        "its empty weight.",
        "light": f"{mass} is less than the dry matter in {start} of {load.food.plural}. Was it one "
        "tray of several, or was some taken off?",
        "risen": f"{mass} is more than the {before} before, and drying food only gets lighter. Was "
        "it another tray, or the tray weighed too?",
    }[odd[hours]]
    yield Hint("dryness", "weight-odd", f"{why} I leave it out of the reckoning.", load.batch,
               ("narayanan-ch9",), "caution")  # fmt: skip


def out_of_reach(load: Load, kitchen: Kitchen) -> Iterator[Hint]:
    """A heat that the drying times do not hold for."""
    if load.fresh and not COOLEST_C <= load.temp_c <= HOTTEST_C:
        low, high, said = (
            show(heat, "degC", kitchen.measure) for heat in (COOLEST_C, HOTTEST_C, load.temp_c)
        )
        yield Hint(
            "time", "heat-out-of-reach",
            f"My drying times hold from {low} to {high}, so I give none for {said}.",
            load.batch, ("stillroom-choice",), "note",
        )  # fmt: skip


def odd_cuts(facts: Sequence[Fact]) -> Iterator[Hint]:
    """Pieces so thick or thin that no time, trays or energy are worked out."""
    for fact in facts:
        size = fact.get("thickness_mm") if fact.kind == "lot" else None
        if isinstance(size, int | float) and not THINNEST_MM <= size <= THICKEST_MM:
            yield Hint(
                "cut", "cut-out-of-reach",
                f"Pieces {size:g} mm thick are beyond the {THINNEST_MM:g} to {THICKEST_MM:g} mm "
                "that my sums hold for: I give no figures for them. Was that millimetres?",
                str(fact.get("batch")), ("stillroom-choice",), "note",
            )  # fmt: skip
