"""A glut, a dryer and some days: which food goes on when, and what will not fit in time.

What spoils first goes first (earliest due date first, the rule of Jackson for one machine); foods
share a run only when neither smells strongly of something else, their temperatures are close, and
meat stays alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Lot:
    """One food waiting to be dried.

    Args:
        name: the batch or food.
        area_m2: tray area it needs.
        hours: likely drying time [h].
        temp_c: drying temperature [deg C].
        keeps_days: days it waits before it spoils.
        strong: its smell passes to other food.
        meat: meat, poultry or fish: never with other food.
    """

    name: str
    area_m2: float
    hours: float
    temp_c: float
    keeps_days: float
    strong: bool = False
    meat: bool = False


@dataclass
class Run:
    """One run of the dryer: lots with the area of each, and when it starts and ends [h]."""

    start_h: float
    hours: float = 0.0
    temp_c: float = 0.0
    area_m2: float = 0.0
    parts: list[tuple[str, float]] = field(default_factory=list)
    lots: list[Lot] = field(default_factory=list)

    @property
    def end_h(self) -> float:
        """When its slowest food is done [h]."""
        return self.start_h + self.hours


@dataclass(frozen=True)
class Plan:
    """Runs in order, and the area of each lot that spoils before its turn [m2]."""

    runs: tuple[Run, ...]
    left_over: tuple[tuple[str, float], ...] = ()


TEMP_GAP_C = 5.0
"""Foods share a run when their temperatures are this close; common practice."""
HOURS_RATIO = 2.0
"""And when the slower takes at most so many times the faster; common practice."""
TURN_ROUND_H = 1.0
"""Emptying, washing and loading trays between runs [h]; common practice."""


def shares_run(run: Run, lot: Lot) -> bool:
    """Whether a lot may go into a run with what is there."""
    if not run.lots:
        return True
    if lot.meat or any(other.meat for other in run.lots):
        return False
    if any(lot.strong != other.strong or (lot.strong and lot.name != other.name)
           for other in run.lots):  # fmt: skip
        return False
    if abs(lot.temp_c - run.temp_c) > TEMP_GAP_C:
        return False
    slow, fast = max(lot.hours, run.hours), min(lot.hours, min(o.hours for o in run.lots))
    return slow <= HOURS_RATIO * fast


def plan_runs(lots: Sequence[Lot], dryer_m2: float, start_h: float = 0.0) -> Plan:
    """Fill runs of one dryer, what spoils first going first.

    Args:
        lots: foods waiting.
        dryer_m2: tray area of the dryer.
        start_h: hours from now at which the dryer is free.

    Returns:
        The plan; a lot that a run cannot reach before it spoils is left over, whole or in part.

    Raises:
        ValueError: the dryer has no area.

    >>> lots = [Lot("plum", 0.5, 20, 60, 4), Lot("courgette", 0.9, 8, 52, 5)]
    >>> [run.parts for run in plan_runs(lots, 0.9).runs]
    [[('plum', 0.5)], [('courgette', 0.9)]]
    """
    if dryer_m2 <= 0:
        raise ValueError("the dryer needs some tray area")
    runs: list[Run] = []
    left_over: list[tuple[str, float]] = []
    free = start_h
    queue = [(lot, lot.area_m2) for lot in sorted(lots, key=lambda lot: lot.keeps_days)]
    while queue:
        run = Run(free)
        queue = _fill(run, queue, dryer_m2, left_over)
        if run.parts:
            runs.append(run)
            free = run.end_h + TURN_ROUND_H
    return Plan(tuple(runs), tuple(left_over))


def _fill(
    run: Run,
    queue: Sequence[tuple[Lot, float]],
    dryer_m2: float,
    left_over: list[tuple[str, float]],
) -> list[tuple[Lot, float]]:
    """Put into a run what may go; give back what still waits, note what has spoiled by now."""
    rest: list[tuple[Lot, float]] = []
    for lot, area in queue:
        if run.start_h > 24 * lot.keeps_days:
            left_over.append((lot.name, area))
            continue
        room = dryer_m2 - run.area_m2
        if room < 0.05 * dryer_m2 or not shares_run(run, lot):
            rest.append((lot, area))
            continue
        taken = min(room, area)
        run.parts.append((lot.name, round(taken, 4)))
        run.lots.append(lot)
        run.area_m2 += taken
        run.hours = max(run.hours, lot.hours)
        run.temp_c = lot.temp_c if len(run.lots) == 1 else min(run.temp_c, lot.temp_c)
        if area - taken > 1e-9:
            rest.append((lot, area - taken))
    return rest
