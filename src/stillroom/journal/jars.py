"""Jars: into one to condition, out of it into store, ground, mixed, or in brine."""

from __future__ import annotations

import re
from typing import Any

from stillroom.base.statement import Statement
from stillroom.base.wrap import wrap_words
from stillroom.journal.draft import Draft
from stillroom.journal.fresh import open_of, split
from stillroom.journal.hints import is_labelled, is_more, is_together, to_condition
from stillroom.journal.records import Batch, Question, is_open
from stillroom.journal.stock import present

_THE_MIX = re.compile(r"\b(the|that|this|my|our) (mix|blend)\b", re.I)
_KEEPING_VESSELS = ("bag", "vacuum-bag", "tin", "box", "bottle")
_KEEPING_SEALS = ("vacuum", "heat")
_WAITING_PLACES = ("counter",)


def vessels(draft: Draft, item: Statement) -> dict[str, Any]:
    """What a statement says of vessels, with its moment."""
    return {
        "at": draft.at(item), "vessel": item.vessel, "vessel_ml": item.vessel_ml,
        "count": item.vessel_count, "place": item.place, "seal": item.seal,
        "dated": (item.dated or is_labelled(item.text)) or None,
        **({"wrap": wrap} if (wrap := wrap_words(item.text)) else {}),
    }  # fmt: skip


def plan_pack(draft: Draft, item: Statement) -> str | None:
    """Into a jar to condition, or packed and put away."""
    if _unknown_mix(draft, item):
        draft.questions.append(Question(draft.index, "I know of no mix yet: what went into it?"))
        return None
    merged = _together(draft, item)
    batch = draft.get(merged) or _what_is_packed(draft, item)
    if batch is None:
        batch = _not_told_before(draft, item)
    if batch is None:
        return None
    if _only_labels(item, batch):
        return _label(draft, item, batch)
    part = _portion(draft, item, batch)
    if _conditions(draft, item, batch):
        return _into_conditioning(draft, item, batch, part)
    _put_away(draft, item, batch, part)
    return batch["name"]


def _unknown_mix(draft: Draft, item: Statement) -> bool:
    """Sealed the mix in a jar, when none is kept: no other food is meant by it."""
    if item.food is not None or item.batch is not None or not _THE_MIX.search(item.text):
        return False
    return all(batch["form"] != "mix" for batch in draft.world.batches.values() if is_open(batch))


def _what_is_packed(draft: Draft, item: Statement) -> Batch | None:
    if item.batch and item.batch in draft.world.batches:
        return draft.world.batches[item.batch]
    order: tuple[str, ...]
    if to_condition(draft.sentence(item)):
        order = ("drying", "conditioning", "in-hand", "stored")
    elif item.cut == "powdered":
        order = ("stored", "conditioning", "drying", "in-hand")
    else:
        order = ("conditioning", "drying", "in-hand", "stored", "refrigerated")
    dried = _dried_on_trays(draft, item)
    if dried and "drying" in order and item.food:
        ripe = [name for name in draft.spoken if name in {batch["name"] for batch in dried}]
        if ripe:
            return draft.get(ripe[-1])
    if item.food and not to_condition(draft.sentence(item)):
        order = _by_ripeness(draft, item, dried, order)
    return draft.pick(item, order)


def _by_ripeness(
    draft: Draft, item: Statement, dried: list[Batch], order: tuple[str, ...]
) -> tuple[str, ...]:
    """What has done its days in the jar is packed before what came off the trays just now."""
    jarred = open_of(draft, item, ("conditioning",))
    bare_jar = not _keeps(draft, item)
    if jarred and dried and bare_jar:
        return ("drying", *[stage for stage in order if stage != "drying"])
    return order


def _dried_on_trays(draft: Draft, item: Statement) -> list[Batch]:
    return [batch for batch in draft.world.batches.values()
            if is_open(batch) and batch["stage"] == "drying" and batch["dried"]
            and item.food in (None, batch["food"])]  # fmt: skip


def _not_told_before(draft: Draft, item: Statement) -> Batch | None:
    """Something packed that the journal did not know of: it is stock from now on."""
    if item.food is None:
        return None
    name = draft.name_for(item.food)
    draft.do("begin", name, food=item.food, at=draft.at(item), form=item.cut, dried=True)
    return draft.get(name)


def _keeps(draft: Draft, item: Statement) -> bool:
    """Whether the words speak of keeping: a place, a tight seal, a bag or tin, a date."""
    return bool(
        item.vessel in _KEEPING_VESSELS
        or item.seal in _KEEPING_SEALS
        or (item.place is not None and item.place not in _WAITING_PLACES)
        or item.dated
        or is_labelled(item.text)
        or item.cut == "powdered"
    )


