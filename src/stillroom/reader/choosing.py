"""Which act a clause is: have, load, weigh, look, pack, use, blend, brine."""

from __future__ import annotations

from stillroom.base.statement import SEASONINGS
from stillroom.reader.clause import Clause
from stillroom.reader.items import Item
from stillroom.reader.taking import GROWING, HOLDS, Taking

_JAR_SIZES = {"pt", "qt", "gal", "l"}
_EMPTY = {"word", "mark", "filler", "join", "num"}
_WRAPS = {"parchment", "waxed-paper", "foil", "cloth"}
_PUTS = {"put", "popped", "stuck", "went", "gone", "moved"}
_SPREADS = {"spread", "laid", "layered", "scattered", "lined up", "arranged"}
_LIFTS = {"took", "taken", "take", "came", "come", "coming", "lifted", "pulled", "they", "'re",
          "is", "are", "were", "was"}  # fmt: skip
_LEFT_OUT = (("without",), ("no",), ("minus",), ("skip",), ("leave", "out"), ("leaving", "out"),
             ("hold",), ("not",))  # fmt: skip


_BRINGERS = {"i", "we", "just", "and", "then", "also", "so", "have", "well", "today", "ok", "right"}
_BRINGING = {"got", "picked", "pulled", "dug", "dug up", "harvested", "gathered", "brought in",
             "brought", "bought", "foraged", "lifted"}  # fmt: skip


