"""Weights told tray by tray: "tray 2: 640 g, tray 1: 610 g"."""

from __future__ import annotations

from stillroom.base.quantity import units
from stillroom.base.statement import Amount
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.items import Item
from stillroom.reader.slots import Slots


class Trays(Slots):
    """Reads a list of trays with what each weighs."""

    def _by_tray(self, clause: Clause) -> bool:
        """One weighing for each tray that is named with a weight."""
        named = clause.of("traynumber")
        foods = clause.of("food")
        if not named or clause.has("prep", "cut", "heat", "surface", "neg") or len(foods) > 1:
            return False
        if foods and (len(named) < 2 or foods[0].first > named[0].first):
            return False  # one tray of a food named is a statement as any other
        pairs = [(tray, self._weight_of(tray, clause)) for tray in named]
        if any(amount is None for _, amount in pairs):
            return False
        if any(item.value != "weigh" for item in clause.of("act")):
            return False
        food = foods[0].value if foods else self._near(clause)
        self._seen_with(food, clause)
        self.topic = food
        for tray, amount in pairs:
            draft = Draft("weigh", food)
            draft.slots.update(amount=amount, tray=int(tray.number))
            draft.cover(tray.start, self._stop(tray, clause))
            self._append(draft)
        return True

    def _seen_with(self, food: str | None, clause: Clause) -> None:
        """Brittle: tray one 70 g, tray two 64 g — the look that comes with the weights."""
        signs = [item for item in clause.of("sign") if not item.negated]
        if signs:
            look = Draft("look", food, sign=list(dict.fromkeys(item.value for item in signs)))
            look.cover(signs[0].start, signs[-1].end)
            self._append(look)

    def _after(self, tray: Item, clause: Clause) -> Item | None:
        """The weight after a tray and before the next one."""
        place = clause.items.index(tray)
        for item in clause.items[place + 1 :]:
            if item.kind == "traynumber":
                return None
            mass = item.kind == "amount" and item.amount and item.amount.si_unit == "g"
            if mass or item.kind == "num":
                return item
        return None

    def _stop(self, tray: Item, clause: Clause) -> int:
        item = self._after(tray, clause)
        return item.end if item else tray.end

    def _weight_of(self, tray: Item, clause: Clause) -> Amount | None:
        """What a tray weighs; a bare number has the unit of another tray's weight."""
        item = self._after(tray, clause)
        if item is None or item.amount is not None:
            return item.amount if item else None
        told = [i.amount for i in clause.of("amount") if i.amount]
        told += [d.slots["amount"] for d in reversed(self.drafts[-3:]) if "amount" in d.slots]
        other = next(iter(told), None)
        if other is None or other.si_unit != "g":
            return None
        unit = units()[other.unit]
        return Amount(unit.id, "g", value=item.number, si=item.number * unit.si)
