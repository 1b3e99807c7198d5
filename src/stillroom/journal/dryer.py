"""Deeds of the dryer: what is said of the food, loads, readings of the scale, and looks."""

from __future__ import annotations

from stillroom.journal.records import Batch, Deed
from stillroom.journal.stock import gone, total, unpack, weigh_dry
from stillroom.journal.world import day_of, hours_between

_SLOTS = (
    "food", "form", "fresh_g", "fresh_estimated", "prepared_g", "trays", "temperature_c", "surface",
    "thickness_mm", "size", "hours", "vessel", "place",
)  # fmt: skip


REDRY_SIGNS = ("clumping", "condensation", "sticking", "tacky", "damp")


WEIGHT_HOLDS_H = 18.0
"""A reading of the scale counts as the end weight when the food is jarred within this time [h]."""


def describe(batch: Batch, deed: Deed, seq: int) -> None:
    """Take over what is said of the food and of how it lies."""
    for key in _SLOTS:
        if deed.get(key) is not None:
            batch[key] = deed[key]  # type: ignore[literal-required] # keys of Batch
    for step in deed.get("prep", ()):
        if step not in batch["prep"]:
            batch["prep"].append(step)
    if deed.get("stage"):
        batch["stage"] = deed["stage"]
    if deed.get("since"):
        batch["jar"] = {"since": deed["since"], "vessel": deed.get("vessel"), "vessel_ml": None,
                        "count": None, "place": deed.get("place"), "seen": []}  # fmt: skip
        batch["dried"] = True
    if deed.get("dried"):
        batch["dried"] = True
    if deed.get("dry_g") is not None:
        weigh_dry(batch, deed["dry_g"])


def load(batch: Batch, deed: Deed, seq: int) -> None:
    """Food goes on trays, for the first time or again."""
    again = batch["stage"] in ("conditioning", "stored")
    if again:
        unpack(batch)
        batch["redried"] += 1
        batch["jar"] = None
        batch["conditioned"] = False
    if again or batch["stage"] == "in-hand" or batch["dried"]:
        batch["drying_since"] = deed["at"]
        batch["dried"], batch["dried_at"], batch["look"] = False, None, None
    batch["redry"] = None
    batch["loaded"] = batch["loaded"] or deed["at"]
    batch["drying_since"] = batch["drying_since"] or deed["at"]
    batch["stage"] = "drying"
    describe(batch, {key: value for key, value in deed.items() if key != "vessel"}, seq)


def weigh(batch: Batch, deed: Deed, seq: int) -> None:
    """Keep a reading of the scale; of dry food it is the end weight."""
    net = deed["grams"] - (deed.get("tare_g") or 0.0)
    look = batch["look"]
    wet = look is not None and look["done"] is False and look["event"] == seq
    batch["weighings"].append(
        {
            "at": deed["at"], "grams": deed["grams"], "tray": deed.get("tray"),
            "tare_g": deed.get("tare_g") or 0.0, "wet": wet, "event": seq,
        }
    )  # fmt: skip
    if deed.get("tray") is not None:
        return
    if batch["stage"] == "in-hand":
        batch["prepared_g"] = net
    elif batch["stage"] in ("stored", "refrigerated") and batch["stock"]:
        _weigh_stock(batch, net)
    elif batch["dried"] or deed.get("done"):
        weigh_dry(batch, net)


def _weigh_stock(batch: Batch, grams: float) -> None:
    """A reading of what stands packed: the first tells its mass, a later one what was used."""
    held = total(batch["stock"])
    if held is None:
        lines = [line for line in batch["stock"] if line["grams"] is None]
        known = total(line for line in batch["stock"] if line["grams"] is not None) or 0.0
        for line in lines:
            line["grams"], line["shared"] = max(0.0, grams - known) / len(lines), True
        batch["dry_g"] = (total(batch["stock"]) or 0.0) + (batch["loose_g"] or 0.0) + gone(batch)
    elif grams < held:
        for line in batch["stock"]:
            line["grams"] = (line["grams"] or 0.0) * grams / held
        batch["used_g"] += held - grams


def look(batch: Batch, deed: Deed, seq: int) -> None:
    """Keep how the food or its jar looks, and what follows from it."""
    signs = list(deed.get("signs", ()))
    batch["look"] = {"at": deed["at"], "signs": signs, "done": deed.get("done"), "event": seq}
    if "mould" in signs:
        batch["mould"] = batch["mould"] or deed["at"]
    if batch["stage"] == "drying":
        _look_on_trays(batch, deed, seq)
        return
    if batch["jar"] is not None and batch["stage"] == "conditioning":
        _count_day(batch, deed)
    if deed.get("redry"):
        batch["redry"] = batch["redry"] or deed["at"]
    elif "loose" in signs and batch["stage"] == "conditioning":
        batch["redry"] = None


def _look_on_trays(batch: Batch, deed: Deed, seq: int) -> None:
    if deed.get("done") is False:
        _not_yet(batch)
    elif deed.get("done"):
        batch["dried"], batch["dried_at"] = True, deed["at"]
        last = batch["weighings"][-1] if batch["weighings"] else None
        if last is not None and last["tray"] is None and last["event"] == seq:
            weigh_dry(batch, last["grams"] - last["tare_g"])


def _not_yet(batch: Batch) -> None:
    """Not dry after all: the readings so far are no end weight."""
    batch["dried"], batch["dried_at"] = False, None
    for reading in batch["weighings"]:
        reading["wet"] = True
    if not batch["redried"] and not batch["stock"] and gone(batch) == 0.0:
        batch["loose_g"], batch["dry_g"] = None, None


def _count_day(batch: Batch, deed: Deed) -> None:
    """A look clears its own calendar day and the day that it names."""
    jar = batch["jar"]
    if jar is None:
        return
    days = {(day_of(deed["at"]) - day_of(jar["since"])).days}
    if deed.get("day") is not None:
        days.add(int(deed["day"]))
    jar["seen"] = sorted({*jar["seen"], *(day for day in days if day > 0)})


def end_weight(batch: Batch, at: str) -> None:
    """The last reading becomes the end weight when nothing said since that it was not yet dry."""
    if batch["loose_g"] is not None and not batch["redried"]:
        return
    whole = [item for item in batch["weighings"] if item["tray"] is None and not item["wet"]]
    if not whole:
        _end_by_trays(batch)
        return
    last = whole[-1]
    early = batch["drying_since"] is not None and last["at"] < batch["drying_since"]
    if not early and hours_between(last["at"], at) <= WEIGHT_HOLDS_H:
        weigh_dry(batch, last["grams"] - last["tare_g"])


def _end_by_trays(batch: Batch) -> None:
    """Readings of every single tray make up the whole."""
    since = batch["drying_since"] or batch["begun"]
    trays = {item["tray"]: item["grams"] - item["tare_g"] for item in batch["weighings"]
             if item["tray"] is not None and not item["wet"] and item["at"] >= since}  # fmt: skip
    if batch["trays"] and len(trays) == int(batch["trays"]):
        weigh_dry(batch, sum(trays.values()))