class Choosing(Taking):
    """Tells acts apart."""

    def _left_out(self, food: str, clause: Clause) -> bool:
        """Herb dip without the mint: what stays out is no part of the mix."""
        item = next((i for i in clause.of("food") if i.value == food), None)
        if item is None or not self._of_mix(clause):
            return False
        at = item.first
        while at and self.lows[at - 1] in ("the", "any", "dried", "out", "of"):
            at -= 1
        before = tuple(self.lows[max(0, at - 1) : item.first])
        return any(before[: len(words)] == words for words in _LEFT_OUT)

    def _mixed(self) -> bool:
        return bool(self.drafts) and self.drafts[-1].act in ("blend", "brine")

    def _meant(self, clause: Clause) -> bool:
        return clause.has("food", "pron", "both", "dried")

    def _act(
        self, food: str | None, items: list[Item], clause: Clause, verbs: set[str], looks: bool
    ) -> str | None:
        kinds = {item.kind for item in items}
        mass = any(i.amount is not None and i.amount.si_unit == "g" for i in items)
        if "discard" in verbs and not self._flung_on(clause):
            return "use"
        if self._mixing(clause, verbs, "blend") or (self.mode == "blend" and "amount" in kinds):
            self.mode = "blend"
            return "blend"
        if (
            self._mixing(clause, verbs, "brine")
            or (self.mode == "brine" and "amount" in kinds)
            or (
                food in SEASONINGS
                and self.drafts
                and self.drafts[-1].act == "brine"
                and "amount" in kinds
            )
        ):
            self.mode = "brine"
            return "brine"
        if mass and not self._crop(items) and ("weigh" in verbs or self._now(clause, items)):
            return "weigh"
        if ("use" in verbs and self._uses(clause, items)) or self._drawn(items, verbs):
            return "use"
        if self._packs(kinds, items, verbs, clause, looks):
            return "pack"
        if (
            looks
            and "surface" in kinds
            and not kinds & {"trays", "heat", "amount"}
            and "load" not in verbs
        ):
            return "look"
        if (
            kinds & {"trays", "surface"}
            or "heat" in kinds
            or self._hot(items, clause)
            or ("load" in verbs and self._loads(clause, looks))
        ):
            return "load"
        if looks:
            return "look"
        told = kinds & {"amount", "prep", "cut", "length", "place", "vessel", "size", "num"}
        return "have" if told or self._brought(clause) else None

    def _flung_on(self, clause: Clause) -> bool:
        """Chucked them on five trays: laid out in a hurry, not thrown away."""
        verb = next((item for item in clause.of("act") if item.value == "discard"), None)
        if verb is None:  # broken glass: thrown away without a word of it
            return False
        after = self.lows[verb.last + 1 : verb.last + 5]
        laid = {"on", "onto", "across", "over"} & {*verb.low.split(), *after}
        return bool(laid) and clause.has("trays", "surface", "heat", "traynoun")

    def _brought(self, clause: Clause) -> bool:
        """Picked the plums; got half a bucket of tomatoes: food came in, however much it is."""
        own = not {"she", "he", "they", "sister", "brother", "neighbour"} & set(self.lows)
        verb = next((item for item in clause.of("act") if item.low in _BRINGING), None)
        if verb is None or not own or not clause.has("food"):
            return False
        before = self.lows[verb.first - 1] if verb.first else ""
        return not before or not before.isalpha() or before in _BRINGERS

    def _crop(self, items: list[Item]) -> bool:
        """2 lb 9 oz fresh; six punnets which came to 4 lb, hulled: the weight of what came in."""
        mass = next(i for i in items if i.amount is not None and i.amount.si_unit == "g")
        after = self.lows[mass.last + 1 : mass.last + 3]
        if after[:1] in (["fresh"], ["raw"]) or after == ["before", "drying"]:
            return True
        verb = next((i for i in items if i.kind == "act" and i.value == "weigh"), None)
        related = verb is not None and verb.first and self.lows[verb.first - 1] in ("which", "that")
        return bool(related) and any(i.kind == "prep" for i in items)

    def _now(self, clause: Clause, items: list[Item]) -> bool:
        """Now 104 g; the parsnips were fourteen ounces."""
        low = [self.lows[at] for at in range(clause.items[0].first, clause.items[-1].last + 1)]
        mass = next(i for i in items if i.amount is not None and i.amount.si_unit == "g")
        before = self.lows[mass.first - 1] if mass.first else ""
        if any(i.kind == "prep" or (i.kind == "cut" and i.first > mass.last) for i in items):
            return False
        kinds = {i.kind for i in items}
        if self._came_off(mass, low, kinds):
            return True
        if (
            "dried" in kinds
            and not kinds & {"cut", "vessel", "trays", "place"}
            and not clause.has("act")
        ):
            return True
        alone = (
            not kinds - {"amount", "mark", "word", "filler", "which", "both"}
            and self.off is not None
        )
        if self._in_and_out(items) or (alone and self.off == self.topic):
            return True
        if {"done", "finished"} & set(low) and not clause.has("trays", "heat", "vessel"):
            return True
        if mass.last + 1 < len(self.lows) and self.lows[mass.last + 1] == "of":
            return False
        if "now" in low and not clause.has("food", "cut", "vessel", "trays", "heat", "act"):
            return True
        if (
            before in ("now", "is", "are", "was", "were", "'s", "'re")
            and low[:1] != ["there"]
            and "there" not in low[:3]
            and "there" not in self.lows[max(0, mass.first - 3) : mass.first]
        ):
            return True
        return (
            bool(self.drafts)
            and self.drafts[-1].act in ("look", "pack")
            and not any(i.kind == "food" for i in items)
            and not ({"pack", "load", "use"} & {i.value for i in clause.of("act")})
            and not clause.has("trays", "heat", "vessel")
        )

    def _came_off(self, mass: Item, low: list[str], kinds: set[str]) -> bool:
        """Took the plums off, 980 g: what comes off the trays is dried, and that is its weight."""
        if "off" not in low or not _LIFTS & set(low) or kinds & {"vessel", "place", "trays"}:
            return False
        before = self.lows[max(0, mass.first - len(low)) : mass.first]
        return "off" in before and not GROWING & set(low)

    def _in_and_out(self, items: list[Item]) -> bool:
        """2.1 kg in, 300 g out: what went in and what it weighs now."""
        masses = [i for i in items if i.amount is not None and i.amount.si_unit == "g"]
        return len(masses) > 1 and self.lows[masses[-1].last + 1 : masses[-1].last + 2] == ["out"]

    def _mixing(self, clause: Clause, verbs: set[str], act: str) -> bool:
        if act not in verbs:
            return False
        item = next(i for i in clause.of("act") if i.value == act)
        before = self.lows[item.first - 1] if item.first else ""
        if item.low in ("pickled", "ground", "mixed", "crushed", "blended"):
            after = (
                clause.items[clause.items.index(item) + 1].low
                if item is not clause.items[-1]
                else ""
            )
            if before in ("the", "of", "some", "dried", "my", "our", "those", "these") or (
                after in ("carrots",) and clause.has("sign")
            ):
                return False
            return not clause.has("sign")
        if act == "blend" and self._of_mix(clause) and verbs & {"pack", "use", "look", "weigh"}:
            return False
        if act == "blend" and clause.has("vessel") and "pack" in verbs:
            return False
        return not clause.has("sign", "day")

    def _carried(self, items: list[Item], kinds: set[str], verbs: set[str]) -> bool:
        """A carrier bag of kale, a box of plums: how fresh food came in, not its packing."""
        bag = next((item for item in items if item.value in ("bag", "box")), None)
        if bag is None or "pack" in verbs or kinds & {"place", "seal", "dried", "amount", "sign"}:
            return False
        food = next((item for item in items if item.kind == "food"), None)
        dry = any(item.value == "powdered" for item in items) or self.drafts
        return food is not None and self.lows[bag.last + 1 : food.first] == ["of"] and not dry

    def _packs(
        self, kinds: set[str], items: list[Item], verbs: set[str], clause: Clause, looks: bool
    ) -> bool:
        vessels = {item.value for item in items if item.kind == "vessel"}
        if self._carried(items, kinds, verbs):
            return False
        puts = bool(_PUTS & set(self.lows[clause.items[0].first : clause.items[-1].last + 1]))
        filled = puts and vessels & HOLDS and not looks  # "put them in a jar for conditioning"
        if (looks or "look" in verbs) and "pack" not in verbs and not filled:
            return False
        if kinds & {"trays", "surface", "heat"} and not self._wrapped(kinds, items, vessels):
            return False
        if self._exists(clause) and "pack" not in verbs and not kinds & {"seal"}:
            return False
        if vessels & HOLDS and self._into(items, verbs):
            return True
        if kinds & {"vessel", "amount"} and self._more_vessels(items):
            return True
        if "pack" in verbs and (kinds & {"vessel", "place", "seal"}):
            return not vessels <= {"crock", "bowl"} or not vessels or "seal" in kinds
        if vessels & HOLDS and not ("have" in verbs and "amount" in kinds):
            return self._meant(clause) or "pack" in verbs or "place" in kinds or "seal" in kinds
        if (
            "place" in kinds
            and (puts or (self.drafts and self.drafts[-1].act == "pack"))
            and not vessels
        ):
            return True
        return "seal" in kinds or (
            "pack" in verbs
            and any(
                i.low in ("packed", "jarred", "bagged", "sealed", "bottled", "put the date on")
                or "label" in i.low
                for i in clause.of("act")
            )
        )

    def _into(self, items: list[Item], verbs: set[str]) -> bool:
        """The powder went in a jar; back in the jars: into a vessel is no load."""
        return "load" in verbs and any(
            item.kind == "vessel"
            and {"in", "into", "filled"} & set(self.lows[max(0, item.first - 3) : item.first])
            for item in items
        )

    def _more_vessels(self, items: list[Item]) -> bool:
        """Three half-pints, after something was packed: those are its vessels."""
        sized = all(i.amount is None or i.amount.unit in _JAR_SIZES for i in items)
        if {item.kind for item in items} - _EMPTY - {"vessel", "amount"} or not sized:
            return False
        if self.drafts:
            return self.drafts[-1].act == "pack"
        return bool(self.context.last) and self.context.last[-1].act == "pack"

    def _wrapped(self, kinds: set[str], items: list[Item], vessels: set[str]) -> bool:
        """Rolled in parchment, into a bag: what it is wrapped in is no tray."""
        wraps = all(item.value in _WRAPS for item in items if item.kind == "surface")
        return wraps and bool(vessels & HOLDS) and not kinds & {"trays", "heat"}

    def _exists(self, clause: Clause) -> bool:
        """There was a jar of it; I found a jar of it: nothing is put away."""
        low = [self.lows[at] for at in range(clause.items[0].first, clause.items[-1].last + 1)]
        return "there" in low[:4] or "found" in low or "opened" in low

    def _hot(self, items: list[Item], clause: Clause) -> bool:
        return any(i.kind == "num" and self._is_heat(i) for i in items)

    def _loads(self, clause: Clause, looks: bool) -> bool:
        verb = next(i for i in clause.of("act") if i.value == "load")
        after = self.lows[verb.last + 1] if verb.last + 1 < len(self.lows) else ""
        if verb.low in _SPREADS and not clause.has("pron", "cut", "prep", "amount"):
            return False
        if verb.low in ("start", "started") and after == "with":
            return False
        if looks and verb.low not in ("loaded", "back in", "back on"):
            return False
        return verb.low not in (
            "start",
            "started",
            "went in",
            "gone in",
            "going in",
            "laid",
            "stuck on",
            "filled",
            "fill",
            "hung",
            "put on",
            "went on",
            "going on",
            "goes on",
            "gone on",
        ) or clause.has("food", "pron")
