"""What takes back or changes something said."""

from __future__ import annotations

import re
from dataclasses import replace

from stillroom.base.statement import Amount
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft, celsius
from stillroom.reader.items import Item
from stillroom.reader.slots import Slots, first
from stillroom.reader.times import Times

_LACKING = (["fresh"], ["dried"], ["more"], ["spare"], ["sign"])  # no fresh mint: none is there
_FORGET = re.compile(r"(forget|leave out|ignore|exclude) (about )?[a-z]+(-[a-z]+)*-\d+\b", re.I)
_VALUES = ("amount", "trays", "heat", "length", "num", "hours")


class Repairs(Slots):
    """Reads repairs."""

    def _amend(self, clause: Clause) -> bool:
        if clause.asks:
            return False
        if self._contrasts(clause):
            self._change(clause, undo=False)
            return True
        first = clause.items[0]
        at = first.first
        while at <= clause.items[-1].last and self.lows[at] in (
            "no",
            "oh",
            "um",
            "uh",
            "er",
            "actually",
            ",",
            "so",
            "and",
            "but",
            "sorry",
            "wait",
            "hang",
            "on",
        ):
            at += 1
        head = self.lows[first.first]
        if self._forgets(clause):
            return True
        undo = self.words.framed("undo", self.lows, at) if at <= clause.items[-1].last else None
        repair = self.words.framed("repair", self.lows, at) if at <= clause.items[-1].last else None
        lacking = head == "no" and self.lows[first.first + 1 : first.first + 2] in _LACKING
        begins = not lacking and at > first.first and head in ("no", "sorry", "wait", "actually")
        inner = next((item for item in clause.items[1:] if self._mends(item, clause)), None)
        if undo is None and repair is None and not begins:
            if inner is None:
                return False
            place = clause.items.index(inner)
            before, after = (
                Clause(clause.items[:place], sentence=clause.sentence),
                clause.items[place:],
            )
            self._read_clause(before)
            self._put_right(Clause(after, sentence=clause.sentence), undo=False)
            return True
        values = clause.of(
            "amount", "trays", "heat", "length", "num", "hours", "food", "vessel", "cut", "day"
        )
        if begins and not values and undo is None:
            return False
        if (
            begins
            and repair is None
            and clause.has("act", "prep", "sign")
            and not clause.of("amount", "trays", "num")
        ):
            return False
        self._put_right(clause, undo=undo is not None and not values)
        return True

    def _put_right(self, clause: Clause, *, undo: bool) -> None:
        """The repair, and what the same breath goes on with: "sorry six kilos and some plums"."""
        items = clause.items
        value = next((k for k, item in enumerate(items) if item.kind in _VALUES), len(items))
        for place in range(value + 1, len(items)):
            later = Clause(items[place + 1 :], sentence=clause.sentence)
            if items[place].low == "and" and later.has("food"):
                self._change(Clause(items[:place], sentence=clause.sentence), undo=undo)
                self._read_clause(later)
                return
        self._change(clause, undo=undo)

    def _contrasts(self, clause: Clause) -> bool:
        """410, not 140: a bare contrast of two values puts something right."""
        past = {"was", "were"} & set(self.lows[clause.items[0].first : clause.items[-1].last + 1])
        values = [i for i in clause.items if i.kind in (*_VALUES, "neg", "traynumber")]
        middle = [k for k, i in enumerate(values) if i.kind == "neg"]
        if (
            past
            and middle
            and 0 < middle[0] < len(values) - 1
            and not clause.has("sign", "prep", "cut")
        ):
            return True
        kinds = [i.kind for i in clause.items if i.kind not in ("mark", "filler", "join", "word")]
        return len(kinds) == 3 and kinds[1] == "neg" and kinds[0] in _VALUES and kinds[2] in _VALUES

    def _mends(self, item: Item, clause: Clause) -> bool:
        """Whether a repair begins at an item: several words, or "sorry" and "no" with a value."""
        found = self.words.framed("repair", self.lows, item.first)
        if found is not None and len(found.head) > 1:
            return True
        if item.low not in ("sorry", "no"):
            return False
        after = clause.items[clause.items.index(item) + 1 :]
        return bool(after) and after[0].kind in ("amount", "heat", "length", "trays")

    def _forgets(self, clause: Clause) -> bool:
        """Forget that batch."""
        entry = self.words.framed("which", self.lows, clause.items[0].first)
        named = _FORGET.match(self.note[clause.start : clause.end])
        if named is None and (entry is None or entry.value != "forget"):
            return False
        draft = Draft(
            "amend", first(clause_foods(clause)) or self.topic or first(self.context.foods)
        )
        draft.slots["which"] = "forget"
        draft.cover(clause.start, clause.end)
        self._append(draft)
        return True

    def _change(self, clause: Clause, *, undo: bool) -> None:
        draft = Draft("amend")
        draft.cover(clause.start, clause.end)
        if undo:
            draft.slots["undo"] = True
        else:
            foods = clause.of("food")
            meant = [i for i in foods if not self._denied(i)] or foods
            draft.food = meant[-1].value if meant else self.topic or first(self.context.foods)
            items = self._replaced(draft, clause)
            self._fill(draft, items, kitchen=False)
            self._bare_heat_items(draft, items)
            if not self._other_time(draft, clause):
                self._bare_change(draft, clause)
        self._append(draft)

    def _other_time(self, draft: Draft, clause: Clause) -> bool:
        """No, since seven: the moment is put right, not the amount."""
        if clause.has("amount", "trays", "heat", "length"):
            return False
        times = Times(self.lows, self.context.now, repair=True)
        moment = times.find(clause.items[0].first, clause.items[-1].last)
        if moment is None:
            return False
        draft.slots.pop("replaces", None)
        draft.slots.pop("temperature_c", None)
        draft.put("at", moment)
        return True

    def _denied(self, item: Item) -> bool:
        """It's aubergine, not pumpkin."""
        before = self.lows[max(0, item.first - 2) : item.first]
        return before[-1:] == ["not"] or (before[:1] == ["not"] and before[-1:] == ["the"])

    def _replaced(self, draft: Draft, clause: Clause) -> list[Item]:
        """410, not 140: the value denied is the one replaced."""
        values = [i for i in clause.items if i.kind in _VALUES]
        if (
            len(values) > 1
            and "said" in self.lows[clause.items[0].first : clause.items[-1].last + 1]
        ):
            draft.slots["replaces"] = (
                values[0].amount.si_likely if values[0].amount else values[0].number
            )
            last = values[-1]
            return [
                replace(last, kind=values[0].kind)
                if last.kind == "num" and values[0].kind == "trays"
                else last
            ]
        denied = next((k for k, item in enumerate(clause.items) if item.kind == "neg" and k), None)
        if denied is None or not any(i.kind in _VALUES for i in clause.items[:denied]):
            return clause.items
        wrong = next((i for i in clause.items[denied + 1 :] if i.kind in (*_VALUES, "clock")), None)
        if wrong is not None:
            draft.slots["replaces"] = wrong.amount.si_likely if wrong.amount else wrong.number
        return clause.items[:denied]

    def _bare_change(self, draft: Draft, clause: Clause) -> None:
        """Make that four: the unit is that of the amount put right."""
        nums = clause.of("num")
        bare = bool(nums) and set(draft.slots) == {"replaces"}
        weighed = any(d.slots.get("amount") for d in self.drafts)
        if bare and not weighed and 30 <= nums[0].number <= 200:
            heat = celsius(nums[0].number, "", self.context.measure, kitchen=False)
            draft.slots["temperature_c"] = heat
        old = self._old_amount(draft, weighed=clause.has("traynumber"))
        if (
            nums
            and "amount" not in draft.slots
            and old is not None
            and ("temperature_c" not in draft.slots or old.si_unit == "g")
        ):
            size = (old.si or old.si_high or 0.0) / max(old.value or old.high or 1.0, 1e-9)
            value = nums[0].number if "replaces" in draft.slots else nums[-1].number
            draft.slots.pop("temperature_c", None)
            draft.slots["amount"] = replace(
                old, value=value, si=value * size, low=None, high=None, si_low=None, si_high=None
            )

    def _old_amount(self, draft: Draft, *, weighed: bool) -> Amount | None:
        """The amount put right: the one denied, or the last; of a tray the last weight."""
        told = [d.slots["amount"] for d in reversed(self.drafts) if d.slots.get("amount")]
        told += [s.amount for s in reversed(self.context.last) if s.amount]
        wrong = draft.slots.get("replaces")
        same = next((one for one in told if wrong and wrong in (one.value, one.si)), None)
        if same is not None or not weighed:
            return same or next(iter(told), None)
        masses = [one for one in told if one.si_unit == "g"]
        return next(iter(masses), Amount("g", "g", value=1.0, si=1.0))


def clause_foods(clause: Clause) -> list[str]:
    """The foods named in a clause."""
    return [item.value for item in clause.of("food")]
