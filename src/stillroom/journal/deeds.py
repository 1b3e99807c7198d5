"""What each deed does to the batches. Replaying the deeds of all events gives the journal again.

A deed says everything that was decided when its note was kept, so that nothing here looks at the
note, the clock or the tables. A deed on a batch that is not there (its beginning was taken back)
does nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stillroom.journal.dryer import describe, end_weight, load, look, weigh
from stillroom.journal.joins import blend, merge, nothing_loose, split
from stillroom.journal.juice import keep_juice
from stillroom.journal.records import KITCHEN, Batch, Deed, Event, new_batch
from stillroom.journal.stock import fresh_left, line_from, pack, take, unpack, weigh_dry
from stillroom.journal.world import World

_SETTINGS = (
    "trays", "temperature_c", "air", "altitude_m", "price_per_kwh", "currency", "measure",
    "humidity",
)  # fmt: skip


def apply_event(
    world: World, event: Event, fixes: Mapping[tuple[int, int], Mapping[str, Any]] | None = None
) -> None:
    """Do all deeds of an event, each with what later events put right in it."""
    for index, deed in enumerate(event["deeds"]):
        fixed = (fixes or {}).get((event["seq"], index))
        apply_deed(world, {**deed, **fixed} if fixed else deed, event["seq"])
    for name, numbers in event["predicted"].items():
        batch = world.edit(name)
        if batch is not None:
            batch["predicted"].update(numbers)


def apply_deed(world: World, deed: Deed, seq: int) -> None:
    """Do one deed."""
    kind = deed["do"]
    if kind == "begin":
        world.batches[deed["batch"]] = new_batch(deed["batch"], deed.get("food"), deed["at"])
        world.changed.add(deed["batch"])
    if kind == "set":
        world.kitchen.update({key: deed[key] for key in _SETTINGS if key in deed})
        return
    if kind == "juice":
        keep_juice(world, deed)
        return
    batch = world.edit(deed.get("batch"))
    if batch is None:
        return
    batch["touched"] = seq
    if kind in _MANY:
        _MANY[kind](world, batch, deed, seq)
    elif kind in _ONE:
        _ONE[kind](batch, deed, seq)


def _condition(batch: Batch, deed: Deed, seq: int) -> None:
    if batch["stage"] == "drying":
        end_weight(batch, deed["at"])
    if batch["stage"] == "stored":
        unpack(batch)
    if deed.get("grams") is not None:
        weigh_dry(batch, deed["grams"])
    jar = batch["jar"]
    goes_on = jar is not None and batch["stage"] == "conditioning" and not batch["redry"]
    batch["jar"] = {
        "since": jar["since"] if goes_on and jar else deed["at"],
        "vessel": deed.get("vessel"), "vessel_ml": deed.get("vessel_ml"),
        "count": deed.get("count"), "place": deed.get("place"),
        "seen": jar["seen"] if goes_on and jar else [],
    }  # fmt: skip
    batch["stage"], batch["redry"] = "conditioning", None
    batch["dried"], batch["dried_at"] = True, batch["dried_at"] or deed["at"]


def _store(batch: Batch, deed: Deed, seq: int) -> None:
    if batch["stage"] == "drying":
        end_weight(batch, deed["at"])
        batch["dried"], batch["dried_at"] = True, batch["dried_at"] or deed["at"]
    if batch["stage"] == "in-hand" and not batch["dried"] and deed.get("mode", "add") == "add":
        _store_fresh(batch, deed)
    else:
        pack(batch, deed)
    if batch["stage"] == "conditioning":
        batch["conditioned"] = True
    batch["stage"] = "refrigerated" if batch["brined"] else "stored"
    batch["jar"] = None
    batch["redry"] = None


def _store_fresh(batch: Batch, deed: Deed) -> None:
    """Pack food that was never dried: its line carries the fresh mass, the dry side stays out."""
    line = line_from(deed)
    held = fresh_left(batch)
    line["grams"] = deed.get("grams") or (None if batch["brined"] else held)
    batch["stock"].append(line)


def _use(batch: Batch, deed: Deed, seq: int) -> None:
    fresh = batch["stage"] in ("in-hand", "drying") and batch["loose_g"] is None
    if fresh:
        taken = _take_fresh(batch, deed)
    else:
        taken = take(batch, deed)
        batch["discarded_g" if deed.get("discarded") else "used_g"] += taken
    batch["uses"].append({"at": deed["at"], "grams": taken or deed.get("grams"),
                          "discarded": bool(deed.get("discarded")), "event": seq})  # fmt: skip
    jar = batch["jar"]
    if jar is not None and jar["count"] and deed.get("count"):
        jar["count"] = max(1.0, jar["count"] - deed["count"])
    empty = not batch["stock"] and (deed.get("all") or nothing_loose(batch))
    if empty and not (fresh and not deed.get("all")):
        batch["stage"] = "discarded" if deed.get("discarded") else "used-up"
        batch["jar"], batch["redry"] = None, None


def _take_fresh(batch: Batch, deed: Deed) -> float:
    """Take from food that is not dry yet: the fresh mass stays as weighed, the loss is noted."""
    held = max(0.0, (batch["fresh_g"] or 0.0) - batch["fresh_lost_g"])
    wanted = deed.get("grams")
    if wanted is None:
        wanted = held if deed.get("all") else held * float(deed.get("share") or 0.0)
    taken = min(held, float(wanted))
    batch["fresh_lost_g"] += taken
    return taken


def _brine(batch: Batch, deed: Deed, seq: int) -> None:
    for key, value in deed.get("parts", {}).items():
        batch["brine"][key] = batch["brine"].get(key, 0.0) + value
    batch["brined"] = deed["at"]
    batch["stage"] = "refrigerated"
    describe(batch, {key: deed.get(key) for key in ("form", "fresh_g", "thickness_mm", "prep")
                      if deed.get(key) is not None}, seq)  # fmt: skip
    if any(deed.get(key) is not None for key in ("vessel", "vessel_ml", "count")):
        batch["stock"].append(line_from(deed))


def _exclude(batch: Batch, deed: Deed, seq: int) -> None:
    batch["excluded"] = not deed.get("again", False)


def _label(batch: Batch, deed: Deed, seq: int) -> None:
    for line in batch["stock"]:
        line["dated"] = True


def _powder(batch: Batch, deed: Deed, seq: int) -> None:
    """The whole batch is ground: it stays the batch that it was."""
    batch["form"] = deed.get("form") or "powdered"
    if batch["stage"] == "drying":
        end_weight(batch, deed["at"])
    if deed.get("grams") is not None and batch["loose_g"] is None and not batch["stock"]:
        weigh_dry(batch, deed["grams"])
    batch["dried"], batch["dried_at"] = True, batch["dried_at"] or deed["at"]


_ONE: dict[str, Callable[[Batch, Deed, int], None]] = {
    "begin": describe, "describe": describe, "load": load, "weigh": weigh, "look": look,
    "condition": _condition, "store": _store, "use": _use, "brine": _brine, "powder": _powder,
    "exclude": _exclude, "label": _label,
}  # fmt: skip
_MANY: dict[str, Callable[[World, Batch, Deed, int], None]] = {
    "blend": blend,
    "split": split,
    "merge": merge,
}


def touched_by(event: Event) -> list[str]:
    """Every batch that an event's deeds read or change; the kitchen counts as one."""
    names: list[str] = []
    for deed in event["deeds"]:
        names += batches_of(deed)
    return list(dict.fromkeys(names))


def batches_of(deed: Deed) -> list[str]:
    """The batches of one deed, those it makes included."""
    if deed["do"] in ("set", "juice") or deed.get("kitchen"):
        return [KITCHEN]
    names = [deed["batch"]] if deed.get("batch") else []
    names += [source["batch"] for source in deed.get("from", ()) if source.get("batch")]
    if deed["do"] == "split":
        names += [part["batch"] for part in deed["parts"]]
    return names
