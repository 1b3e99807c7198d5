"""What stands on the labels of the stock: food, dates, mass, hints, allergens."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from stillroom.base.quantity import show
from stillroom.outputs.labels import LabelRecord
from stillroom.tables.kitchen_use import kitchen_use

if TYPE_CHECKING:
    from stillroom.tables.tables import Tables
    from stillroom.talk.session import Session

_WATER = {"hot": "boiling", "warm": "warm"}
_NOUNS = {"": "", "powdered": "powder", "mix": "", "leaves": "leaves", "florets": "florets",
          "strips": "strips", "spears": "spears", "pureed": "leather"}  # fmt: skip
"""Forms that stand after the food's name on a label; the others stand before it."""
_NEVER_SOAKED = frozenset({"powdered", "pureed", "mix", "leaves"})
ALLERGENS = frozenset({"celery", "nut", "egg", "milk", "yogurt", "sour cream", "fish"})
"""Canonical foods to be declared in the EU (Regulation 1169/2011, recalled from memory)."""


def label_records(session: Session) -> list[LabelRecord]:
    """One record for each vessel in stock."""
    measure = session.shown_measure()
    records: list[LabelRecord] = []
    brined = {batch["name"] for batch in session.journal.open_batches() if batch["brined"]}
    for line in session.journal.stock():
        record = _record(line, session, measure, pickled=line["batch"] in brined)
        records += [record] * max(1, round(line.get("count") or 1))
    return records


def _record(
    line: Mapping[str, Any], session: Session, measure: str, *, pickled: bool
) -> LabelRecord:
    food = str(line.get("food") or "")
    name = session.names.get(food, food) or mix_title(line)
    form = str(line.get("form") or "")
    before = ["pickled"] if pickled else []
    before += [form] if form not in _NOUNS else []
    title = " ".join([*before, name, _NOUNS.get(form, "")]).strip()
    title = title[:1].upper() + title[1:]
    urgent = "Keep refrigerated" if pickled else ""
    held = ([food] if food in ALLERGENS else []) + list(line.get("allergens", ()))
    must = (f"Contains {', '.join(dict.fromkeys(held)).upper()}",) if held else ()
    lines = [*_lines(line, measure, pickled=pickled)]
    if not pickled and (hint := soak_line(session.tables, food, str(line.get("form") or ""))):
        lines.append(hint)
    return LabelRecord(title, tuple(lines), urgent, must=must)


def soak_line(tables: Tables, food: str, form: str) -> str:
    """How to bring dried pieces back, by the rows of rehydration_use.csv; empty for the rest.

    Powder is stirred in and leather eaten as it is; herbs go in dry; meat and a mix have rules of
    their own.
    """
    row = tables.foods.get(food)
    if row is None or form in _NEVER_SOAKED or row.group not in ("vegetable", "fruit"):
        return ""
    use = kitchen_use()
    soak = use.soak(food, use.food(food).kind)
    low, high = soak.minutes
    minutes = f"{low:g} to {high:g} min" if low else f"up to {high:g} min"
    water = f"{soak.water[1]:g}".replace(".25", "¼").replace(".5", "½").replace(".75", "¾")
    return f"Soak in {water} times its volume of {_WATER[soak.water_is]} water, {minutes}"


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
