"""Whether something is taken out, eaten or given away, and how many of it."""

from __future__ import annotations

from stillroom.base.statement import Amount
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.items import Item
from stillroom.reader.slots import Slots
from stillroom.reader.spoken import small_number

_TOOK = {"took", "taken", "gave", "given", "eat", "added", "sent"}
_HANDLED = {"shake", "stir", "turn", "wipe", "wash", "rinse", "weigh", "look"}
_GAVE = {"gave", "given", "sent"}
_ARE = {
    "is",
    "are",
    "was",
    "were",
    "'s",
    "'re",
    "all",
    "nearly",
    "almost",
    "be",
    "have",
    "has",
    "just",
}
GROWING = {
    "tree", "trees", "bush", "bushes", "bed", "beds", "garden", "patch", "plot", "plant",
    "plants", "row", "rows", "vine", "vines", "orchard", "allotment", "market", "shop",
    "polytunnel", "tunnel", "greenhouse", "hedge", "wall", "field", "farm", "cane", "canes",
}  # fmt: skip
_STORED = {"jar", "jars", "bag", "bags", "tin", "tins", "bottle", "box", "tub", "batch"}
HOLDS = {"jar", "bag", "vacuum-bag", "tin", "bottle", "box"}
_PLACES = ("place", "vessel")
_INTO = {"into", "in", "to"}
_HARVEST_G = 1000.0  # nobody takes more than this from a jar at once
_PRONOUNS = {"of", "to", "for", ".", ",", "and", "!", ";", "with", "last", "today", "yesterday"}


class Taking(Slots):
    """Tells using from taking in a crop."""

    def _uses(self, clause: Clause, items: list[Item]) -> bool:
        verb = next(i for i in clause.of("act") if i.value == "use")
        if clause.has("trays", "heat", "surface"):
            return False
        if clause.has("traynoun") and not clause.has("food", "amount"):  # trays changed round
            return False
        if self.lows[verb.last + 1 : verb.last + 2] in (["me"], ["us"]):
            return False
        if verb.low in _GAVE and _HANDLED & set(self.lows[verb.last + 1 : verb.last + 7]):
            return False  # gave the jars a shake
        if verb.low.startswith("went") and clause.has("vessel", "place", "surface", "trays"):
            return False
        if verb.low in _TOOK:
            return self._took(verb, items)
        before = self.lows[verb.first - 1] if verb.first else ""
        if verb.low == "finished" and before in _ARE:  # the drying is done; a jar is used up
            return any(i.kind == "vessel" for i in items)
        return True

    def _drawn(self, items: list[Item], verbs: set[str]) -> bool:
        """Eight ounces of dried beef out of the big jar, with no verb: taken out."""
        if verbs or not any(i.kind == "amount" and not i.article for i in items):
            return False
        vessel = next((i for i in items if i.kind == "vessel" and i.value in HOLDS), None)
        if vessel is None:
            return False
        before = self.lows[max(0, vessel.first - 4) : vessel.first]
        return "out" in before and "of" in before

    def _took(self, verb: Item, items: list[Item]) -> bool:
        """Taking from a store, not taking in a crop or taking long."""
        after = self.lows[verb.last + 1] if verb.last + 1 < len(self.lows) else ""
        off = "off" in self.lows[verb.last + 1 : verb.last + 4]
        if off and all(self._whereto(item) for item in items if item.kind in _PLACES):
            return False  # off the trays, not out of a store
        if after in ("me", "us", "ages", "all", "most", "hours", "longer", "so"):
            return False
        if self._parted(verb, items):
            return True
        if any(
            i.kind in ("vessel", "dried", "both", "which") or i.value == "powdered" for i in items
        ):
            return True
        small = any(i.amount and i.amount.unit in ("tbsp", "tsp", "cup") for i in items)
        if small or verb.low not in ("took", "taken"):
            return any(i.kind in ("amount", "vessel", "dried") for i in items)
        return self._stored(items) or any(
            self.words.framed("which", self.lows, i.first) for i in items
        )

    def _whereto(self, item: Item) -> bool:
        """Took them off, into a jar: where the food went, not what it was taken from."""
        return bool(_INTO & set(self.lows[max(0, item.first - 2) : item.first]))

    def _parted(self, verb: Item, items: list[Item]) -> bool:
        """Gave half of the apples to Nell; gave the plums away; ate one."""
        if any(self.words.framed("share", self.lows, i.first) for i in items):
            return True
        if self._eaten(verb):
            return True
        food = next((i for i in items if i.kind == "food" and i.first > verb.last), None)
        if food is None or verb.low not in _GAVE:
            return False
        return self.lows[food.last + 1 : food.last + 2] in (["to"], ["away"])

    def _stored(self, items: list[Item]) -> bool:
        """Took 60 g of leeks for the soup: a little, and not off the bush."""
        mass = next((i.amount for i in items if i.amount and i.amount.si_unit == "g"), None)
        if mass is None:
            return False
        last = items[-1].last
        tail = self.lows[items[0].first : last + 1]
        if GROWING & set(tail) or any(i.kind in ("cut", "prep", "size") for i in items):
            return False
        from_jar = bool(_STORED & set(tail))
        return from_jar or mass.si_likely < _HARVEST_G

    def _eaten(self, verb: Item) -> float | None:
        """Ate one; took two of them: how many, where no noun follows the number."""
        at = verb.last + 1
        low = self.lows[at] if at < len(self.lows) else ""
        if low == "a" and self.lows[at + 1 : at + 2] == ["couple"]:
            at, low = at + 1, "two"
        number = small_number(low)
        follows = self.lows[at + 1] if at + 1 < len(self.lows) else "."
        return number if number and follows in _PRONOUNS and self._no_noun(at + 1) else None

    def _no_noun(self, at: int) -> bool:
        """Two of them, one of those; not "two of the jars"."""
        if self.lows[at : at + 1] != ["of"]:
            return True
        return self.lows[at + 1 : at + 2] in (["them"], ["those"], ["these"], ["em"])

    def _count_taken(self, draft: Draft, clause: Clause) -> None:
        """Puts the number of a pronoun in: of jars just packed, or of the food."""
        verb = next((i for i in clause.of("act") if i.value == "use"), None)
        number = self._eaten(verb) if verb else None
        if number is None or draft.slots.keys() & {"amount", "vessel", "vessel_count"}:
            return
        if self._jarred(draft.food):
            draft.slots["vessel_count"] = number
        else:
            draft.slots["amount"] = Amount("count", "count", value=number, si=number)

    def _jarred(self, food: str | None) -> bool:
        """Whether the food was last spoken of in vessels."""
        told = [d.slots.get("vessel_count") for d in self.drafts if d.food == food]
        if told:
            return told[-1] is not None
        last = [s.vessel_count for s in self.context.last if s.food == food]
        return bool(last) and last[-1] is not None
