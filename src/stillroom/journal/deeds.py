"""What each deed does to the batches. Replaying the deeds of all events gives the journal again.

A deed says everything that was decided when its note was kept, so that nothing here looks at the
note, the clock or the tables. A deed on a batch that is not there (its beginning was taken back)
does nothing.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from stillroom.journal.records import KITCHEN, Batch, Batches, Deed, Event, new_batch
from stillroom.journal.stock import gone, line_from, pack, present, take, total, unpack, weigh_dry

_SLOTS = (
    "food", "form", "fresh_g", "fresh_estimated", "prepared_g", "trays", "temperature_c", "surface",
    "thickness_mm", "size", "hours", "vessel", "place",
)  # fmt: skip
_SETTINGS = (
    "trays", "temperature_c", "air", "altitude_m", "price_per_kwh", "currency", "measure",
)  # fmt: skip
REDRY_SIGNS = ("clumping", "condensation", "sticking", "tacky", "damp")
WEIGHT_HOLDS_H = 18.0
"""A reading of the scale counts as the end weight when the food is jarred within this time [h]."""


@dataclass
class World:
    """Batches and kitchen; a batch is copied before its first change, so the giver's stay."""

    batches: Batches = field(default_factory=dict)
    kitchen: dict[str, Any] = field(default_factory=dict)
    changed: set[str] = field(default_factory=set)

    def edit(self, name: str | None) -> Batch | None:
        """The batch, free to be changed; None when there is none of that name."""
        if name is None or name not in self.batches:
            return None
        if name not in self.changed:
            self.batches[name] = copy.deepcopy(self.batches[name])
            self.changed.add(name)
        return self.batches[name]

    def fork(self) -> World:
        """A world that starts as this one and changes on its own."""
        return World(dict(self.batches), dict(self.kitchen))


def day_of(text: str) -> date:
    """The calendar day of an ISO moment."""
    return datetime.fromisoformat(text).date()


def hours_between(early: str, late: str) -> float:
    """Hours from one ISO moment to another."""
    gap = datetime.fromisoformat(late) - datetime.fromisoformat(early)
    return gap.total_seconds() / 3600.0


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
    batch = world.edit(deed.get("batch"))
    if batch is None:
        return
    batch["touched"] = seq
    if kind in _MANY:
        _MANY[kind](world, batch, deed, seq)
    elif kind in _ONE:
        _ONE[kind](batch, deed, seq)


def _describe(batch: Batch, deed: Deed, seq: int) -> None:
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


def _load(batch: Batch, deed: Deed, seq: int) -> None:
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
    _describe(batch, {key: value for key, value in deed.items() if key != "vessel"}, seq)


def _weigh(batch: Batch, deed: Deed, seq: int) -> None:
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


def _look(batch: Batch, deed: Deed, seq: int) -> None:
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


def _end_weight(batch: Batch, at: str) -> None:
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


def _condition(batch: Batch, deed: Deed, seq: int) -> None:
    if batch["stage"] == "drying":
        _end_weight(batch, deed["at"])
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
        _end_weight(batch, deed["at"])
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
    held = batch["prepared_g"] or batch["fresh_g"]
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
    empty = not batch["stock"] and (deed.get("all") or _nothing_loose(batch))
    if empty and not (fresh and not deed.get("all")):
        batch["stage"] = "discarded" if deed.get("discarded") else "used-up"
        batch["jar"], batch["redry"] = None, None


