"""What a note says of juice, turned into deeds."""

from __future__ import annotations

import re

from stillroom.base.statement import Statement
from stillroom.journal.draft import Draft
from stillroom.journal.fresh import described, open_of, plan_have
from stillroom.journal.juice import DROP_ML, KEY, juice_of, lots
from stillroom.journal.records import Question

_SWEET = re.compile(r"\b(jell(y|ies)|jams?|cordials?|syrups?)\b", re.I)


def plan_juice(draft: Draft, item: Statement) -> str | None:
    """Juice collected or used; what the same words say of the food itself is kept as well."""
    if item.act == "use":
        return _taken(draft, item)
    if not item.juice_ml:
        return None
    name = _the_food(draft, item)
    batch = draft.get(name)
    salted = "salted" in item.prep or (batch is not None and "salted" in batch["prep"])
    draft.do(
        KEY, None, at=draft.at(item), food=item.food, ml=round(item.juice_ml, 1),
        salted=salted or None, place=item.place,
    )  # fmt: skip
    return name


def _the_food(draft: Draft, item: Statement) -> str | None:
    """The batch that the juice came from, with what is newly said of it; none is begun for it."""
    own = item.amount
    if own is not None and own.si_unit == "ml" and own.si_likely == item.juice_ml:
        own = None
    food = item.having(amount=own, juice=False, place=None)
    if own is not None:
        return plan_have(draft, food)
    near = open_of(draft, food, ("in-hand", "drying")) if food.food else []
    if not near:
        return None
    if food.prep or food.cut:
        draft.do("describe", near[0]["name"], **described(food))
    return near[0]["name"]


def _taken(draft: Draft, item: Statement) -> str | None:
    """Juice made into jelly, drunk, or thrown out."""
    held = sum(lot["ml"] for lot in juice_of(lots(draft.world), item.food))
    if held < DROP_ML:
        draft.questions.append(Question(
            draft.index, "I have no juice written down to take that from. How much was kept?"
        ))  # fmt: skip
        return None
    if item.juice_ml and item.juice_ml > held + DROP_ML:
        draft.lines.append("That is more juice than was written down; I took all of it.")
    jelly = bool(_SWEET.search(draft.sentence(item)))
    draft.do(
        KEY, None, at=draft.at(item), food=item.food, ml=item.juice_ml, out=True,
        unsalted=jelly or None,
    )  # fmt: skip
    return None
