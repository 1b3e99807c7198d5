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
    name = session.names.get(food, food) or mix_title(line)
    pickled = line.get("place") == "fridge" and line.get("form") != "powdered"
    form = str(line.get("form") or "")
    form = {"powdered": "powder", "mix": ""}.get(form, form)
    title = f"{name.capitalize()} {form}".strip()
    urgent = "Keep refrigerated" if pickled else ""
    held = ([food] if food in ALLERGENS else []) + list(line.get("allergens", ()))
    must = (f"Contains {', '.join(dict.fromkeys(held)).upper()}",) if held else ()
    return LabelRecord(title, tuple(_lines(line, measure, pickled=pickled)), urgent, must=must)


def mix_title(line: Mapping[str, Any]) -> str:
    """What a mix is called, from its batch: "courgette-herb-dip-2" is the herb dip mix.

    >>> mix_title({"batch": "herb-salt-1", "form": "mix"}), mix_title({"batch": "mix-3"})
    ('herb salt mix', 'mix')
    """
    words = str(line["batch"]).rsplit("-", 1)[0].replace("-", " ")
    return words if "mix" in words or line.get("form") != "mix" else f"{words} mix"


def _lines(line: Mapping[str, Any], measure: str, *, pickled: bool) -> Iterable[str]:
    if line.get("best_by"):
        yield f"{'Eat by' if pickled else 'Best by'} {line['best_by']}"
    yield f"Packed {str(line.get('packed') or '')[:10]}, batch {line['batch']}"
    left = line.get("remaining_g")
    if left:
        yield f"Net {show(left / max(1, line.get('count') or 1), 'g', measure)}"
