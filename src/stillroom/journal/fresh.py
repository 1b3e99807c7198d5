"""Fresh food: what is in hand, what goes on the trays, and food that goes back to the dryer."""

from __future__ import annotations

import re
from typing import Any

from stillroom.base.statement import Statement
from stillroom.journal.draft import Draft
from stillroom.journal.hints import (
    goes_back,
    is_more,
    is_reduced,
    points_back,
    rest_cut,
    share_said,
)
from stillroom.journal.records import Batch, Question, is_open
from stillroom.journal.stock import fresh_left
from stillroom.journal.world import hours_between

ATTACH = (0.6, 1.15)
"""A load of this part of the food in hand is that food; less splits it, more is other food."""
SAME = 0.02
"""Amounts closer than this are the same amount said again."""
AGAIN_H = 2.0
"""The same bare amount said again within this time is the same lot told twice [h]."""
RECENT_H = 24.0
_ANY_STAGE = ("in-hand", "refrigerated", "drying", "conditioning", "stored")
_HAVING = re.compile(r"((i|we)( have|'ve|'ve got| have got| got)|got|there('s| are)) [^,.]*\b"
                     r"(jars?|bags?|tins?|bottles?|tubs?)$", re.I)  # fmt: skip


def described(item: Statement) -> dict[str, Any]:
    """The slots of a statement that describe food and trays."""
    return {
        "form": item.cut, "size": item.size, "thickness_mm": item.thickness_mm,
        "prep": list(item.prep) or None, "surface": item.surface, "trays": item.trays,
        "temperature_c": item.temperature_c, "place": item.place,
    }  # fmt: skip


def open_of(draft: Draft, item: Statement, stages: tuple[str, ...]) -> list[Batch]:
    """Open batches of the statement's food at these stages, the newest touched first."""
    named = draft.get(item.batch)
    of_food = [batch for batch in draft.world.batches.values() if batch["food"] == item.food]
    of_food = of_food if named is None else [named]
    found = [batch for batch in of_food if is_open(batch) and batch["stage"] in stages]
    return sorted(found, key=lambda batch: (-batch["touched"], -_number(batch["name"])))


def _number(name: str) -> int:
    tail = name.rpartition("-")[2]
    return int(tail) if tail.isdecimal() else 0


def begin(draft: Draft, item: Statement, **slots: Any) -> str:
    """Start a batch with what is said of it."""
    name = draft.name_for(item.food)
    grams, guessed = (None, False) if item.dried else draft.grams(item, item.cut, False)
    draft.do(
        "begin", name, food=item.food, at=draft.at(item), fresh_g=grams,
        fresh_estimated=guessed or None, **{**described(item), "vessel": item.vessel, **slots},
    )  # fmt: skip
    return name


# have


def plan_have(draft: Draft, item: Statement) -> str | None:
    """Food in hand, or more said about it."""
    if item.food is None and item.batch is None:
        return _more_said(draft, item)
    if item.dried or item.cut == "powdered":
        return _have_dried(draft, item)
    if item.share is not None or item.which == "rest":
        split = split_off(draft, item, ("in-hand", "drying"))
        if split:
            return split
    if _empties(item):
        return next((one["name"] for one in open_of(draft, item, _ANY_STAGE)), None)
    batch = _same_food(draft, item)
    if batch is None:
        return _begin_and_divide(draft, item)
    _describe_again(draft, item, batch)
    return batch["name"]


def _empties(item: Statement) -> bool:
    """I've four litre jars: vessels that stand ready, with nothing said of food in them."""
    told = (item.amount, item.cut, item.thickness_mm, item.size, item.trays, item.surface,
            item.temperature_c, item.place, item.seal)  # fmt: skip
    jars = item.vessel_count is not None and not item.prep and not item.sign
    return jars and all(slot is None for slot in told) and _HAVING.match(item.text) is not None


def _begin_and_divide(draft: Draft, item: Statement) -> str:
    """New food in hand; where its own stretch divides it, two batches of it."""
    name = begin(draft, item)
    batch, share, other = draft.get(name), share_said(item.text), rest_cut(item.text)
    if batch is None or share is None or other is None or other == item.cut:
        return name
    first, second = split(draft, batch, share, draft.at(item), item.cut)
    draft.do("describe", second, form=other)
    draft.speak(first)
    return first


def _more_said(draft: Draft, item: Statement) -> str | None:
    batch = draft.pick(item, ("in-hand", "drying"))
    if batch is None:
        return None
    _describe_again(draft, item, batch)
    return batch["name"]