def _nothing_loose(batch: Batch) -> bool:
    if batch["stage"] in ("stored", "refrigerated"):
        return not batch["loose_g"] or batch["loose_g"] < 0.5
    return batch["loose_g"] is not None and batch["loose_g"] < 0.5


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
    batch["brined"] = batch["brined"] or deed["at"]
    batch["stage"] = "refrigerated"
    _describe(batch, {key: deed.get(key) for key in ("form", "fresh_g", "thickness_mm", "prep")
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
        _end_weight(batch, deed["at"])
    if deed.get("grams") is not None and batch["loose_g"] is None and not batch["stock"]:
        weigh_dry(batch, deed["grams"])
    batch["dried"], batch["dried_at"] = True, batch["dried_at"] or deed["at"]


def _blend(world: World, batch: Batch, deed: Deed, seq: int) -> None:
    """A mix or a part ground: mass leaves the batches it was made of."""
    mass: float | None = 0.0
    for source in deed.get("from", ()):
        old = world.edit(source.get("batch"))
        grams = source.get("grams")
        if old is not None:
            taken = take(old, {"grams": grams, "all": source.get("all")})
            old["moved_g"] += taken
            old["touched"] = seq
            old["children"].append(batch["name"])
            batch["parents"].append(old["name"])
            _close_if_empty(old)
            grams = taken or grams
        mass = None if mass is None or grams is None else mass + grams
    if deed.get("grams") is not None:
        mass = deed["grams"] if mass is None else min(mass or deed["grams"], deed["grams"])
    batch["form"], batch["dried"] = deed.get("form") or "mix", True
    batch["stage"] = "stored"
    if mass:
        weigh_dry(batch, mass)
        batch["loose_g"] = 0.0
    line = line_from({"at": deed["at"]})
    line["grams"], line["shared"] = mass or None, True
    batch["stock"] = [line]


def _close_if_empty(batch: Batch) -> None:
    if not batch["stock"] and _nothing_loose(batch):
        batch["stage"] = "used-up"


def _split(world: World, batch: Batch, deed: Deed, seq: int) -> None:
    """New batches take the mass by their shares; the old one leaves the list."""
    unpack_known = present(batch)
    whole: dict[str, Any] = dict(batch)
    shares = [float(part["share"]) for part in deed["parts"]]
    for part, share in zip(deed["parts"], shares, strict=True):
        new = new_batch(part["batch"], batch["food"], deed["at"])
        for key in _COPIED:
            new[key] = copy.deepcopy(whole[key])  # type: ignore[literal-required] # keys of Batch
        new["parents"] = [batch["name"]]
        new["touched"] = seq
        for key in ("fresh_g", "prepared_g"):
            if whole[key] is not None:
                new[key] = whole[key] * share  # type: ignore[literal-required] # as above
        if unpack_known is not None:
            weigh_dry(new, unpack_known * share)
        if part.get("form"):
            new["form"] = part["form"]
        world.batches[new["name"]] = new
        world.changed.add(new["name"])
        batch["children"].append(new["name"])
    if unpack_known is not None:
        batch["moved_g"] += unpack_known
        batch["loose_g"] = 0.0
    batch["stock"], batch["listed"] = [], False


_COPIED = (
    "form", "stage", "fresh_estimated", "loaded", "drying_since", "dried", "dried_at", "trays",
    "temperature_c", "surface", "thickness_mm", "size", "prep", "hours", "vessel", "place", "jar",
    "predicted",
)  # fmt: skip


def _merge(world: World, batch: Batch, deed: Deed, seq: int) -> None:
    """One new batch takes all that the old ones still hold; they leave the list."""
    olds = [old for source in deed["from"] if (old := world.edit(source["batch"])) is not None]
    fresh = [_fresh_left(old) for old in olds]
    known = [mass for mass in fresh if mass is not None]
    batch["fresh_g"] = sum(known) if known and len(known) == len(fresh) else None
    batch["fresh_estimated"] = any(old["fresh_estimated"] for old in olds)
    held: float | None = 0.0
    for old in olds:
        if old["stage"] == "drying":
            _end_weight(old, deed["at"])
        mass = present(old)
        held = None if held is None or mass is None else held + mass
        old["moved_g"] += mass or 0.0
        old["loose_g"] = 0.0 if mass is not None else old["loose_g"]
        old["stock"], old["listed"], old["touched"] = [], False, seq
        old["children"].append(batch["name"])
        batch["parents"].append(old["name"])
    for key in ("form", "loaded", "drying_since", "thickness_mm", "surface"):
        values: list[Any] = [value for old in olds if (value := dict(old)[key]) is not None]
        if values:
            batch[key] = values[0]
    batch["dried"] = all(old["dried"] for old in olds)
    batch["stage"] = olds[-1]["stage"] if olds else "in-hand"
    if batch["stage"] == "conditioning" and olds:
        batch["jar"] = copy.deepcopy(olds[-1]["jar"])
    if held:
        weigh_dry(batch, held)


def _fresh_left(batch: Batch) -> float | None:
    """The fresh mass that what is still there came from [g]."""
    held = present(batch)
    if batch["fresh_g"] is None or held is None or not batch["dry_g"]:
        return batch["fresh_g"]
    return batch["fresh_g"] * held / batch["dry_g"]


_ONE: dict[str, Callable[[Batch, Deed, int], None]] = {
    "begin": _describe, "describe": _describe, "load": _load, "weigh": _weigh, "look": _look,
    "condition": _condition, "store": _store, "use": _use, "brine": _brine, "powder": _powder,
    "exclude": _exclude, "label": _label,
}  # fmt: skip
_MANY: dict[str, Callable[[World, Batch, Deed, int], None]] = {
    "blend": _blend,
    "split": _split,
    "merge": _merge,
}


def touched_by(event: Event) -> list[str]:
    """Every batch that an event's deeds read or change; the kitchen counts as one."""
    names: list[str] = []
    for deed in event["deeds"]:
        names += batches_of(deed)
    return list(dict.fromkeys(names))


def batches_of(deed: Deed) -> list[str]:
    """The batches of one deed, those it makes included."""
    if deed["do"] == "set" or deed.get("kitchen"):
        return [KITCHEN]
    names = [deed["batch"]] if deed.get("batch") else []
    names += [source["batch"] for source in deed.get("from", ()) if source.get("batch")]
    if deed["do"] == "split":
        names += [part["batch"] for part in deed["parts"]]
    return names
