"""What takes back or changes something said."""

from __future__ import annotations

from dataclasses import replace

from stillroom.reader.clauses import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.slots import Slots, first


class Repairs(Slots):
    """Reads repairs."""

    def _amend(self, clause: Clause) -> bool:
        if clause.asks:
            return False
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
        undo = self.words.framed("undo", self.lows, at) if at <= clause.items[-1].last else None
        repair = self.words.framed("repair", self.lows, at) if at <= clause.items[-1].last else None
        begins = at > first.first and head in ("no", "sorry", "wait", "actually")
        inner = next((item for item in clause.items[1:] if (found := self.words.framed("repair", self.lows, item.first))
                      and len(found.head) > 1), None)  # fmt: skip
        if undo is None and repair is None and not begins:
            if inner is None:
                return False
            place = clause.items.index(inner)
            before, after = (
                Clause(clause.items[:place], sentence=clause.sentence),
                clause.items[place:],
            )
            self._clause(before)
            self._change(Clause(after, sentence=clause.sentence), undo=False)
            return True
        values = clause.of(
            "amount", "trays", "heat", "length", "num", "hours", "food", "vessel", "cut", "day"
        )
        if begins and not values:
            return False
        if (
            begins
            and repair is None
            and clause.has("act", "prep", "sign")
            and not clause.of("amount", "trays", "num")
        ):
            return False
        self._change(clause, undo=undo is not None and not values)
        return True

    def _change(self, clause: Clause, *, undo: bool) -> None:
        draft = Draft("amend")
        draft.cover(clause.start, clause.end)
        if undo:
            draft.slots["undo"] = True
        else:
            foods = clause.of("food")
            draft.food = foods[-1].value if foods else self.topic or first(self.context.foods)
            self._fill(draft, clause.items, kitchen=False)
            self._bare_change(draft, clause)
        self._append(draft)

    def _bare_change(self, draft: Draft, clause: Clause) -> None:
        """Make that four: the unit is that of the amount put right."""
        nums = clause.of("num")
        old = next(
            (d.slots["amount"] for d in reversed(self.drafts) if d.slots.get("amount")), None
        )
        if (
            nums
            and "amount" not in draft.slots
            and "temperature_c" not in draft.slots
            and old is not None
        ):
            size = (old.si or old.si_high or 0.0) / max(old.value or old.high or 1.0, 1e-9)
            value = nums[-1].number
            draft.slots["amount"] = replace(
                old, value=value, si=value * size, low=None, high=None, si_low=None, si_high=None
            )