def _conditions(draft: Draft, item: Statement, batch: Batch) -> bool:
    text = draft.sentence(item)
    if batch["brined"] or batch["form"] in ("powdered", "mix"):
        return False
    if to_condition(text):
        return True
    if batch["stage"] not in ("drying", "in-hand") or _keeps(draft, item):
        return False
    if batch["stage"] == "in-hand" and batch["loaded"] is None:
        return False
    traits = draft.know.of(batch["food"])
    if traits.group == "herb":
        return False
    return traits.conditioning_days > 0 and batch["form"] != "pureed"


def _portion(draft: Draft, item: Statement, batch: Batch) -> float | None:
    """The mass that is packed [g], when said."""
    if item.share is not None and item.which != "rest":
        held = present(batch)
        return None if held is None else held * item.share
    if item.amount is None or item.amount.si_unit == "count":
        return None
    grams, guessed = draft.grams(item, batch["form"], True)
    return None if guessed and present(batch) is not None else grams


def _into_conditioning(draft: Draft, item: Statement, batch: Batch, grams: float | None) -> str:
    """A jar to condition; part of a stored or drying batch becomes a batch of its own."""
    held = present(batch)
    name = batch["name"]
    share = item.share if item.which != "rest" else None
    if grams is not None and held and grams < 0.6 * held:
        share = grams / held
    if share is not None and share < 0.999:
        name, _rest = split(draft, batch, share, draft.at(item))
        grams = None
    draft.do("condition", name, grams=grams,
             **{key: value for key, value in vessels(draft, item).items()
                if key not in ("seal", "dated", "wrap")})  # fmt: skip
    return name


def _put_away(draft: Draft, item: Statement, batch: Batch, grams: float | None) -> None:
    slots = vessels(draft, item)
    mode = "add"
    packed_now = batch["name"] in _packed_here(draft)
    more = is_more(item.text) or item.which == "another"
    nothing_loose = not batch["loose_g"] and bool(batch["stock"])
    if nothing_loose and grams is not None:
        mode = "move" if any(line["grams"] for line in batch["stock"]) else "add"
    elif nothing_loose and grams is None:
        mode = "share" if packed_now or more else "repack"
    if mode == "repack":
        slots = _as_before(item, batch, slots)
    draft.do("store", batch["name"], grams=grams, mode=mode, **slots)
    if item.cut and item.cut != batch["form"] and batch["form"] is None:
        draft.do("describe", batch["name"], form=item.cut)


def _packed_here(draft: Draft) -> set[str]:
    """The batches that this note packed already."""
    return {deed["batch"] for deed in draft.deeds if deed["do"] == "store"}


def _as_before(item: Statement, batch: Batch, slots: dict[str, Any]) -> dict[str, Any]:
    """Moved to another place: the vessels stay what they were where nothing else is said."""
    if len(batch["stock"]) != 1:
        return slots
    line = dict(batch["stock"][0])
    keys: tuple[str, ...] = ("vessel", "vessel_ml", "count", "seal", "place", "dated", "wrap")
    if item.vessel not in (None, line["vessel"]):
        keys = ("place",)
    elif item.vessel_ml or item.vessel_count:
        keys = ("vessel", "vessel_ml", "seal", "place")
    kept = {key: line[key] for key in keys if key in line}
    return {**kept, **{key: value for key, value in slots.items() if value is not None}}


def _only_labels(item: Statement, batch: Batch) -> bool:
    """Whether nothing is packed and the vessels only get their date ("labelled the carrots")."""
    said = (item.vessel, item.vessel_ml, item.vessel_count, item.place, item.seal, item.amount)
    labelled = item.dated or is_labelled(item.text)
    return bool(batch["stock"]) and labelled and not any(said)


def _label(draft: Draft, item: Statement, batch: Batch) -> str:
    draft.do("label", batch["name"], at=draft.at(item))
    return batch["name"]


# together


def _together(draft: Draft, item: Statement) -> str | None:
    """Batches tipped into one: a new batch that holds what they held."""
    text = draft.sentence(item)
    wide = item.which in ("both", "all") and (item.vessel_count or 1) <= 1
    if item.food is None or not (wide or is_together(text)):
        return None
    fits = open_of(draft, item, ("drying", "conditioning"))
    dry = [batch for batch in fits if batch["dried"]]
    fits = dry if len(dry) > 1 else fits
    if len(fits) < 2:
        fits = [*fits, *open_of(draft, item, ("stored",))][:2]
    if len(fits) < 2:
        return None
    fits = sorted(fits, key=lambda batch: batch["begun"])
    name = draft.name_for(item.food)
    draft.do("begin", name, food=item.food, at=draft.at(item))
    draft.do("merge", name, at=draft.at(item), **{"from": [{"batch": b["name"]} for b in fits]})
    draft.lines.append(f"{' and '.join(b['name'] for b in fits)} are now {name}.")
    return name


# ground and mixed


# brine
