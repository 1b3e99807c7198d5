"""Powders, dry mixes and refrigerator pickles, turned into deeds."""

from __future__ import annotations

from typing import Any

from stillroom.base.statement import SEASONINGS, Statement
from stillroom.journal.draft import Draft
from stillroom.journal.due import best_by
from stillroom.journal.fresh import begin, described, open_of, split
from stillroom.journal.hints import is_ground, is_mix, is_more, is_short, is_topped
from stillroom.journal.jars import vessels
from stillroom.journal.records import Batch, Made, is_open
from stillroom.journal.stock import fresh_left, present
from stillroom.journal.uses import short_of
from stillroom.journal.world import hours_between


def make_mix(draft: Draft, item: Statement, made: Made) -> str:
    """A mix of a recipe: what it takes leaves its batches, and the mix becomes stock."""
    name = draft.name_for(made.stem)
    draft.do("begin", name, at=draft.at(item))
    parts = [
        {key: value for key, value in (("batch", batch), ("food", food), ("grams", grams)) if value}
        for batch, food, grams in made.parts
    ]
    draft.do("blend", name, at=draft.at(item), form="mix", best_by=made.best_by,
             allergens=list(made.allergens) or None, **{"from": parts})  # fmt: skip
    draft.speak(name)  # not its parts: "put it in three jars" is of the mix
    if item.vessel or item.vessel_ml or item.vessel_count or item.place:
        draft.do("store", name, mode="repack", **vessels(draft, item))
    return name


def plan_blend(draft: Draft, item: Statement) -> str | None:
    """One food ground, or the parts of a dry mix; and the vessel, when the stretch names it."""
    name = _blended(draft, item)
    batch = draft.get(name)
    if batch is not None and item.vessel and batch["dried"]:
        mode = "repack" if batch["stock"] else "add"
        draft.do("store", name, mode=mode, **vessels(draft, item))
    return name


def _blended(draft: Draft, item: Statement) -> str | None:
    mix = _mix_of_note(draft)
    grinds = item.cut == "powdered" and not _is_part(draft, item, mix)
    if mix is not None and item.food is not None and not grinds:
        return _add_part(draft, item, mix)
    if item.cut == "powdered" and not grinds:
        return _new_mix(draft, item)
    if item.food is None and item.batch is None and item.cut != "powdered":
        return _new_mix(draft, item)
    batch = draft.pick(item)
    if item.cut == "powdered" or (item.amount is None and batch is not None):
        return _grind(draft, item, batch)
    return _new_mix(draft, item)


def _is_part(draft: Draft, item: Statement, mix: str | None) -> bool:
    """Whether a powder goes into a mix, and is not ground just now."""
    if item.food is None or item.amount is None or is_ground(item.text):
        return False
    return mix is not None or is_mix(draft.sentence(item))


def _mix_of_note(draft: Draft) -> str | None:
    mixes = [deed["batch"] for deed in draft.deeds if deed["do"] == "blend"]
    return mixes[-1] if mixes and draft.get(mixes[-1]) is not None else None


def _grind(draft: Draft, item: Statement, batch: Batch | None) -> str | None:
    if batch is None:
        if item.food is None:
            return None
        name = draft.name_for(item.food)
        grams, _ = draft.grams(item, item.cut, True)
        draft.do("begin", name, food=item.food, at=draft.at(item), dried=True)
        draft.do("blend", name, at=draft.at(item), form=item.cut or "powdered", grams=grams)
        return name
    held = present(batch)
    grams, _ = draft.grams(item, batch["form"], True)
    if item.share is not None and held is not None:
        grams = held * item.share
    if grams is not None and held is not None and grams < 0.9 * held:
        name = draft.name_for(item.food or batch["food"])
        draft.do("begin", name, food=batch["food"], at=draft.at(item))
        draft.do("blend", name, at=draft.at(item), form=item.cut or "powdered",
                 **{"from": [{"batch": batch["name"], "grams": grams}]})  # fmt: skip
        return name
    draft.do("powder", batch["name"], at=draft.at(item), form=item.cut or "powdered", grams=grams)
    return batch["name"]


def _new_mix(draft: Draft, item: Statement) -> str:
    name = draft.name_for(None, "mix")
    draft.do("begin", name, at=draft.at(item))
    draft.do("blend", name, at=draft.at(item), form="mix", **_part(draft, item))
    draft.speak(name)
    return name


def _part(draft: Draft, item: Statement) -> dict[str, Any]:
    """What a statement puts in: its batch and mass [g]; best-by and allergens of all so far."""
    grams, _ = draft.grams(item, item.cut, True)
    stored = None
    if item.food is not None and item.food not in SEASONINGS:
        asked = len(draft.questions)
        spoken = list(draft.spoken)
        stored = draft.pick(item, ("stored", "conditioning"))
        draft.spoken = spoken
        del draft.questions[asked:]
    if stored is not None:
        short_of(draft, stored, grams)
    source = {"batch": stored["name"] if stored else None, "food": item.food, "grams": grams}
    part: dict[str, Any] = {
        "from": [{key: value for key, value in source.items() if value is not None}]
    }
    if stored is not None:
        part["best_by"] = _best_by(draft, stored)
    return part | {"allergens": _allergens(draft, item.food, stored)}


