"""Putting right what was said: in the note itself, or by a further deed on an earlier event."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from stillroom.base.statement import Statement
from stillroom.journal.draft import Draft
from stillroom.journal.fresh import plan_have
from stillroom.journal.records import Deed, Question, is_open

_FOOD_DEEDS = ("begin", "describe", "load")
_VESSEL_DEEDS = ("condition", "store", "brine", "use")
_FIGURES = {"begin": "fresh_g", "describe": "fresh_g", "load": "fresh_g", "weigh": "grams",
            "use": "grams", "store": "grams", "condition": "grams", "powder": "grams"}  # fmt: skip
_ON_TRAYS = ("trays", "temperature_c", "surface")
_KITCHEN = ("trays", "temperature_c", "altitude_m", "price_per_kwh")
_AMENDABLE = (
    "food", "amount", "size", "cut", "thickness_mm", "prep", "surface", "temperature_c", "trays",
    "hours", "day", "sign", "vessel", "vessel_ml", "vessel_count", "seal", "place", "share",
    "altitude_m", "price_per_kwh", "at",
)  # fmt: skip
_MEANT = re.compile(
    r"(no|sorry|it was|it's|i mean|i meant|that was|not that one|[,. ])*"
    r"((the )?(?P<name>[a-z]+(-[a-z]+)*-\d+)|the other( one| batch| jar| lot)?)[.!]?",
    re.I,
)
_WHEN = (
    (re.compile(r"\b(since|started|loaded|went (in|on)|on the trays)\b", re.I), ("load",)),
    (re.compile(r"\bjarred\b", re.I), ("condition", "store")),
    (re.compile(r"\b(packed|put away)\b", re.I), ("store",)),
)
LIKE = 3.0
"""A new mass is taken for the one put right when it is within this factor of it."""


@dataclass(frozen=True)
class Target:
    """A deed that could be meant: where it is, and the slots it would get."""

    seq: int
    index: int
    deed: Deed
    slots: dict[str, Any]


def is_bare(item: Statement) -> bool:
    """Whether an amend only takes back ("scratch that")."""
    return item.act == "amend" and (
        item.undo or not any(getattr(item, name) not in (None, ()) for name in _AMENDABLE)
    )


def plan_amend(draft: Draft, item: Statement) -> str | None:
    """Change what an earlier statement of the note or an earlier event said."""
    if is_bare(item):
        earlier = [owner for owner in draft.owners if owner < draft.index]
        if earlier:
            draft.drop(max(earlier))
            draft.lines.append("Taken back.")
        return None
    target = _best(item, list(_in_note(draft, item)))
    if target is None and _of_a_mix(draft, item):
        return None
    if target is None:
        target = _best(item, list(_earlier(draft, item)))
        target = None if target and _far_off(draft, item, target) else target
    if target is None:
        target = _other_food(draft, item)
    if target is None:
        return _first_told(draft, item)
    name = target.deed.get("batch")
    if target.seq == draft.seq:
        target.deed.update(target.slots)
        draft.redo()
        _also_load(draft, item, name, target.slots)
    else:
        draft.do("correct", name, event=target.seq, deed=target.index, slots=target.slots)
        if name is None:
            draft.deeds[-1]["kitchen"] = True
    return name


def _first_told(draft: Draft, item: Statement) -> str | None:
    """An amount put right of food that was never told of is simply told now."""
    known = any(batch["food"] == item.food for batch in draft.world.batches.values())
    if item.food is not None and item.amount is not None and not known:
        return plan_have(draft, item)
    draft.questions.append(Question(draft.index, "I do not know what that puts right."))
    return None


def _also_load(draft: Draft, item: Statement, name: str | None, done: dict[str, Any]) -> None:
    """A repair that runs on into the load ("no, four kilos, on five trays")."""
    batch = draft.get(name)
    slots = {key: getattr(item, key) for key in _ON_TRAYS if key not in done}
    told = any(value is not None for value in slots.values())
    if batch is not None and batch["stage"] == "in-hand" and told:
        draft.do("load", name, at=draft.at(item), **slots)


def other_meant(draft: Draft) -> str | None:
    """The batch that a whole note names as the one that was meant ("no, the other one").

    The newest note's deeds on the batch that was taken then move to it.

    Returns:
        The batch's name; None when the note says something else.
    """
    said = _MEANT.fullmatch(draft.note.strip())
    if said is None:
        return None
    event = next(iter(draft.history()), None)
    if event is None:
        return None
    deeds = [(index, deed) for index, deed in enumerate(event["deeds"]) if deed.get("batch")]
    taken = deeds[-1][1]["batch"] if deeds else None
    old = draft.get(taken)
    if old is None or any(deed["do"] in ("begin", "split", "merge") for _, deed in deeds):
        return None
    alike = [name for name, batch in draft.world.batches.items()
             if batch["food"] == old["food"] and name != taken and is_open(batch)]  # fmt: skip
    name = (said["name"] or "").lower() or (alike[0] if len(alike) == 1 else "")
    if name not in alike:
        return None
    for index, deed in deeds:
        if deed["batch"] == taken:
            draft.do("correct", taken, event=event["seq"], deed=index, slots={"batch": name})
    draft.lines.append(f"That was {name}, then.")
    return name


def _in_note(draft: Draft, item: Statement) -> Iterator[Target]:
    """Deeds of this note that the amend fits, newest first."""
    for index in reversed(range(len(draft.deeds))):
        yield from _fit(draft, item, draft.seq, index, draft.deeds[index])


def _earlier(draft: Draft, item: Statement) -> Iterator[Target]:
    """Deeds of earlier events in force that the amend fits, newest first."""
    for event in draft.history():
        for index in reversed(range(len(event["deeds"]))):
            fixed = draft.fixes.get((event["seq"], index), {})
            deed = {**event["deeds"][index], **fixed}
            yield from _fit(draft, item, event["seq"], index, deed)


def _fit(draft: Draft, item: Statement, seq: int, index: int, deed: Deed) -> Iterator[Target]:
    if not _same_subject(draft, item, deed):
        return
    slots = changes(draft, item, deed)
    if slots:
        yield Target(seq, index, deed, slots)


def _same_subject(draft: Draft, item: Statement, deed: Deed) -> bool:
    name = deed.get("batch")
    if deed["do"] == "set":
        return item.food is None
    if item.batch is not None:
        return bool(name == item.batch)
    if item.food is None:
        return True
    batch = draft.seek(name)
    return batch is not None and batch["food"] == item.food


def changes(draft: Draft, item: Statement, deed: Deed) -> dict[str, Any]:
    """The slots of a deed that an amend gives anew; empty when it is about something else."""
    kind = deed["do"]
    slots: dict[str, Any] = {}
    _change_mass(draft, item, deed, slots)
    if kind in _FOOD_DEEDS:
        _change_food(item, deed, slots)
    elif kind in _VESSEL_DEEDS:
        _change_vessel(item, deed, slots)
    elif kind == "look":
        slots |= {"signs": list(item.sign)} if item.sign else {}
        slots |= {"day": item.day} if item.day is not None else {}
    elif kind == "set":
        keys = [key for key in _KITCHEN if key in deed and getattr(item, key) is not None]
        slots |= {key: getattr(item, key) for key in keys}
    if item.at is not None and not slots and _timed(item, kind):
        slots["at"] = min(item.at, draft.now).isoformat()
    return slots


def _timed(item: Statement, kind: str) -> bool:
    """Whether the moment put right is that of such a deed; by the words, else of any."""
    for pattern, kinds in _WHEN:
        if pattern.search(item.text):
            return kind in kinds
    return kind in ("load", "condition", "store", "weigh", "use")


def _change_food(item: Statement, deed: Deed, slots: dict[str, Any]) -> None:
    for key in ("thickness_mm", "size", "surface", "temperature_c", "trays", "place"):
        fits = key in deed or (deed["do"] == "load" and key in _ON_TRAYS)
        if getattr(item, key) is not None and fits:
            slots[key] = getattr(item, key)
    if item.cut is not None and "form" in deed:
        slots["form"] = item.cut


def _change_mass(draft: Draft, item: Statement, deed: Deed, slots: dict[str, Any]) -> None:
    key = _FIGURES.get(deed["do"])
    if item.amount is None or key is None or deed.get(key) is None:
        return
    if item.tray is not None and deed.get("tray") != item.tray:
        return
    fresh = key == "fresh_g"
    grams, guessed = draft.grams(item, item.cut or deed.get("form"), not fresh)
    if grams is None:
        return
    slots[key] = grams
    if fresh:
        slots["fresh_estimated"] = guessed


def _change_vessel(item: Statement, deed: Deed, slots: dict[str, Any]) -> None:
    pairs = (("vessel", "vessel"), ("vessel_ml", "vessel_ml"), ("vessel_count", "count"),
             ("place", "place"), ("seal", "seal"))  # fmt: skip
    if deed["do"] == "use" and "count" not in deed:
        return
    for said, key in pairs:
        if getattr(item, said) is not None:
            slots[key] = getattr(item, said)


def _best(item: Statement, targets: Iterable[Target]) -> Target | None:
    """The deed that the wrong value points at, else the newest of about that size."""
    found = list(targets)
    if item.replaces is not None:
        for target in found:
            if any(_close(target.deed.get(key), item.replaces) for key in target.slots):
                return target
    for target in found:
        if _alike(target):
            return target
    return found[0] if found else None


def _of_a_mix(draft: Draft, item: Statement) -> bool:
    """Whether the note before spoke of a mix with this food in it, which keeps nothing."""
    last = draft.latest
    if last is None or last["kind"] != "ask" or item.food is None:
        return False
    return any(one["act"] == "blend" and one.get("food") == item.food for one in last["statements"])


def _far_off(draft: Draft, item: Statement, target: Target) -> bool:
    """A mass of quite another size than what was told longer ago puts something else right."""
    newest = next(iter(draft.history()), None)
    latest = newest is None or target.seq == newest["seq"]
    return item.amount is not None and item.replaces is None and not latest and not _alike(target)


def _close(old: object, wrong: float) -> bool:
    return isinstance(old, (int, float)) and abs(old - wrong) <= 0.03 * max(abs(wrong), 1e-9)


def _alike(target: Target) -> bool:
    key = _FIGURES.get(target.deed["do"])
    if key is None or key not in target.slots:
        return True
    old, new = float(target.deed[key]), float(target.slots[key])
    return old > 0 and new > 0 and abs(math.log(new / old)) <= math.log(LIKE)


def _other_food(draft: Draft, item: Statement) -> Target | None:
    """The newest batch begun, to be given its right food ("no, those were plums")."""
    told = [name for name in _AMENDABLE if getattr(item, name) not in (None, ())]
    if told != ["food"]:
        return None
    here = [(draft.seq, index, deed) for index, deed in enumerate(draft.deeds)]
    past = ((event["seq"], index, deed) for event in draft.history()
            for index, deed in reversed(list(enumerate(event["deeds"]))))  # fmt: skip
    for seq, index, deed in (*reversed(here), *past):
        if deed["do"] == "begin" and deed.get("food"):
            return Target(seq, index, deed, {"food": item.food})
    return None
