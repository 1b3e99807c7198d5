"""A list that is a pickle by what stands in it, though nobody calls it one."""

from __future__ import annotations

from stillroom.reader.clause import Clause
from stillroom.reader.items import Item
from stillroom.reader.slots import Slots

_LEAST_ML = 60.0  # less vinegar than this is a rinse or a dip
_SOURED = {"vinegar", "salt", "sugar"}
_BUYING = {"bought", "brought", "brought in", "sold"}
_HAVING = {"got", "have", "had"}


class Pickled(Slots):
    """Knows a pickle by its vinegar."""

    def _soured(self, clause: Clause) -> bool:
        """Vinegar by the cup beside a vegetable, or beside salt or sugar."""
        foods = clause.of("food")
        other = any(item.value not in _SOURED for item in foods)
        bought = _BUYING if other else _BUYING | _HAVING
        if clause.asks or any(i.low in bought for i in clause.of("act")):
            return False
        if len({item.value for item in foods}) < 2:
            return False
        return any(
            item.value == "vinegar" and self._poured(clause.items, item) >= _LEAST_ML
            for item in foods
        )

    def _poured(self, items: list[Item], food: Item) -> float:
        """The volume told of a food, before it or behind it [ml]."""
        place = items.index(food)
        near = items[max(0, place - 2) : place] + items[place + 1 : place + 2]
        return max(
            (i.amount.si_likely for i in near if i.amount and i.amount.si_unit == "ml"),
            default=0.0,
        )

    def _unmeasured(
        self, parts: list[tuple[str | None, list[Item]]]
    ) -> list[tuple[str | None, list[Item]]]:
        """Leaves out flavourings without an amount where the food itself has one."""
        if self.mode not in ("brine", "blend") or not any(
            food not in _SOURED and _measured(items) for food, items in parts
        ):
            return parts
        return [(food, items) for food, items in parts if _measured(items)]


def _measured(items: list[Item]) -> bool:
    return any(item.kind == "amount" for item in items)
