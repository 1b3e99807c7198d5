"""Juice from draining and pressing, added up until it makes a batch of jelly for the fridge.

Only a refrigerator or freezer jelly is meant: one for the shelf needs a tested recipe.
Sources: pk_mem_ext (drained juice is perishable), pk_cp (keep fruit juice for jelly).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

JELLY_BATCH_ML = 950.0
"""A usual jelly batch: about four US cups (common-practice; by-product in pickling.csv)."""
FRIDGE_DAYS = 2
"""Days that drained juice stands in the fridge before it is used or frozen (pk_mem_ext)."""


class JuiceKept(NamedTuple):
    """A lot of juice: its food, ml, and whether it ran off salted food."""

    food: str
    ml: float
    salted: bool = False


class JuiceCount(NamedTuple):
    """Juice gathered so far: ml, whole batches in it, ml still missing for the next one."""

    total_ml: float
    batches: int
    missing_ml: float


def gather_juice(lots_ml: Iterable[float], batch_ml: float = JELLY_BATCH_ML) -> JuiceCount:
    """Add up juice kept through the season.

    Args:
        lots_ml: each lot that was kept, ml; salted juice is no jelly stock and is left out by
            the caller.
        batch_ml: juice for one batch of jelly, ml.

    Returns:
        The sum, how many batches it makes, and what the next one lacks.

    Raises:
        ValueError: a lot is negative or the batch is not above zero.

    >>> gather_juice([300, 450, 380])
    JuiceCount(total_ml=1130.0, batches=1, missing_ml=770.0)
    """
    lots = [float(lot) for lot in lots_ml]
    if any(lot < 0 for lot in lots) or batch_ml <= 0:
        raise ValueError("juice cannot be negative and a batch must be above zero")
    total = sum(lots)
    batches = int(total // batch_ml)
    return JuiceCount(total, batches, (batches + 1) * batch_ml - total)
