"""Whose food a clause is about, and what a list shares."""

from __future__ import annotations

from stillroom.reader.clause import Clause
from stillroom.reader.items import Item
from stillroom.reader.slots import Slots
from stillroom.reader.soundalike import known_words
from stillroom.tables.tables import tables

_STAPLES = {"vinegar", "salt", "sugar"}
_DIPS = {"lemon", "lime", *_STAPLES}
_NP = {"cut", "prep", "dried", "size"}
_A_BIT = {"of", "a", "bit", "little", "some", "squeeze", "drop", "splash", "dash", "drops", "the"}
_ON = {"in", "on", "inside", "over", "among", "round", "around"}
_LINK = {
    "of", "the", "ripe", "fresh", "good", "red", "green", "yellow", "more", "my", "our",
    "those", "fat", "purple", "windfall", "early", "late", "big", "lovely", "nice", "wild",
    "and", "or",
}  # fmt: skip

_NEUTRAL = {
    "pieces", "rest", "lot", "stuff", "fruit", "veg", "ones", "others", "batch", "load",
    "middle", "edges", "bits", "total", "today", "now", "yesterday", "tonight", "each", "per",
    "apiece", "give", "this", "from", "here", "off", "that", "they", "with",
    "for", "to", "on", "at", "in", "which", "but", "because", "after", "before", "weight",
    "dried", "done", "left", "worth", "bowl", "time", "thing", "trays", "slices",
    "bottom", "top",
}  # fmt: skip


