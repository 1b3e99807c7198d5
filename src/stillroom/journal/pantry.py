"""What the shelves tell as a whole: pace of use, jars that could be mistaken."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence, Set
from datetime import datetime, timedelta
from typing import TypedDict

from stillroom.journal.records import Batch, Knowhow
from stillroom.journal.stock import total
from stillroom.journal.world import day_of, hours_between

PACE_DAYS = 56.0
"""The pace of use is that of the last eight weeks [day]; seasons change what is cooked."""
SHORTEST_DAYS = 7.0
"""Less than a week of use tells no pace [day]."""


_Kind = tuple[str, str | None]
"""A food in one form; None is any form."""


def unlabelled_pairs(batches: Iterable[Batch], know: Knowhow) -> list[tuple[str, str]]:
    """Pairs of batches that look the same in a jar, of which one at least bears no label.

    Args:
        batches: those with stock.
        know: ``lookalikes`` says which foods and forms look the same.
    """
    stocked = sorted(
        (batch for batch in batches if batch["stock"]), key=lambda batch: batch["name"]
    )
    if not any(_bare(batch) for batch in stocked):
        return []
    pairs = {*know.lookalikes, *((second, first) for first, second in know.lookalikes)}
    return [
        (one["name"], other["name"])
        for place, one in enumerate(stocked)
        for other in stocked[place + 1 :]
        if one["food"] != other["food"]
        and (_bare(one) or _bare(other))
        and _alike(one, other, pairs)
    ]


def _bare(batch: Batch) -> bool:
    return any(not line["dated"] for line in batch["stock"])


def _alike(one: Batch, other: Batch, pairs: Set[tuple[_Kind, _Kind]]) -> bool:
    if one["form"] != other["form"] and "powdered" in (one["form"], other["form"]):
        return False
    return any((first, second) in pairs for first in _kinds(one) for second in _kinds(other))


def _kinds(batch: Batch) -> tuple[_Kind, _Kind]:
    """The batch as it stands among look-alikes: in any form, and in its own."""
    food = batch["food"] or ""
    return (food, None), (food, batch["form"])


class Pace(TypedDict):
    """How fast a food is used and how long what is left lasts at that pace.

    ``weeks`` and ``lasts_until`` are None when none was used; ``season`` is the day on which the
    food first came in within the last year, a year later: when the next may come in.
    """

    food: str
    per_week_g: float
    left_g: float
    weeks: float | None
    lasts_until: str | None
    season: str | None


def pace_of(
    stocked: Sequence[Batch],
    since: str,
    begun: str | None,
    used_g: Callable[[str, str], float],
    now: datetime,
) -> Pace | None:
    """The pace at which a food is used.

    What is thrown out or given to a mix is not use. A food of which some stock has no known mass,
    or that was used for less than a week, has none: a pace would be a guess.

    Args:
        stocked: its dried batches with stock.
        since: when its first batch was dry.
        begun: when the first of it came in within the last year.
        used_g: what was used between two moments [g].
        now: the clock.
    """
    left = total(line for batch in stocked for line in batch["stock"])
    days = min(PACE_DAYS, hours_between(since, now.isoformat()) / 24.0)
    if left is None or days < SHORTEST_DAYS:
        return None
    week = used_g((now - timedelta(days=days)).isoformat(), now.isoformat()) * 7.0 / days
    weeks = left / week if week > 0 else None
    until = None if weeks is None else (now + timedelta(weeks=min(weeks, 520.0))).date().isoformat()
    return {
        "food": str(stocked[0]["food"]), "per_week_g": round(week, 1), "left_g": round(left, 1),
        "weeks": None if weeks is None else round(weeks, 1), "lasts_until": until,
        "season": None if begun is None else (day_of(begun) + timedelta(days=365)).isoformat(),
    }  # fmt: skip
