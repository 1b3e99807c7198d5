"""Several vessels in one clause: two jars in the pantry, one in the fridge.

Also what is neither food nor vessel: a part given away, and juice drawn off.
"""

from __future__ import annotations

from dataclasses import replace

from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.items import Item
from stillroom.reader.slots import Slots, first

_GOES = frozenset({"for", "to"})
_KIN_SKIP = frozenset({"my", "our", "the", "his", "her", "old", "next", "little", "big"})
_JUICE = frozenset({"juice", "juices"})
_SOUR = frozenset({"lemon", "lemons", "lime", "limes", "pickle", "pickling"})
"""Such juice is an ingredient, bought or squeezed for its acid, not a by-product."""
_BESIDE = 5
"""An amount belongs to the juice when at most so many words stand between them."""
_MADE = frozenset({"jelly", "jellies", "cordial", "syrup", "jam"})
_TURNS = frozenset({"made", "make", "making", "used", "turned", "boiled", "cooked", "went"})
_YIELDS = frozenset({"gave", "yielded", "got", "collected", "kept", "saved", "caught", "off"})


class Several(Slots):
    """Reads lists of one kind, gifts and juice."""

    def _shelves(self, food: str | None, items: list[Item]) -> list[Draft]:
        """Two jars in the pantry, one in the fridge: a packing for each place."""
        groups: list[list[Item]] = [[]]
        for item in items:
            closed = any(i.kind == "place" for i in groups[-1])
            if closed and item.kind in ("num", "vessel", "amount", "share", "seal"):
                groups.append([])
            groups[-1].append(item)
        placed = [group for group in groups if any(i.kind == "place" for i in group)]
        if len(placed) < 2 or not all(_counts(group) for group in placed):
            return []
        drafts: list[Draft] = []
        for group in groups:
            draft = self._draft("pack", food, [_as_count(item, group) for item in group])
            self._told_count(draft, group)
            if not drafts or "place" in draft.slots:
                drafts.append(draft)
            for name in ("vessel", "vessel_ml"):
                draft.put(name, drafts[0].slots.get(name))
        for draft in drafts[1:]:
            draft.apart = True
        return drafts

    def _told_count(self, draft: Draft, group: list[Item]) -> None:
        """Three jars: two for the larder — the number beside the place is the count."""
        nums = [i.number for i in group if i.kind == "num"]
        if nums and "amount" not in draft.slots:
            draft.slots["vessel_count"] = nums[-1]

    def _given(self, clause: Clause) -> bool:
        """Half of the tomatoes for my sister: a part is given away."""
        part = next(
            (
                i
                for i in clause.items
                if self.words.framed("share", self.lows, i.first) or i.low == "half"
            ),
            None,
        )
        if part is None or clause.has("trays", "heat", "surface", "vessel"):
            return False
        entry = self.words.framed("share", self.lows, part.first)
        if not self._to_kin(part.last + 1, clause.items[-1].last):
            return False
        foods = clause.of("food")
        food = foods[0].value if foods else self.topic or first(self.context.foods)
        if food is None:
            return False
        draft = Draft("use", food, {"share": float(entry.value) if entry else 0.5})
        draft.cover(clause.start, clause.end)
        self._append(draft)
        self.topic = food
        return True

    def _to_kin(self, at: int, last: int) -> bool:
        """Whether something goes to people: "for my sister", "to the neighbours"."""
        for place in range(at, last):
            if self.lows[place] not in _GOES:
                continue
            after = place + 1
            while after <= last and self.lows[after] in _KIN_SKIP:
                after += 1
            if after <= last and self.words.framed("kin", self.lows, after):
                return True
        return False

    # juice

    def _juices(self, clause: Clause, fresh: list[Draft]) -> None:
        """Marks the statements of a clause that speak of juice, or makes one."""
        at = self._juice_word(clause)
        if clause.asks or at is None or self.mode in ("blend", "brine"):
            return
        if any(draft.act in ("blend", "brine", "ask", "amend", "set") for draft in fresh):
            return
        amount = self._juice_amount(clause, at)
        used = self._juice_used(clause)
        if (amount is None and not used) or (at and self.lows[at - 1] in _SOUR):
            return
        told = amount.amount if amount is not None else None
        merged = [d for d in self.drafts[-2:] if told and d.slots.get("amount") == told]
        draft = [*merged, *fresh][-1] if merged or fresh else self._juice_draft(clause)
        draft.act = "use" if used else "have"
        draft.food = self._juice_food(clause, at, used=used)
        draft.slots["juice"] = True
        if told is not None:
            draft.slots["juice_ml"] = told.si_likely
            if draft.slots.get("amount") == told:
                del draft.slots["amount"]  # 600 ml of juice is no 600 ml of plums
        if used and any(i.value == "discard" for i in clause.of("act")):
            draft.sign = ["discarded"]

    def _juice_draft(self, clause: Clause) -> Draft:
        """A statement for a clause that gave none."""
        draft = Draft("have")
        draft.cover(clause.start, clause.end)
        for item in clause.of("place")[:1]:
            draft.put("place", item.value)
        self._append(draft)
        return draft

    def _juice_word(self, clause: Clause) -> int | None:
        words = range(clause.items[0].first, clause.items[-1].last + 1)
        return next((at for at in words if self.lows[at] in _JUICE), None)

    def _juice_amount(self, clause: Clause, at: int) -> Item | None:
        """The amount beside the word: "600 ml of plum juice", "juice kept: 300 ml"."""
        beside = []
        for item in clause.of("amount"):
            if item.amount is None or item.amount.si_unit != "ml":
                continue
            gap = at - item.last - 1 if item.last < at else item.first - at - 1
            between = self.lows[min(item.last, at) + 1 : max(item.first, at)]
            if gap <= _BESIDE and "," not in between and "." not in between:
                beside.append((gap, item))
        return min(beside, key=lambda pair: pair[0])[1] if beside else None

    def _juice_used(self, clause: Clause) -> bool:
        """Whether juice is used up, and not collected ("the plums gave a pint of juice")."""
        words = set(self.lows[clause.items[0].first : clause.items[-1].last + 1])
        if any(item.value == "discard" for item in clause.of("act")):
            return True
        if words & _MADE and words & _TURNS:
            return True
        if words & _YIELDS:
            return False
        return any(item.value == "use" for item in clause.of("act"))

    def _juice_food(self, clause: Clause, at: int, *, used: bool) -> str | None:
        """The food it came from: named before the word, else in the clause, else spoken of."""
        places = (at - 1, *range(clause.items[0].first, clause.items[-1].last + 1))
        named = [food for place in places if place >= 0 and (food := self._food_word(place))]
        if named or used:
            return first(named)
        told = self.drafts[-2].food if len(self.drafts) > 1 else None
        return told or self.topic or first(self.context.foods)

    def _food_word(self, at: int) -> str | None:
        """The food that a word names, also inside a longer phrase: "apple juice" is no apple."""
        for entry in self.words.sense.get(self.lows[at], ()):
            if entry.kind == "food" and tuple(self.lows[at : at + len(entry.head)]) == entry.head:
                return entry.value
        return None


def _counts(group: list[Item]) -> bool:
    return any(item.kind in ("num", "vessel", "amount") for item in group)


def _as_count(item: Item, group: list[Item]) -> Item:
    """A bare number beside a place counts vessels; as a word it would count the food."""
    return replace(item, kind="word") if item.kind == "num" else item