class Parts(Slots):
    """Cuts a clause by food."""

    def _foods(self, clause: Clause) -> list[int]:
        out = []
        for place, item in enumerate(clause.items):
            if item.kind != "food":
                continue
            amount = any(
                other.kind == "amount" for other in clause.items[max(0, place - 3) : place]
            )
            before = self.lows[item.first - 1] if item.first else ""
            if (
                item.value in _DIPS
                and before in ("in", "with", "and", "some", "of", "the")
                and not amount
                and len(clause.of("food")) + bool(self.topic) > 1
                and (before in ("in", "with") or item.value in _STAPLES)
            ):
                continue
            if item.value in _DIPS and not amount and self._dipped_in(item) and place:
                continue
            aside = place > 1 and before == "(" and clause.items[place - 2].kind == "food"
            if aside:
                continue
            if item.value == "date" and item.low == "date" and before not in ("dried",):
                continue
            out.append(place)
        return out

    def _dipped_in(self, item: Item) -> bool:
        """Dipped in a bit of lemon, with a squeeze of lime: a dip, not the food."""
        at = item.first - 1
        while at > 0 and self.lows[at] in _A_BIT:
            at -= 1
        return (
            self.lows[at] in ("in", "with")
            and at < item.first - 1
            and "of" in (self.lows[at : item.first])
        )

    def _parts(self, clause: Clause) -> list[tuple[str | None, list[Item]]]:
        """The clause cut by food; what a list shares is given to each."""
        places = self._foods(clause)
        items = clause.items
        if not places:
            return self._without_food(clause)
        starts = [
            self._np_start(items, place, places[k - 1] if k else -1)
            for k, place in enumerate(places)
        ]
        starts[0] = 0
        bounds = [*starts, len(items)]
        parts: list[tuple[str | None, list[Item]]] = [
            (items[place].value, items[bounds[k] : bounds[k + 1]]) for k, place in enumerate(places)
        ]
        return [*self._others(parts), *self._joined(self._shared(parts, clause))]

    def _others(
        self, parts: list[tuple[str | None, list[Item]]]
    ) -> list[tuple[str | None, list[Item]]]:
        """The peppers are on two trays, both on mesh: what the food named before shares."""
        food, items = parts[-1]
        others = [name for name in self.group if name != food]
        both = next((k for k, item in enumerate(items) if item.kind == "both"), None)
        if len(parts) > 1 or both is None or len(others) != 1 or items[both].low == "each":
            return []
        named = next(k for k, item in enumerate(items) if item.kind == "food")
        return [(others[0], items[both:])] if both > named else []

    def _without_food(self, clause: Clause) -> list[tuple[str | None, list[Item]]]:
        if (
            clause.has("both")
            and not self._one_thing(clause)
            and len(self.group) > 1
            and not (self.mode and clause.has("vessel", "seal"))
            and (
                clause.has("prep", "cut", "trays", "heat", "surface", "length", "sign", "place")
                or any(item.value == "discard" for item in clause.of("act"))
            )
        ):
            return [(food, clause.items) for food in self.group]
        if self._stranger(clause) or self._of_the_dryer(clause):
            return []
        return [
            (
                None if self._of_mix(clause) or self._after_mix() else self._near(clause),
                clause.items,
            )
        ]

    def _one_thing(self, clause: Clause) -> bool:
        """It's brittle, all of it: one food."""
        every = clause.of("both")[-1]
        return self.lows[every.last + 1 : every.last + 3] in (["of", "it"], ["of", "that"])

    def _after_mix(self) -> bool:
        """Whether a mix without parts was just made: "put it in three jars" is of the mix."""
        last = self.drafts[-1] if self.drafts else None
        return last is not None and last.act == "blend" and last.food is None

    def _of_the_dryer(self, clause: Clause) -> bool:
        """My dryer only goes to 55: said of the machine, when no food was named before."""
        heat = clause.has("heat", "num") and not clause.has("trays", "surface", "act", "pron")
        return self.topic is None and clause.has("dryer") and heat

    def _stranger(self, clause: Clause) -> bool:
        """Whether the clause is about something that is no food known here: "3 lb skirret"."""
        for item in clause.items:
            if (
                item.kind != "amount"
                or item.amount is None
                or item.amount.si_unit not in ("g", "ml")
            ):
                continue
            if self._headed(item, clause):
                return True
            at = item.last + 1
            while at <= clause.items[-1].last and self.lows[at] in _LINK - {"and", "or"}:
                at += 1
            if at <= clause.items[-1].last and self._foreign(at):
                word = self.note_word(at)
                options = tables().ambiguous.get(self.lows[at])
                if options:
                    self.doubts.append((word, options))
                return True
        return self._foreign_subject(clause)

    def _foreign_subject(self, clause: Clause) -> bool:
        """The skirret went on two trays: another thing than the food before."""
        items = [
            i
            for i in clause.items
            if i.kind != "filler" and i.low not in ("and", "so", "then", ",", "but")
        ]
        if len(items) < 3 or items[0].low not in ("the", "my", "our"):
            return False
        after = items[2].low
        return self._foreign(items[1].first) and after in (
            "is",
            "are",
            "was",
            "were",
            "'s",
            "went",
            "weigh",
            "weighs",
            "weighed",
            "has",
            "have",
            "feel",
            "feels",
            "look",
            "looks",
        )

    def _headed(self, item: Item, clause: Clause) -> bool:
        """Medlars: 2 kg; medlars 2 kg, peeled: the head of the list is no food known here."""
        head = [one for one in clause.items if one.last < item.first]
        named = [one for one in head if one.kind == "word" and self._foreign(one.first)]
        rest = [one for one in head if one not in named and one.kind not in ("mark", "filler")]
        return len(named) == 1 and not rest

    def _foreign(self, at: int) -> bool:
        low = self.lows[at]
        item = self.words.best(self.lows, at)
        return (
            low.isalpha() and len(low) > 2 and item is None and low not in known_words()
            and low not in _LINK and low not in _NEUTRAL
        )  # fmt: skip

    def _np_start(self, items: list[Item], place: int, floor: int) -> int:
        at = place
        while at - 1 > floor:
            before = items[at - 1]
            if before.low == "for" and at - 2 > floor and items[at - 2].kind == "day":
                return at - 2
            if (
                before.kind in _NP
                or (before.kind in ("idiom",) and before.low == "nice and")
                or before.low in _LINK
                or before.kind == "filler"
            ):
                at -= 1
                continue
            if before.kind in ("amount", "vessel", "num", "trays", "traynoun") and not (
                before.kind == "amount" and floor >= 0 and self._taken(items, floor, at - 1)
            ):
                at -= 1
            break
        return self._seen_on(items, at, floor)

    def _seen_on(self, items: list[Item], at: int, floor: int) -> int:
        """Weevils in the rice and mould on the tomatoes: each sign is seen on what follows."""
        start = at
        while start - 1 > floor and items[start - 1].low in (
            "one",
            "of",
            "some",
            "two",
            "a",
            "few",
        ):
            start -= 1
        seen = start - 2 > floor and items[start - 1].low in _ON and items[start - 2].kind == "sign"
        return start - 2 if seen else at

    def _taken(self, items: list[Item], floor: int, at: int) -> bool:
        """Kale 3 oz, leeks 8 oz: with a comma before the next food it belongs to the last."""
        return any(
            self.lows[place] == ","
            for place in range(
                items[at].last + 1,
                items[at + 1].first if at + 1 < len(items) else items[at].last + 1,
            )
        ) or (at + 1 < len(items) and items[at + 1].low in (",", "and"))

    def _shared(
        self, parts: list[tuple[str | None, list[Item]]], clause: Clause
    ) -> list[tuple[str | None, list[Item]]]:
        if len(parts) < 2:
            return parts
        last = parts[-1][1]
        both = next((k for k, item in enumerate(last) if item.kind == "both"), None)
        if both is not None:
            common = last[both:] if last[both].low != "each" else _after_food(last)
            return [
                (name, [*items, *common] if items is not last else items) for name, items in parts
            ]
        slot = {
            "prep",
            "cut",
            "trays",
            "heat",
            "surface",
            "length",
            "sign",
            "place",
            "vessel",
            "seal",
            "num",
            "hours",
        }
        after = last[next(k for k, item in enumerate(last) if item.kind == "food") + 1 :]
        if any(
            any(item.kind in slot and item.kind != "num" for item in items[1:])
            for _, items in parts[:-1]
        ):
            return parts
        joined = any(
            item.low in ("and", "&", "+", "plus") for item in (*parts[-2][1][-2:], *last[:2])
        )
        if not joined:
            return parts
        # "200 g carrots and 50 g onion powder": each weighed by itself, the powder is the last's.
        own = all(any(item.kind == "amount" for item in items) for _, items in parts)
        common = [
            item for item in after if item.kind in slot and not (own and item.value == "powdered")
        ]
        return [(name, [*items, *common] if items is not last else items) for name, items in parts]

    def _joined(
        self, parts: list[tuple[str | None, list[Item]]]
    ) -> list[tuple[str | None, list[Item]]]:
        out: list[tuple[str | None, list[Item]]] = []
        for food, items in parts:
            if out and out[-1][0] == food:
                out[-1] = (food, [*out[-1][1], *items])
            else:
                out.append((food, items))
        return out


def _after_food(items: list[Item]) -> list[Item]:
    place = next((k for k, item in enumerate(items) if item.kind == "food"), -1)
    return items[place + 1 :]
