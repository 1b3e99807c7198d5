"""The mass of a batch: what lies loose, what stands in vessels, what was taken.

The dry side balances: ``dry_g = loose_g + stock + used_g + discarded_g + moved_g`` whenever these
are known. Nothing here lets mass appear: what is packed or taken is at most what is there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from stillroom.journal.records import Batch, Deed, Line

CRUMBS_G = 0.5
"""Less than this is an empty vessel [g]."""


def line_from(deed: Deed) -> Line:
    """The stock line that a store or brine deed packs, its mass still open."""
    line: Line = {
        "vessel": deed.get("vessel"), "vessel_ml": deed.get("vessel_ml"),
        "count": deed.get("count"), "grams": None, "place": deed.get("place"),
        "seal": deed.get("seal"), "packed": str(deed["at"]), "dated": bool(deed.get("dated")),
        "shared": False,
    }  # fmt: skip
    if deed.get("wrap"):
        line["wrap"] = str(deed["wrap"])
    return line


def total(lines: Iterable[Line]) -> float | None:
    """Mass in these lines [g]; None when that of any is unknown."""
    masses = [line["grams"] for line in lines]
    known = [mass for mass in masses if mass is not None]
    return sum(known) if len(known) == len(masses) else None


def gone(batch: Batch) -> float:
    """What left the batch [g]: used, thrown out, or moved to another batch."""
    return batch["used_g"] + batch["discarded_g"] + batch["moved_g"]


def fresh_left(batch: Batch) -> float | None:
    """The fresh mass that is still there [g]; what was taken before it was dry is off."""
    if batch["fresh_g"] is None:
        return batch["prepared_g"]
    left = max(0.0, batch["fresh_g"] - batch["fresh_lost_g"])
    return left if batch["prepared_g"] is None else min(left, batch["prepared_g"])


def present(batch: Batch) -> float | None:
    """Dry mass that is still there [g], loose and in vessels; None when unknown."""
    packed = total(batch["stock"])
    if packed is None or (batch["loose_g"] is None and not batch["stock"]):
        return None
    return packed + (batch["loose_g"] or 0.0)


def balance_g(batch: Batch) -> float:
    """How far the dry side is from closing [g]; 0 when something in it is unknown."""
    packed = total(batch["stock"])
    if batch["dry_g"] is None or packed is None or batch["loose_g"] is None:
        return 0.0
    return batch["dry_g"] - batch["loose_g"] - packed - gone(batch)


def weigh_dry(batch: Batch, grams: float) -> None:
    """Take a reading of all that is loose as its mass [g]; the end weight follows from it."""
    packed = total(batch["stock"])
    batch["loose_g"] = grams
    batch["dry_g"] = None if packed is None else grams + packed + gone(batch)


def _capacity(line: Line) -> float:
    """What a line can hold, for sharing; a vessel of unknown size counts as a pint [ml]."""
    return (line["vessel_ml"] or 473.0) * (line["count"] or 1.0)


def share_out(lines: Sequence[Line], grams: float | None) -> None:
    """Divide a mass [g] among lines by what they hold."""
    room = sum(_capacity(line) for line in lines)
    for line in lines:
        line["grams"] = None if grams is None else grams * _capacity(line) / room
        line["shared"] = True


def unpack(batch: Batch) -> None:
    """Empty all vessels into one loose heap."""
    batch["loose_g"] = present(batch)
    batch["stock"] = []


def pack(batch: Batch, deed: Deed) -> None:
    """Put what is loose (or what a deed's mode says) into vessels."""
    mode = deed.get("mode", "add")
    line = line_from(deed)
    if mode in ("repack", "move") and batch["stock"]:
        line["packed"] = min(old["packed"] for old in batch["stock"])  # it keeps no longer for it
    if mode == "repack":
        unpack(batch)
    if mode == "move":
        line["grams"] = take_mass(batch["stock"], float(deed["grams"]))
        batch["stock"] = [*_left(batch["stock"]), line]
    elif mode == "share":
        group = [old for old in batch["stock"] if old["shared"]]
        held = total(group)
        loose = batch["loose_g"]
        share_out([*group, line], None if held is None else held + (loose or 0.0))
        batch["loose_g"] = None if loose is None else 0.0
        batch["stock"].append(line)
    else:
        _add(batch, line, deed.get("grams"))


def _add(batch: Batch, line: Line, grams: float | None) -> None:
    loose = batch["loose_g"]
    if grams is None:
        line["grams"], line["shared"] = loose, True
        batch["loose_g"] = 0.0
    elif loose is None:
        line["grams"] = grams
    else:
        packed = min(grams, loose)
        line["grams"] = packed
        batch["loose_g"] = loose - packed
    batch["stock"].append(line)


def _left(lines: Iterable[Line]) -> list[Line]:
    """The lines that are not empty."""
    return [
        line for line in lines
        if not (line["grams"] is not None and line["grams"] < CRUMBS_G)
        and not (line["count"] is not None and line["count"] <= 0)
    ]  # fmt: skip


def take_mass(lines: Iterable[Line], grams: float) -> float:
    """Take a mass [g] out of lines, the first first.

    Returns:
        What was taken; from lines of unknown mass nothing is.
    """
    wanted = grams
    for line in lines:
        if line["grams"] is None:
            continue
        taken = min(line["grams"], wanted)
        line["grams"] -= taken
        wanted -= taken
    return grams - wanted


def take_vessels(lines: Iterable[Line], count: float) -> float:
    """Take whole vessels out of lines, the first first; returns the mass that went [g]."""
    mass = 0.0
    for line in lines:
        had = line["count"] or 1.0
        taken = min(had, count)
        if line["grams"] is not None:
            part = line["grams"] * taken / had
            line["grams"] -= part
            mass += part
        line["count"] = had - taken
        count -= taken
    return mass


def matching(batch: Batch, deed: Deed) -> list[Line]:
    """The lines that a deed names by place, vessel and size; all of them when none fits."""
    keys = [key for key in ("place", "vessel", "vessel_ml") if deed.get(key) is not None]
    found: list[Line] = batch["stock"]
    for key in keys:
        fits = [line for line in found if _slot(line, key) == deed[key]]
        found = fits or found
    return found


def _slot(line: Line, key: str) -> Any:
    return dict(line).get(key)


def take(batch: Batch, deed: Deed) -> float:
    """Take from a batch what a use deed says.

    Returns:
        The mass taken [g]; 0 when it is unknown.
    """
    loose = batch["loose_g"]
    pointed = deed.get("all") or any(deed.get(key) for key in ("place", "vessel", "count"))
    grams = deed.get("grams")
    unpacked = loose is not None and grams is not None and loose >= grams and not pointed
    if batch["stock"] and not unpacked:
        return _take_stock(batch, deed)
    if loose is None:
        return 0.0
    taken = loose if deed.get("all") else min(loose, _wanted(deed, loose))
    batch["loose_g"] = loose - taken
    return taken


def _wanted(deed: Deed, held: float) -> float:
    """The mass that a use deed asks for [g], of what is held."""
    if deed.get("grams") is not None:
        return float(deed["grams"])
    return held * float(deed.get("share") or 0.0)


def _take_stock(batch: Batch, deed: Deed) -> float:
    lines = matching(batch, deed)
    held = total(lines)
    if deed.get("all"):
        taken = held or 0.0
        ids = {id(line) for line in lines}
        batch["stock"] = [line for line in batch["stock"] if id(line) not in ids]
        if not batch["stock"] and batch["loose_g"]:
            taken += batch["loose_g"]
            batch["loose_g"] = 0.0
        return taken
    if deed.get("count") is None and len(lines) == 1 and (lines[0]["count"] or 1) <= 1:
        lines[0]["opened"] = True
    if deed.get("grams") is not None:
        taken = take_mass(lines, float(deed["grams"]))
    elif deed.get("count") is not None:
        taken = take_vessels(lines, float(deed["count"]))
    else:
        taken = take_mass(lines, _wanted(deed, held or 0.0))
    batch["stock"] = _left(batch["stock"])
    return taken