def _same_food(draft: Draft, item: Statement) -> Batch | None:
    """The food in hand that a further word is about; None when it is other food."""
    if item.batch and item.batch in draft.world.batches:
        return draft.world.batches[item.batch]
    if _further(draft, item):
        return None
    fits = open_of(draft, item, ("in-hand",))
    if item.amount is None:
        return _without_amount(draft, item, fits)
    grams, _ = draft.grams(item, item.cut, False)
    for batch in fits:
        if batch["fresh_g"] is None or (grams and _same(grams, batch["fresh_g"])):
            if not _same_form(item, batch):
                return None
            return None if _brought_again(draft, item, batch) else batch
        smaller = grams is not None and grams < batch["fresh_g"]
        if smaller and is_reduced(draft.sentence(item)) and _same_form(item, batch):
            return batch
    return None


def _further(draft: Draft, item: Statement) -> bool:
    """Whether it is other food than before: another kilo, more plums."""
    text = draft.sentence(item)
    lead = text[: text.find(item.text) + len(item.text)] if item.text in text else item.text
    return is_more(lead if item.amount is not None else item.text) or item.which == "another"


def _brought_again(draft: Draft, item: Statement, batch: Batch) -> bool:
    """Whether the same amount said again is a second lot.

    Said at once, or with something new ("the 2 kg plums, halved"), it is the same lot described
    again. Said hours later, as bare as before, somebody brought as much again; that is asked.
    """
    hours = hours_between(batch["begun"], draft.at(item))
    new = [step for step in item.prep if step not in batch["prep"]]
    new += [item.cut] if item.cut not in (None, batch["form"]) else []
    new += ["thickness"] if item.thickness_mm not in (None, batch["thickness_mm"]) else []
    if hours < AGAIN_H or new or points_back(draft.sentence(item)):
        return False
    draft.questions.append(Question(
        draft.index, f"Is that a second lot, or {draft.tell(batch['name'])} told again? I took it "
        "as a second lot; say “scratch that” if it is the same.", (batch["name"],),
    ))  # fmt: skip
    return True


def _without_amount(draft: Draft, item: Statement, fits: list[Batch]) -> Batch | None:
    for batch in fits:
        if _same_form(item, batch):
            return batch
    if not item.prep and item.cut is None:
        return None
    for batch in open_of(draft, item, ("drying",)):
        since = batch["loaded"] or batch["begun"]
        if _same_form(item, batch) and 0 <= hours_between(since, draft.at(item)) <= RECENT_H:
            return batch
    return None


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= SAME * max(one, other)


def _same_form(item: Statement, batch: Batch) -> bool:
    if item.cut is None or batch["form"] is None or item.cut == batch["form"]:
        return True
    return batch["form"] == "whole"


def _describe_again(draft: Draft, item: Statement, batch: Batch) -> None:
    grams, guessed = draft.grams(item, item.cut or batch["form"], False)
    slots = {**described(item), "vessel": item.vessel}
    if grams is not None and batch["fresh_g"] is None:
        slots |= {"fresh_g": grams, "fresh_estimated": guessed or None}
    elif (grams is not None and batch["fresh_estimated"] and not guessed) or (
        grams is not None and not guessed and not _same(grams, batch["fresh_g"] or 0.0)
    ):
        slots |= {"prepared_g": grams}
    draft.do("describe", batch["name"], **slots)


def _have_dried(draft: Draft, item: Statement) -> str | None:
    """Dried food or powder that stands somewhere: stock, once it is known at all."""
    known = open_of(draft, item, ("stored", "conditioning"))
    if known and item.amount is None:
        return known[0]["name"]
    name = draft.name_for(item.food)
    grams, _ = draft.grams(item, item.cut, True)
    draft.do("begin", name, food=item.food, at=draft.at(item), form=item.cut, dried=True)
    draft.do(
        "store", name, at=draft.at(item), vessel=item.vessel, vessel_ml=item.vessel_ml,
        count=item.vessel_count, grams=grams, place=item.place, seal=item.seal,
        dated=item.dated or None,
    )  # fmt: skip
    return name


def split_off(draft: Draft, item: Statement, stages: tuple[str, ...]) -> str | None:
    """Two batches of one ("half of the tomatoes sliced, the rest for powder")."""
    fits = open_of(draft, item, stages) if item.food else []
    if item.food is None:
        near = draft.pick(item, stages)
        fits = [] if near is None or near["stage"] not in stages else [near]
    if not fits:
        return None
    batch = fits[0]
    if item.which == "rest" and item.share is None:
        rest = [other for other in fits if other["parents"]]
        target = rest[0] if rest else batch
        if rest and rest[0]["name"] == (draft.spoken or [""])[-1] and len(rest) > 1:
            target = rest[1]
        draft.do("describe", target["name"], **described(item))
        return target["name"]
    share = item.share or 1.0
    if share >= 0.999:
        return None
    first, second = split(draft, batch, share, draft.at(item), item.cut)
    other = rest_cut(item.text)
    if other and other != item.cut:
        draft.do("describe", second, form=other)
    draft.do("describe", first, **described(item))
    return first


