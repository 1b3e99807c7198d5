"""Short answers: what a few words mean after our own question."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from stillroom.base.quantity import unit_for
from stillroom.base.statement import Amount, Context, Statement
from stillroom.reader.drafts import celsius
from stillroom.reader.items import Item
from stillroom.reader.lexicon import lexicon

_LONGEST = 10
_KINDS = {
    "amount": "amount", "thickness_mm": "length", "cut": "cut", "temperature_c": "heat",
    "trays": "trays", "surface": "surface", "hours": "hours", "size": "size",
    "vessel": "vessel", "place": "place", "food": "food",
}  # fmt: skip


def short_answer(note: str, items: Sequence[Item], context: Context) -> Statement | None:
    """The statement that a short answer makes, or None where the note is no answer.

    Args:
        note: the whole note.
        items: its items.
        context: ``asked`` names the slot that was asked for, ``foods[0]`` the food.
    """
    asked = context.asked
    if asked not in _KINDS or len(items) > _LONGEST:
        return None
    if asked != "food" and any(item.kind in ("food", "undo") for item in items):
        return None
    if _puts_right(items, context):
        return None
    slots = _slot(asked, items, context)
    if not slots:
        return None
    food = slots.pop("food", None) or (context.foods[0] if context.foods else None)
    return Statement(
        act="have", text=note.strip(), start=len(note) - len(note.lstrip()), end=len(note.rstrip()),
        food=food, batch=context.asked_batch, **slots,
    )  # fmt: skip


def _puts_right(items: Sequence[Item], context: Context) -> bool:
    """No, 250: the amount said last is put right, whatever was asked."""
    lows = [item.low for item in items]
    opens = bool(items) and (
        lows[0] in ("no", "nope", "sorry", "wait", "actually")
        or lexicon().framed("repair", lows, 0) is not None
    )
    return opens and bool(context.last) and context.last[-1].amount is not None


def _slot(asked: str, items: Sequence[Item], context: Context) -> dict[str, Any]:
    item = next((item for item in items if item.kind == _KINDS[asked]), None)
    extra: dict[str, Any] = {}
    cut = next((item.value for item in items if item.kind == "cut"), None)
    if cut and asked in ("thickness_mm", "amount"):
        extra["cut"] = cut
    if item is None:
        number = next((item.number for item in items if item.kind == "num"), None)
        return {**_bare(asked, number, context), **extra} if number is not None else {}
    value: Any = item.value
    if asked == "amount":
        value = item.amount
    elif asked in ("thickness_mm", "hours", "trays"):
        value = item.number
    elif asked == "temperature_c":
        value = celsius(item.number, item.scale, context.measure, kitchen=False)
    return {asked: value, **extra}


def _bare(asked: str, number: float, context: Context) -> dict[str, Any]:
    """A bare number takes the unit of the question and of the speaker's measure."""
    metric = context.measure == "metric"
    if asked == "amount":
        unit = unit_for("kg" if metric else "lb")
        if unit is None:
            return {}
        return {"amount": Amount(unit.id, "g", value=number, si=number * unit.si)}
    if asked == "thickness_mm":
        return {asked: number * 25.4 if number < 1 and not metric else number}
    if asked == "temperature_c":
        return {asked: celsius(number, "", context.measure, kitchen=False)}
    return {asked: number} if asked in ("hours", "trays") else {}
