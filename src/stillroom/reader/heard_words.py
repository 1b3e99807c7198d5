"""Foods and steps that the tables say a phone hears as other words."""

from __future__ import annotations

from functools import cache

from stillroom.reader.ear import Ear
from stillroom.reader.evidence import measures_food
from stillroom.reader.lexicon import Entry, lexicon
from stillroom.reader.pieces import fold
from stillroom.reader.spoken import is_number_word
from stillroom.tables.tables import tables

ENOUGH = 2
_LONGEST = 4
_HERB_MEASURES = {"bunch", "bunches", "sprig", "sprigs", "handful", "handfuls"}


@cache
def misheard() -> dict[tuple[str, ...], str]:
    """The foods by what a phone hears in their place."""
    return {
        tuple(fold(word).split()): food.id
        for food in tables().foods.values() for word in food.misheard
    }  # fmt: skip


@cache
def wary() -> frozenset[str]:
    """Ordinary words that are taken for a food only after an amount of it."""
    entries = lexicon().frame["wary"].values()
    return frozenset(" ".join(entry.head) for table in entries for entry in table)


@cache
def plain() -> frozenset[str]:
    """Ordinary words near a food's name: a food only where they sound like it, in an amount."""
    entries = lexicon().frame["plain"].values()
    return frozenset(" ".join(entry.head) for table in entries for entry in table)


class HeardWords(Ear):
    """Takes words for foods and steps by foods.csv ``misheard`` and the rows ``heard``."""

    def _believe(self) -> None:
        """What is clearly a food once is that food again in the same note."""
        for at in range(len(self.lows)):
            for length in range(_LONGEST, 0, -1):
                key = tuple(self.lows[at : at + length])
                food = misheard().get(key)
                if food is None or " ".join(key) in wary():
                    continue
                if self.around.weight(at, at + length) >= ENOUGH and not self._fixed(at):
                    self.believed[key] = food

    def _fixed(self, at: int) -> bool:
        """Whether a place lies inside an idiom that begins before it."""
        return any(
            (entry := self.words.best(self.lows, first)) is not None
            and entry.kind == "idiom" and first + len(entry.head) > at
            for first in range(max(0, at - 4), at + 1)
        )  # fmt: skip

    def _table(self, at: int) -> int:
        for length in range(_LONGEST, 0, -1):
            key = tuple(self.lows[at : at + length])
            if len(key) < length:
                continue
            food = misheard().get(key)
            if food and self._likely(key, at, at + length):
                return self._food(at, at + length, food)
        return self._step(at)

    def _likely(self, key: tuple[str, ...], first: int, after: int) -> bool:
        if " ".join(key) in wary():
            return self.around.measured(first)
        weight = self.around.weight(first, after)
        if weight >= ENOUGH or (len(key) > 1 and weight >= 1):
            return True
        if key not in self.believed:
            return False
        before = self.around.low(first - 1)
        return weight >= 1 or before in ("the", "dried", "of", "my", "those", "and", "for", "with")

    def _step(self, at: int) -> int:
        """Preps, cuts, surfaces and units: "pealed and cord", "fine mash", "condition in"."""
        found = self.words.frame["heard"].get(self.lows[at], ())
        for entry in sorted(found, key=lambda entry: (-len(entry.head), entry.weight)):
            after = at + len(entry.head)
            if tuple(self.lows[at:after]) != entry.head:
                continue
            if entry.weight < 9 and not self._step_likely(entry, at, after):
                continue
            return self._take(at, after, entry.value, entry.value)
        return 0

    def _step_likely(self, entry: Entry, first: int, after: int) -> bool:
        value = entry.value
        if entry.weight == 3:
            return self._herbal(first, after)
        meant = tuple(value.split())
        kind = next((e.kind for e in self.words.sense.get(meant[0], ()) if e.head == meant), "")
        before, behind = self.around.low(first - 1), self.around.low(after)
        neighbours = {self.around.kind(first - 1), self.around.kind(after)}
        if before in ("and", ",", "um"):
            neighbours.add(self.around.kind(first - 2))
        if behind in ("and", ",", "um"):
            neighbours.add(self.around.kind(after + 1))
        if behind in ("them", "em", "it", "those") and before in ("i", "we", "and", "'ve", "have"):
            neighbours.add("pron")
        if kind in ("prep", "cut"):
            return bool(neighbours & {"prep", "cut", "pron"}) or (
                entry.weight >= 7 and "food" in neighbours
            )
        if kind == "surface":
            return before in ("fine", "on", "the") and (
                before == "fine" or self._traylike(first, after)
            )
        if kind in ("sign", "vessel") or measures_food(value):
            return (
                "sign" in neighbours
                or is_number_word(before)
                or before in ("a", "half", "feel", "and", "are")
            )
        return False

    def _herbal(self, first: int, after: int) -> bool:
        before = self.around.low(first - 2 if self.around.low(first - 1) == "of" else first - 1)
        return before in _HERB_MEASURES or self.around.low(after) in ("leaves", "leaf", "sprigs")

    def _traylike(self, first: int, after: int) -> bool:
        near = self.lows[max(0, first - 5) : after + 5]
        return bool({"trays", "tray", "dryer", "degrees", "loaded"} & set(near))
