"""The journal as others read it: the machine-readable view, and flat facts for the rules."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from stillroom.journal.due import best_by, due_list
from stillroom.journal.juice import JuiceLot
from stillroom.journal.records import Batch, Knowhow, Line
from stillroom.journal.stock import gone, total
from stillroom.journal.world import day_of

SCHEMA = 1


def figure(value: float | None) -> float | int | None:
    """A figure to a tenth, whole when it is whole."""
    if value is None:
        return None
    rounded = round(value, 1)
    return int(rounded) if rounded == int(rounded) else rounded


def end_weight(batch: Batch) -> float | None:
    """The weight at the end of drying [g]; from what was packed when it was never weighed loose."""
    if batch["dry_g"] is not None or not batch["dried"] or batch["loose_g"]:
        return batch["dry_g"]
    packed = total(batch["stock"])
    whole = None if packed is None else packed + gone(batch)
    return whole or None


def conditioning_day(batch: Batch, now: datetime) -> int | None:
    """The day of conditioning; the day of jarring is 0."""
    if batch["stage"] != "conditioning" or batch["jar"] is None:
        return None
    return (now.date() - day_of(batch["jar"]["since"])).days


def batch_line(batch: Batch, know: Knowhow, now: datetime) -> dict[str, Any]:
    """One batch as the interface prints it."""
    ends = [day for line in batch["stock"] if (day := best_by(batch, line, know)) is not None]
    jar = batch["jar"]
    out: dict[str, Any] = {
        "name": batch["name"], "food": batch["food"], "form": batch["form"],
        "stage": batch["stage"], "fresh_g": figure(batch["fresh_g"]),
        "dry_g": figure(end_weight(batch)), "loaded": batch["loaded"],
        "conditioning_day": conditioning_day(batch, now),
        "best_by": min(ends).isoformat() if ends else None,
    }  # fmt: skip
    if batch["fresh_estimated"] and batch["fresh_g"] is not None:
        out["fresh_estimated"] = True
    extra: dict[str, Any] = {
        "trays": batch["trays"], "temperature_c": batch["temperature_c"],
        "thickness_mm": batch["thickness_mm"], "surface": batch["surface"],
        "prepared_g": figure(batch["prepared_g"]), "used_g": figure(batch["used_g"]) or None,
        "discarded_g": figure(batch["discarded_g"]) or None,
        "fresh_left_g": figure(_fresh(batch)) if batch["fresh_lost_g"] else None,
        "redry": batch["redry"],
        "mould": batch["mould"], "from": batch["parents"] or None,
        "missed_days": missed_days(batch, now) or None,
        "vessel": jar["vessel"] if jar else None,
        "excluded": batch["excluded"] or None,
    }  # fmt: skip
    out.update({key: value for key, value in extra.items() if value is not None})
    return out


def missed_days(batch: Batch, now: datetime) -> list[int]:
    """Days of conditioning before today on which nobody looked."""
    jar, day = batch["jar"], conditioning_day(batch, now)
    if jar is None or day is None:
        return []
    return [past for past in range(1, day) if past not in jar["seen"]]


def stock_line(batch: Batch, line: Line, know: Knowhow) -> dict[str, Any]:
    """One line of stock as the interface prints it."""
    end = best_by(batch, line, know)
    out = {
        "batch": batch["name"], "food": batch["food"], "form": batch["form"],
        "vessel": line["vessel"], "vessel_ml": line["vessel_ml"],
        "count": figure(line["count"]), "remaining_g": figure(line["grams"]),
        "place": line["place"], "seal": line["seal"], "packed": line["packed"],
        "dated": line["dated"], "best_by": end.isoformat() if end else None,
    }  # fmt: skip
    return out | ({"allergens": batch["allergens"]} if batch["allergens"] else {})


def whole_view(
    batches: Iterable[Batch],
    know: Knowhow,
    now: datetime,
    ahead: int = 0,
    juice: Sequence[JuiceLot] = (),
) -> dict[str, Any]:
    """The whole journal as the interface prints it."""
    listed = sorted(
        (batch for batch in batches if batch["listed"]),
        key=lambda batch: (batch["begun"], batch["name"]),
    )
    return {
        "schema": SCHEMA,
        "now": now.isoformat(),
        "batches": [batch_line(batch, know, now) for batch in listed],
        "stock": [stock_line(batch, line, know) for batch in listed for line in batch["stock"]],
        "due": due_list(listed, know, now, ahead, juice),
        "juice": [{**lot, "ml": figure(lot["ml"])} for lot in juice],
    }


def lot(batch: Batch, now: datetime) -> dict[str, Any]:
    """A batch as a flat fact of kind ``lot``; what is not known is left out."""
    form = batch["form"]
    slots: dict[str, Any] = {
        "batch": batch["name"], "food": batch["food"], "stage": batch["stage"],
        "cut": None if form == "mix" else form, "size": batch["size"],
        "thickness_mm": batch["thickness_mm"], "surface": batch["surface"],
        "temperature_c": batch["temperature_c"], "trays": batch["trays"],
        "fresh_g": _fresh(batch), "dry_g": end_weight(batch), "dried": batch["dried"],
        "brined": bool(batch["brined"]), "blended": form == "mix",
        "powdered": form == "powdered", "weighed_g": _weighed(batch),
        "cooked": "cooked" in batch["prep"], "blanched": "blanched" in batch["prep"],
        "conditioning_day": conditioning_day(batch, now), **_standing(batch, now),
    }  # fmt: skip
    if batch["stage"] == "drying" and batch["drying_since"] and not batch["dried"]:
        since = datetime.fromisoformat(batch["drying_since"])
        slots["hours"] = round((now - since).total_seconds() / 3600.0, 2)
    return {key: value for key, value in slots.items() if value is not None}


def _fresh(batch: Batch) -> float | None:
    """The fresh mass that dries [g]: what was given away or thrown out before is off."""
    if batch["fresh_g"] is None or not batch["fresh_lost_g"]:
        return batch["fresh_g"]
    return max(0.0, batch["fresh_g"] - batch["fresh_lost_g"])


def _weighed(batch: Batch) -> float | None:
    """The last reading of all of it, without tare [g]."""
    whole = [item for item in batch["weighings"] if item["tray"] is None]
    return whole[-1]["grams"] - whole[-1]["tare_g"] if whole else None


def _standing(batch: Batch, now: datetime) -> dict[str, Any]:
    """Vessel and place: of the newest stock line, the conditioning jar, or the food in hand."""
    jar = batch["jar"]
    if batch["stock"]:
        line = batch["stock"][-1]
        return {
            "vessel": line["vessel"], "vessel_ml": line["vessel_ml"],
            "vessel_count": line["count"], "place": line["place"], "seal": line["seal"],
            "dated": line["dated"], "age_days": (now.date() - day_of(line["packed"])).days,
            "wrap": line.get("wrap"), "opened": line.get("opened"),
        }  # fmt: skip
    if jar is not None:
        return {"vessel": jar["vessel"], "vessel_ml": jar["vessel_ml"],
                "vessel_count": jar["count"], "place": jar["place"]}  # fmt: skip
    return {"vessel": batch["vessel"], "place": batch["place"]}
