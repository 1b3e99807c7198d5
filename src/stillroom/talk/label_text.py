"""What stands on the labels of the stock: food, dates, mass, hints, allergens."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from stillroom.base.quantity import show
from stillroom.outputs.labels import LabelRecord

if TYPE_CHECKING:
    from stillroom.talk.session import Session

ALLERGENS = frozenset({"celery", "nut", "egg", "milk", "yogurt", "sour cream", "fish"})
"""Canonical foods to be declared in the EU (Regulation 1169/2011, recalled from memory)."""


def label_records(session: Session) -> list[LabelRecord]:
    """One record for each vessel in stock."""
    measure = session.measure or str(session.journal.kitchen().get("measure") or "us")
    records: list[LabelRecord] = []
    for line in session.journal.stock():
        record = _record(line, session, measure)
        records += [record] * max(1, round(line.get("count") or 1))
    return records


def _record(line: Mapping[str, Any], session: Session, measure: str) -> LabelRecord:
    food = str(line.get("food") or "")
    name = session.names.get(food, food) or str(line["batch"])
    pickled = line.get("place") == "fridge" and line.get("form") != "powdered"
    form = str(line.get("form") or "")
    title = f"{name.capitalize()} {'powder' if form == 'powdered' else form}".strip()
    urgent = "Keep refrigerated" if pickled else ""
    must = (f"Contains {food.upper()}",) if food in ALLERGENS else ()
    return LabelRecord(title, tuple(_lines(line, measure, pickled=pickled)), urgent, must=must)


def _lines(line: Mapping[str, Any], measure: str, *, pickled: bool) -> Iterable[str]:
    if line.get("best_by"):
        yield f"{'Eat by' if pickled else 'Best by'} {line['best_by']}"
    yield f"Packed {str(line.get('packed') or '')[:10]}, batch {line['batch']}"
    left = line.get("remaining_g")
    if left:
        yield f"Net {show(left / max(1, line.get('count') or 1), 'g', measure)}"
