"""Deeds between batches: parts ground or mixed, a batch split, batches put together."""

from __future__ import annotations

import copy
from typing import Any

from stillroom.journal.dryer import end_weight
from stillroom.journal.records import Batch, Deed, new_batch
from stillroom.journal.stock import CRUMBS_G, fresh_left, line_from, present, take, weigh_dry
from stillroom.journal.world import World


def nothing_loose(batch: Batch) -> bool:
    """Whether no more than crumbs lie outside the vessels."""
    if batch["stage"] in ("stored", "refrigerated"):
        return not batch["loose_g"] or batch["loose_g"] < CRUMBS_G
    return batch["loose_g"] is not None and batch["loose_g"] < CRUMBS_G


def blend(world: World, batch: Batch, deed: Deed, seq: int) -> None:
    """A mix or a part ground: mass leaves the batches it was made of."""
    mass: float | None = 0.0
    for source in deed.get("from", ()):
        old = world.edit(source.get("batch"))
        grams = source.get("grams")
        if old is not None:
            taken = take(old, {"grams": grams, "all": source.get("all")})
            _fresh_share(batch, old, taken)
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
    batch["best_by"] = deed.get("best_by")
    batch["allergens"] = list(deed.get("allergens", ()))
    batch["stage"] = "stored"
    if mass:
        weigh_dry(batch, mass)
        batch["loose_g"] = 0.0
    line = line_from({"at": deed["at"]})
    line["grams"], line["shared"] = mass or None, True
    batch["stock"] = [line]


def _fresh_share(batch: Batch, old: Batch, taken: float) -> None:
    """A part of one food that is ground came of its share of the fresh food; a mix has none."""
    if batch["food"] is None or batch["food"] != old["food"] or not old["dry_g"]:
        return
    if old["fresh_g"] is not None:
        batch["fresh_g"] = (batch["fresh_g"] or 0.0) + old["fresh_g"] * taken / old["dry_g"]
        batch["fresh_estimated"] = old["fresh_estimated"]


def _close_if_empty(batch: Batch) -> None:
    if not batch["stock"] and nothing_loose(batch):
        batch["stage"] = "used-up"


def split(world: World, batch: Batch, deed: Deed, seq: int) -> None:
    """New batches take the mass by their shares; the old one leaves the list."""
    unpack_known = present(batch)
    whole: dict[str, Any] = dict(batch)
    lost = batch["fresh_lost_g"]
    shares = [float(part["share"]) for part in deed["parts"]]
    for part, share in zip(deed["parts"], shares, strict=True):
        new = new_batch(part["batch"], batch["food"], deed["at"])
        for key in _COPIED:
            new[key] = copy.deepcopy(whole[key])  # type: ignore[literal-required] # keys of Batch
        new["parents"] = [batch["name"]]
        new["touched"] = seq
        for key in ("fresh_g", "prepared_g"):
            if whole[key] is not None:
                new[key] = max(0.0, whole[key] - lost) * share  # type: ignore[literal-required] # as above
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


def merge(world: World, batch: Batch, deed: Deed, seq: int) -> None:
    """One new batch takes all that the old ones still hold; they leave the list."""
    olds = [old for source in deed["from"] if (old := world.edit(source["batch"])) is not None]
    fresh = [_fresh_left(old) for old in olds]
    known = [mass for mass in fresh if mass is not None]
    batch["fresh_g"] = sum(known) if known and len(known) == len(fresh) else None
    batch["fresh_estimated"] = any(old["fresh_estimated"] for old in olds)
    held: float | None = 0.0
    for old in olds:
        if old["stage"] == "drying":
            end_weight(old, deed["at"])
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
        return fresh_left({**batch, "prepared_g": None})
    return batch["fresh_g"] * held / batch["dry_g"]
