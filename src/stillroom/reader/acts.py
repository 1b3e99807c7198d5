"""The statements that one part of a clause makes, once its act is known."""

from __future__ import annotations

from stillroom.reader.choosing import Choosing
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.items import Item
from stillroom.reader.several import Several

_NEGATED_SIGN = {"mould": "no-mould", "clumping": "loose"}


class Acts(Choosing, Several):
    """Makes the statements of a part."""

    def _facets(self, food: str | None, items: list[Item], clause: Clause) -> list[Draft]:
        verbs = {item.value for item in clause.of("act")}
        if self._broken(clause):
            verbs.add("discard")
        signs = signs_of(items)
        day = next((item for item in items if item.kind == "day"), None)
        if food and day is None and self._conditions_in(items):
            return self._put_to_condition(food, items, signs, day)
        act = self._act(food, items, clause, verbs, bool(signs or day))
        if act is None:
            return []
        if food is None and not self._foodless(act, clause):
            return []
        if act == "use" and "discard" in verbs:
            return self._thrown(food, items, clause)
        if act == "look":
            return self._looks(food, items, signs, day)
        if act == "pack" and (shelves := self._shelves(food, items)):
            return shelves
        told = [i for i in items if not (self._former(i, items) or self._seen_after(i, items))]
        main = self._draft(act, food, _kept(act, told))
        if act == "have" and not self._had(main, clause):
            return []
        seen = [i for i in items if i.kind in ("sign", "day") or self._seen_after(i, items)]
        look = self._look(food, seen, signs, day) if act != "pack" or signs else None
        return [look, main] if look else [main]

    def _put_to_condition(
        self, food: str, items: list[Item], signs: list[str], day: Item | None
    ) -> list[Draft]:
        """How it looked, and that it went into the conditioning jar."""
        seen = [i for i in items if i.kind in ("sign", "day")]
        look = self._look(food, seen, signs, day)
        packed = self._draft("pack", food, [i for i in items if i not in seen])
        return [look, packed] if look else [packed]

    def _broken(self, clause: Clause) -> bool:
        """Dropped a jar of plums: what was in it goes in the bin."""
        places = range(clause.items[0].first, clause.items[-1].last + 1)
        return clause.has("vessel") and any(
            self.words.framed("broken", self.lows, at) for at in places
        )

    def _foodless(self, act: str, clause: Clause) -> bool:
        """Whether an act may stand without a food: a mix, its packing, the jars just shaken."""
        last = self.drafts[-1] if self.drafts else None
        if act in ("blend", "brine") or (act == "pack" and self._mixed()):
            return True
        if act == "look" and last is not None and last.act == "look" and last.food is None:
            return True
        return act in ("pack", "use", "look", "weigh") and self._of_mix(clause)

    def _seen_after(self, item: Item, items: list[Item]) -> bool:
        """1.3 kg, still tacky after 11 hours: the time is of the look."""
        if item.kind != "hours" or item.first < 2 or self.lows[item.first - 1] != "after":
            return False
        weighed = any(i.kind == "amount" and i.last < item.first for i in items)
        return weighed and any(i.kind == "sign" and i.last == item.first - 2 for i in items)

    def _former(self, item: Item, items: list[Item]) -> bool:
        """520 g from the six kilos: what it came from is not what it weighs."""
        if item.kind != "amount" or sum(i.kind == "amount" for i in items) < 2:
            return False
        before = self.lows[max(0, item.first - 2) : item.first]
        return "from" in before or before == ["out", "of"]

    def _thrown(self, food: str | None, items: list[Item], clause: Clause) -> list[Draft]:
        """Thrown out, and the look that gives the reason, in the order said."""
        day = next((item for item in items if item.kind == "day"), None)
        main = self._draft("use", food, [i for i in items if i.kind not in ("sign", "day")])
        main.sign = ["discarded"]
        other = self._look(food, items, signs_of(items), day)
        if other is None:
            return [main]
        if clause.has("food") and main.slots.get("vessel"):
            for name in ("vessel", "vessel_ml", "vessel_count"):
                other.slots.pop(name, None)
        first_sign = min((i.start for i in items if i.kind == "sign"), default=0)
        thrown = next((i.start for i in clause.of("act") if i.value == "discard"), 0)
        return [other, main] if first_sign < thrown else [main, other]

    def _looks(
        self, food: str | None, items: list[Item], signs: list[str], day: Item | None
    ) -> list[Draft]:
        """A look, and the weight told with it."""
        look = self._look(food, items, signs, day)
        if look is None:
            return []
        mass = [i for i in items if i.kind == "amount" and i.amount and i.amount.si_unit == "g"]
        if not mass:
            return [look]
        look.slots.pop("amount", None)
        return [look, self._draft("weigh", food, mass[-1:])]

    def _had(self, main: Draft, clause: Clause) -> bool:
        """Whether a have stands; the sack that a weighed food came in is not its vessel."""
        amount = main.slots.get("amount")
        if amount and amount.si_unit == "g" and main.slots.get("vessel") in ("bag", "box"):
            for name in ("vessel", "vessel_count", "vessel_ml"):
                main.slots.pop(name, None)
        return self._worth(main, clause)

    def _worth(self, draft: Draft, clause: Clause) -> bool:
        """Whether a have says enough: a place or a size alone, of nothing named, does not."""
        if not self._meant(clause) and not set(draft.slots) - {
            "place",
            "size",
            "vessel",
            "vessel_count",
        }:
            return bool(draft.prep)
        return bool(set(draft.slots) - {"size"} or draft.prep) or self._brought(clause)

    def _look(
        self, food: str | None, items: list[Item], signs: list[str], day: Item | None
    ) -> Draft | None:
        if not signs and day is None:
            return None
        kept = [i for i in items if i.kind not in ("amount", "sign", "place", "trays", "seal")]
        draft = self._draft("look", food, [i for i in kept if not self._all_jars(i, items)])
        draft.sign = signs
        for item in items:
            if item.kind in ("sign", "day"):
                draft.cover(item.start, item.end)
        if day is not None:
            draft.slots["day"] = int(day.number)
        return draft

    def _all_jars(self, item: Item, items: list[Item]) -> bool:
        """The jars gone round ("update on the jars: …") are no vessel of one food."""
        named = next((i.first for i in items if i.kind == "food"), -1)
        after = self.lows[item.last + 1] if item.last + 1 < len(self.lows) else ""
        plural = item.low.endswith("s") and item.count is None
        return item.kind == "vessel" and plural and item.first < named and after != "of"


def signs_of(items: list[Item]) -> list[str]:
    """The signs that items name, denied ones turned into their opposite or left out."""
    out: list[str] = []
    for item in items:
        if item.kind != "sign":
            continue
        value: str | None = item.value
        if item.negated:
            value = _NEGATED_SIGN.get(item.value)
        if value and value not in out:
            out.append(value)
    return out


def _kept(act: str, items: list[Item]) -> list[Item]:
    """The items of the main statement; of several weights the last is the reading."""
    kept = [i for i in items if i.kind not in ("sign", "day")]
    if act != "weigh":
        return kept
    masses = [i for i in kept if i.kind == "amount"]
    return [i for i in kept if i not in masses[:-1]]
