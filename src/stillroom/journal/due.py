"""What is due: shakes, looks, the dryer again, packing, labels, and what must be eaten first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from stillroom.journal.juice import JuiceLot, jelly_due
from stillroom.journal.records import Batch, Knowhow, Line, is_open
from stillroom.journal.world import day_of

USUAL_DAYS = 5
"""Days in the conditioning jar for a food whose own number is not known."""
USE_FIRST_DAYS = 30
"""Stock is to be used first from this many days before its best-by, or a sixth of its keeping."""


def keeping_days(batch: Batch, line: Line, know: Knowhow) -> float | None:
    """Days that a stock line keeps, by the tables."""
    traits = know.of(batch["food"])
    return know.keeping({
        **line, "batch": batch["name"], "food": batch["food"], "form": batch["form"],
        "stage": batch["stage"], "group": traits.group, "brined": bool(batch["brined"]),
    })  # fmt: skip


def best_by(batch: Batch, line: Line, know: Knowhow) -> date | None:
    """The day until which a stock line is at its best; of a mix, the earliest of its parts."""
    if batch["best_by"]:
        return day_of(batch["best_by"])
    days = keeping_days(batch, line, know)
    return None if days is None else day_of(line["packed"]) + timedelta(days=int(days))


def conditioning_days(batch: Batch, know: Knowhow) -> int:
    """Days that this batch stands in the conditioning jar."""
    return know.of(batch["food"]).conditioning_days or USUAL_DAYS


def due_list(
    batches: Iterable[Batch],
    know: Knowhow,
    now: datetime,
    ahead: int = 0,
    juice: Sequence[JuiceLot] = (),
) -> list[dict[str, Any]]:
    """All that is due by a day, the earliest first.

    Args:
        batches: the batches to look at.
        know: what the tables tell.
        now: the clock.
        ahead: days after today that are listed as well.
        juice: the juice that is kept.
    """
    until = (now.date() + timedelta(days=ahead)).isoformat()
    found = [thing for batch in batches if is_open(batch) for thing in _due(batch, know)]
    found += jelly_due(juice, know.jelly_ml)
    return sorted(
        (thing for thing in found if thing["at"][:10] <= until),
        key=lambda thing: (thing["at"], thing["batch"], thing["what"]),
    )


def _thing(at: object, what: str, batch: Batch, **more: Any) -> dict[str, Any]:
    text = at.isoformat() if isinstance(at, date) else str(at)
    return {"at": text, "what": what, "batch": batch["name"], **more}


def _due(batch: Batch, know: Knowhow) -> Iterator[dict[str, Any]]:
    if batch["mould"]:
        return
    if batch["redry"]:
        yield _thing(day_of(batch["redry"]), "redry", batch)
    elif batch["stage"] == "conditioning":
        yield from _jar(batch, know)
    if batch["stage"] == "drying":
        yield from _trays(batch)
    if batch["stage"] in ("stored", "refrigerated"):
        yield from _stock(batch, know)


def _jar(batch: Batch, know: Knowhow) -> Iterator[dict[str, Any]]:
    jar = batch["jar"]
    if jar is None:
        return
    first, last = day_of(jar["since"]), conditioning_days(batch, know)
    for day in range(1, last + 1):
        if day not in jar["seen"]:
            yield _thing(first + timedelta(days=day), "shake", batch, day=day)
    yield _thing(first + timedelta(days=last), "pack", batch)


def _trays(batch: Batch) -> Iterator[dict[str, Any]]:
    if batch["dried"]:
        at = day_of(batch["dried_at"] or batch["begun"])
        yield _thing(at + timedelta(days=1), "pack", batch)
        return
    hours = batch["predicted"].get("drying_time")
    since = batch["drying_since"]
    if not hours or not since:
        return
    start = datetime.fromisoformat(since)
    look = batch["look"]
    seen = datetime.fromisoformat(look["at"]) if look else start
    for guess in (*hours, 1.25 * hours[-1], 1.5 * hours[-1]):
        at = start + timedelta(hours=guess)
        if at > seen:
            yield _thing(at.replace(microsecond=0, second=0), "check-dryness", batch)
            return


def _stock(batch: Batch, know: Knowhow) -> Iterator[dict[str, Any]]:
    for line in batch["stock"]:
        packed = day_of(line["packed"])
        if not line["dated"]:
            yield _thing(packed, "label", batch)
        end = best_by(batch, line, know)
        if end is None:
            continue
        if batch["stage"] == "refrigerated":
            yield _thing(end, "eat-by", batch)
        else:
            early = max(0, min(USE_FIRST_DAYS, (end - packed).days // 6))
            yield _thing(end - timedelta(days=early), "use-first", batch)
    if batch["brined"] and know.refresh_days:
        yield _thing(day_of(batch["brined"]) + timedelta(days=know.refresh_days),
                     "refresh-brine", batch)  # fmt: skip
