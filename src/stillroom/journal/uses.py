"""Taking out, giving away, throwing out; and leaving a batch out of what is learned."""

from __future__ import annotations

import re
from typing import Any

from stillroom.base.statement import Statement
from stillroom.journal.deeds import touched_by
from stillroom.journal.draft import Draft
from stillroom.journal.hints import batch_named, forgets, is_all, is_one_vessel, is_put_in, is_some
from stillroom.journal.jars import plan_pack
from stillroom.journal.looks import unknown
from stillroom.journal.records import DRIED_STAGES, Batch, Question
from stillroom.journal.stock import matching, present

_HALF = re.compile(
    r"\bhalf (of )?(an?|one|another) ([\w-]+ ){0,2}?(jar|bag|tin|box|bottle)\b", re.I
)


def plan_use(draft: Draft, item: Statement) -> str | None:
    """Something is taken out, given away or thrown out."""
    if forgets(item.text):
        return exclude(draft, item)
    if _is_packing(item):
        return plan_pack(draft, item)
    batch = draft.pick(item) or _unknown_use(draft, item)
    if batch is None:
        return None
    grams, _ = draft.grams(item, batch["form"], True)
    text = draft.sentence(item)
    discarded = "discarded" in item.sign
    slots: dict[str, Any] = {"grams": grams, "share": item.share, "place": item.place}
    slots |= _half_vessel(item, batch) or _vessels_taken(item, batch)
    if item.amount is None and item.share is None and "count" not in slots:
        unsaid = discarded and not is_some(item.text)
        wide = item.which in ("all", "rest") or is_all(item.text) or is_all(_own(item, text))
        if unsaid or wide or _one_vessel(item, batch):
            slots["all"] = True
    if batch["stage"] in ("stored", "refrigerated"):
        slots["vessel"], slots["vessel_ml"] = item.vessel, item.vessel_ml
    short_of(draft, batch, grams)
    draft.do("use", batch["name"], at=draft.at(item), discarded=discarded or None, **slots)
    return batch["name"]


def short_of(draft: Draft, batch: Batch, grams: float | None) -> None:
    """Say what a batch lacks of what is taken from it; more than there is is never taken."""
    held = present(batch)
    if grams is None or held is None or not batch["stock"] or grams <= held * 1.05 + 1:
        return
    draft.lines.append(
        f"{batch['name']} held only {held:.0f} g: it is short of {grams - held:.0f} g, and no more "
        "than there was is taken."
    )


def _half_vessel(item: Statement, batch: Batch) -> dict[str, Any]:
    """Half a bag: half of what one of its vessels holds; the vessel itself stays."""
    if item.amount is not None or not _HALF.search(item.text):
        return {}
    told = {"place": item.place, "vessel": item.vessel, "vessel_ml": item.vessel_ml}
    line = next(iter(matching(batch, {**told, "do": "use"})), None)
    if line is None or line["grams"] is None:
        return {}
    return {"grams": line["grams"] / (line["count"] or 1.0) / 2, "share": None, "count": None}


def _vessels_taken(item: Statement, batch: Batch) -> dict[str, Any]:
    """Whole vessels that are used or thrown out: of stock, or of several conditioning jars."""
    if item.amount is not None or item.share is not None:
        return {}
    count = item.vessel_count
    several = sum(line["count"] or 1 for line in batch["stock"]) > 1
    whole = item.vessel and several and item.which not in ("all", "rest")
    if count is None and whole and is_one_vessel(item.text):
        count = 1.0
    if count is None:
        return {}
    jar = batch["jar"]
    if batch["stock"]:
        return {"count": count}
    if jar is None or (jar["count"] or 1) <= count:
        return {}
    return {"count": count, "share": count / (jar["count"] or 1)}


def _is_packing(item: Statement) -> bool:
    """A powder that "went in a jar" was put away, not eaten."""
    told = item.amount or item.share or "discarded" in item.sign
    return not told and item.vessel is not None and is_put_in(item.text)


def _own(item: Statement, text: str) -> str:
    """The sentence, when it holds little more than the statement."""
    return text if len(text) < 2 * len(item.text) + 12 else ""


def _one_vessel(item: Statement, batch: Batch) -> bool:
    """Whether the only vessel there is is meant ("used the jar of leeks")."""
    return (
        item.vessel is not None
        and len(batch["stock"]) == 1
        and (batch["stock"][0]["count"] or 1) <= 1
        and item.vessel == batch["stock"][0]["vessel"]
    )


def _unknown_use(draft: Draft, item: Statement) -> Batch | None:
    """Thrown out without ever being told of is still a batch with an end; used is only asked."""
    if "discarded" in item.sign:
        return unknown(draft, item, "stored")
    if item.food is not None:
        draft.questions.append(Question(
            draft.index, f"I have no {item.food} written down to take that from. Was it packed?"
        ))  # fmt: skip
    return None


def exclude(draft: Draft, item: Statement) -> str | None:
    """A batch is left out of what the journal learns from."""
    named = batch_named(item.text)
    name = item.batch if item.batch in draft.world.batches else None
    name = named if named and draft.take(named) else name or _newest_done(draft, item)
    if name is None:
        draft.questions.append(Question(draft.index, "Which batch shall I leave out?"))
        return None
    draft.do("exclude", name)
    draft.lines.append(f"I leave {name} out of what I learn from.")
    return name


def _newest_done(draft: Draft, item: Statement) -> str | None:
    """The newest batch that something is learned from; one still drying taught nothing yet."""
    fits = [batch for batch in draft.world.batches.values() if item.food in (None, batch["food"])]
    done = [batch for batch in fits if batch["stage"] in DRIED_STAGES]
    if done:
        return max(done, key=lambda batch: (batch["touched"], batch["name"]))["name"]
    for event in draft.history():
        for name in reversed(touched_by(event)):
            batch = draft.seek(name)
            fit = batch is not None and item.food in (None, batch["food"])
            if batch is not None and fit and batch["stage"] in DRIED_STAGES and draft.take(name):
                return name
    newest = max(fits, key=lambda batch: batch["touched"], default=None)
    return newest["name"] if newest else None