def _best_by(draft: Draft, batch: Batch) -> str | None:
    """The earliest best-by of what is left of a batch."""
    ends = [end for line in batch["stock"] if (end := best_by(batch, line, draft.know))]
    return min(ends).isoformat() if ends else None


def _allergens(draft: Draft, food: str | None, batch: Batch | None) -> list[str]:
    own = draft.know.allergen(food) if food else ""
    return sorted({*(batch["allergens"] if batch else ()), *([own] if own else ())})


def _add_part(draft: Draft, item: Statement, mix: str) -> str:
    """A further part of the mix of this note: its deed grows."""
    deed = next(deed for deed in reversed(draft.deeds)
                if deed["do"] == "blend" and deed["batch"] == mix)  # fmt: skip
    part = _part(draft, item)
    deed["from"] = [*deed.get("from", []), *part["from"]]
    ends = [end for end in (deed.get("best_by"), part.get("best_by")) if end]
    if ends:
        deed["best_by"] = min(ends)
    deed["allergens"] = sorted({*deed.get("allergens", ()), *part["allergens"]})
    draft.redo()
    draft.speak(mix)
    return mix


def plan_brine(draft: Draft, item: Statement) -> str | None:
    """Refrigerator pickles: the food, and each part of the brine."""
    if item.amount is None and is_short(draft.sentence(item)):
        return _brined_lately(draft, item)  # "two jars are short": nothing new is pickled
    here = [deed["batch"] for deed in draft.deeds if deed["do"] == "brine"]
    if item.food in SEASONINGS or ((item.food is None or item.dried) and here):
        name = here[-1] if here else _brined_lately(draft, item)
        if name is None:
            return None
        draft.do("brine", name, at=draft.at(item), parts=_brine_part(draft, item),
                 **_brine_vessel(draft, item))  # fmt: skip
        return name
    name = _pickled_batch(draft, item)
    if name is None:
        return None
    grams, guessed = draft.grams(item, item.cut, False)
    batch = draft.get(name)
    slots = {key: described(item)[key] for key in ("form", "thickness_mm", "prep")}
    if grams is not None and batch is not None and batch["fresh_g"] is None:
        draft.do("describe", name, fresh_g=grams, fresh_estimated=guessed or None)
    draft.do("brine", name, at=draft.at(item), **slots, **_brine_vessel(draft, item))
    return name


def _brine_vessel(draft: Draft, item: Statement) -> dict[str, Any]:
    slots = vessels(draft, item)
    del slots["at"]
    slots["place"] = slots["place"] or "fridge"
    return slots


def _brine_part(draft: Draft, item: Statement) -> dict[str, float] | None:
    if item.amount is None or item.food is None:
        return None
    unit = "g" if item.amount.si_unit == "g" else "ml"
    return {f"{item.food}_{unit}": item.amount.si_likely}


def _brined_lately(draft: Draft, item: Statement) -> str | None:
    """Brine told without its food: the food of this note, else the pickles made within a day."""
    for name in reversed(draft.spoken):
        batch = draft.get(name)
        if batch is not None and batch["stage"] in ("in-hand", "refrigerated"):
            return name
    topped = is_topped(draft.sentence(item))
    made = [
        batch
        for batch in draft.world.batches.values()
        if batch["brined"]
        and is_open(batch)
        and (topped or 0 <= hours_between(batch["brined"], draft.at(item)) <= 24)
    ]
    newest = max(made, key=lambda batch: batch["touched"], default=None)
    return newest["name"] if newest else None


def _pickled_batch(draft: Draft, item: Statement) -> str | None:
    if item.batch and item.batch in draft.world.batches:
        return item.batch
    if item.food is None:
        near = draft.pick(item, ("in-hand",))
        return near["name"] if near else begin(draft, item)
    hand = [] if is_more(item.text) else open_of(draft, item, ("in-hand",))
    for batch in hand:
        grams, _ = draft.grams(item, item.cut, False)
        held = fresh_left(batch)
        if grams is None or not held or 0.6 <= grams / held <= 1.15:
            return batch["name"]
        if grams < held:
            first, _rest = split(draft, batch, grams / held, draft.at(item), item.cut)
            return first
    made = open_of(draft, item, ("refrigerated",))
    further = item.amount is not None or item.vessel_count is not None or is_more(item.text)
    if made and (is_topped(draft.sentence(item)) or not further):
        return made[0]["name"]
    return begin(draft, item)
