"""Saying back what was read, short enough to check at a glance."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from stillroom.base.quantity import show
from stillroom.base.statement import Amount, Statement

_VERBS = {
    "have": "", "load": "on the trays:", "weigh": "weighed:", "look": "looked at:",
    "pack": "packed:", "use": "used:", "blend": "in the mix:", "brine": "in the pickle:",
    "ask": "asked:", "amend": "put right:", "set": "kitchen:",
}  # fmt: skip
_PLACES = {"fridge": "in the fridge", "freezer": "in the freezer", "shelf": "on the shelf"}
_SIZES = {237: "half-pint", 473: "pint", 946: "quart", 1893: "half-gallon"}
_ABOUT = {"use-first": "what to use first", "due": "what is due", "safe": "whether it is safe"}


def plain_amount(amount: Amount) -> str:
    """An amount in the speaker's own unit.

    >>> plain_amount(Amount("lb", "g", 8.0, 3628.7))
    '8 lb'
    """
    unit = "" if amount.unit == "count" else f" {amount.unit}"
    if amount.value is not None:
        return f"{_plain(amount.value)}{unit}"
    return f"{_plain(amount.low)}–{_plain(amount.high)}{unit}"


def _plain(value: float | None) -> str:
    """A number as a person writes it: no exponent.

    >>> _plain(2.5), _plain(1e9)
    ('2.5', '1,000,000,000')
    """
    number = value or 0.0
    return f"{number:g}" if abs(number) < 10_000 else f"{number:,.0f}"


def _details(item: Statement, measure: str) -> Iterable[str]:
    if item.size:
        yield item.size
    if item.cut:
        thick = f" {show(item.thickness_mm, 'mm', measure)}" if item.thickness_mm else ""
        yield item.cut + thick
    elif item.thickness_mm:
        yield show(item.thickness_mm, "mm", measure)
    yield from item.prep
    if item.surface:
        yield item.surface.replace("-", " ")
    if item.trays is not None:
        yield f"{item.trays:g} tray{'' if item.trays == 1 else 's'}"
    yield from _kitchen(item)
    if item.tray is not None:
        yield f"tray {item.tray}"
    if item.temperature_c is not None:
        yield show(item.temperature_c, "degC", measure)
    if item.hours is not None:
        yield f"{item.hours * 60:.0f} min" if item.hours < 1 else f"{item.hours:g} h"
    if item.day is not None:
        yield f"day {item.day}"
    yield from _signs_and_vessel(item)


def _capacity(ml: float) -> str:
    """What a vessel holds, by the name of its size where it has one.

    >>> _capacity(946), _capacity(500)
    ('quart', '500 ml')
    """
    return _SIZES.get(round(ml)) or show(ml, "ml", "metric", both=False)


def _kitchen(item: Statement) -> Iterable[str]:
    if item.altitude_m is not None:
        yield f"{item.altitude_m:,.0f} m up"
    if item.humidity is not None:
        yield f"{100 * item.humidity:.0f} % humidity"
    if item.price_per_kwh is not None:
        yield f"{item.price_per_kwh:g} {item.currency or ''}".rstrip() + " a kWh"
    if item.measure:
        yield f"{item.measure} measures"


def _signs_and_vessel(item: Statement) -> Iterable[str]:
    yield from (sign.replace("no-mould", "no mould").replace("-", " ") for sign in item.sign)
    if item.vessel or item.vessel_ml:
        count = f"{item.vessel_count:g} × " if item.vessel_count else ""
        size = f"{_capacity(item.vessel_ml)} " if item.vessel_ml else ""
        yield f"{count}{size}{item.vessel or 'vessel'}"
    if item.seal:
        yield {"vacuum": "vacuum sealed", "heat": "heat sealed"}.get(item.seal, "lid on")
    if item.place:
        yield _PLACES.get(item.place, item.place)


def _said(item: Statement, names: Mapping[str, str], measure: str, before: Statement | None) -> str:
    """A statement in words; what the one before in the same line has said is left out."""
    if item.act == "amend" and item.undo:
        return "taken back: your last note"
    same = before is not None and before.food == item.food and not item.amount
    food = names.get(item.food, item.food) if item.food and not same else ""
    if item.juice:
        food = _juice(item, food, measure)
    amount = plain_amount(item.amount) if item.amount else ""
    clear = item.act == "load" and item.amount is not None and before is None
    verb = "" if clear or (before and before.act == item.act) else _VERBS[item.act]
    if item.act == "blend" and not item.food:
        verb = ""
    if item.act == "ask":
        about = _ABOUT.get(item.about or "", (item.about or "something").replace("-", " "))
        verb = f"asked: {about}" + ("," if food else "")
    head = " ".join(part for part in (verb, amount, food) if part)
    details = ", ".join(part for part in dict.fromkeys(_details(item, measure)) if part)
    if not details:
        return head.rstrip(":")
    glue = "" if not head else " " if head.endswith(":") else ", "
    return head + glue + details


def _juice(item: Statement, food: str, measure: str) -> str:
    """The juice, after the food where its own amount was told as well."""
    juice = "juice" if item.juice_ml is None else f"{show(item.juice_ml, 'ml', measure)} of juice"
    return f"{food}, {juice}" if item.amount else f"{juice} of {food}" if food else juice


def echo_lines(
    statements: Sequence[Statement], names: Mapping[str, str], measure: str
) -> list[str]:
    """What was read, a line for each batch, in the order of the note."""
    groups: dict[object, list[Statement]] = {}
    for index, item in enumerate(statements):
        undo = item.act == "amend" and item.undo
        key: object = index if undo else item.batch or item.food or item.act
        if item.act in ("blend", "brine", "amend") and not undo:
            key = item.act, item.batch
        groups.setdefault(key, []).append(item)
    return [line for group in groups.values() if (line := _group(group, names, measure))]


def _group(group: Sequence[Statement], names: Mapping[str, str], measure: str) -> str:
    parts: list[str] = []
    before: Statement | None = None
    for item in group:
        text = _said(item, names, measure, before)
        if text and text not in parts:
            parts.append(text)
        before = item
    return "; ".join(parts)