def split(
    draft: Draft, batch: Batch, share: float, at: str, form: str | None = None
) -> tuple[str, str]:
    """Divide a batch in two; returns the names of the part and of the rest."""
    stem = batch["food"]
    first, second = draft.name_for(stem), draft.name_for(stem)
    parts: list[dict[str, Any]] = [{"batch": first, "share": share},
                                   {"batch": second, "share": 1.0 - share}]  # fmt: skip
    if form:
        parts[0]["form"] = form
    draft.do("split", batch["name"], parts=parts, at=at)
    draft.lines.append(f"{batch['name']} is now {first} and {second}.")
    draft.speak(second)
    draft.speak(first)
    return first, second


# load


def plan_load(draft: Draft, item: Statement) -> str | None:
    """Food on trays: food in hand, food that goes back, or a batch not told of before."""
    if item.share is not None or item.which == "rest":
        part = split_off(draft, item, ("in-hand",))
        if part:
            return _put_on(draft, item, part)
    found = _what_is_loaded(draft, item)
    if found is not None:
        return found
    if item.food is None:
        return None
    return _put_on(draft, item, begin(draft, item))


def _what_is_loaded(draft: Draft, item: Statement) -> str | None:
    named = draft.get(item.batch)
    if named is None and item.food is None:
        named = draft.pick(item, ("in-hand", "drying", "conditioning", "stored"))
        if named is None:
            return None
    if named is not None:
        item = item.having(batch=named["name"])
        found = _load_amount(draft, item, more=False) if item.amount is not None else None
        return found or _put_on(draft, item, named["name"])
    more = is_more(draft.sentence(item)) or item.which == "another"
    if item.amount is not None:
        return _load_amount(draft, item, more=more)
    return None if more else _load_no_amount(draft, item)


def _load_no_amount(draft: Draft, item: Statement) -> str | None:
    back = goes_back(draft.sentence(item))
    jarred = open_of(draft, item, ("conditioning",))
    ill = [batch for batch in jarred if batch["redry"]]
    hand = [batch for batch in open_of(draft, item, ("in-hand",)) if _same_form(item, batch)]
    order = [ill, jarred if back else [], hand, open_of(draft, item, ("drying",))]
    if back:
        order += [open_of(draft, item, ("stored",))]
    order += [jarred]
    if item.cut is not None and not back and not ill:
        order = [hand, [b for b in open_of(draft, item, ("drying",)) if b["form"] == item.cut]]
    for fits in order:
        if fits:
            return _put_on(draft, item, _best_of(draft, item, fits)["name"])
    return None


def _best_of(draft: Draft, item: Statement, fits: list[Batch]) -> Batch:
    """Of several, the one that the words point at, else the newest."""
    if len(fits) > 1:
        picked = draft.pick(item.having(batch=None), (fits[0]["stage"],))
        if picked is not None and picked["name"] in [batch["name"] for batch in fits]:
            return picked
    return fits[0]


def _load_amount(draft: Draft, item: Statement, *, more: bool) -> str | None:
    """A load with an amount: food in hand of about that much, a part of more, else other food."""
    back = goes_back(draft.sentence(item)) and not more
    if back:
        fits = open_of(draft, item, ("conditioning", "stored"))
        if fits:
            return _put_on(draft, item, fits[0]["name"])
    grams, _ = draft.grams(item, item.cut, False)
    hand = [batch for batch in open_of(draft, item, ("in-hand",)) if _same_form(item, batch)]
    if more or not hand:
        if not more:
            _ask_twice(draft, item, grams)
        return None
    for batch in hand:
        held = fresh_left(batch)
        ratio = None if grams is None or not held else grams / held
        if ratio is None or ATTACH[0] <= ratio <= ATTACH[1]:
            _describe_again(draft, item, batch)
            return _put_on(draft, item.having(amount=None), batch["name"])
    batch = hand[0]
    held = fresh_left(batch)
    if grams is not None and held and grams < ATTACH[0] * held:
        first, _rest = split(draft, batch, grams / held, draft.at(item), item.cut)
        return _put_on(draft, item, first)
    return None


def _ask_twice(draft: Draft, item: Statement, grams: float | None) -> None:
    """The same load told again at once may be the same food: it is kept as new, and asked."""
    for batch in open_of(draft, item, ("drying",)):
        since = hours_between(batch["loaded"] or batch["begun"], draft.at(item))
        same = grams and batch["fresh_g"] and _same(grams, batch["fresh_g"])
        alike = item.cut == batch["form"] and item.trays == batch["trays"]
        if same and alike and 0 <= since < AGAIN_H and batch["touched"] != draft.seq:
            draft.questions.append(Question(
                draft.index, f"Is that a second load, or {draft.tell(batch['name'])} told again? I "
                "took it as a second; say “scratch that” if it is the same.", (batch["name"],),
            ))  # fmt: skip
            return


def _put_on(draft: Draft, item: Statement, name: str) -> str:
    slots = described(item)
    draft.do("load", name, at=draft.at(item), **slots)
    return name
