"""How likely the words around a place make it that a food stands there."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.base.quantity import unit_words, units
from stillroom.reader.lexicon import Lexicon
from stillroom.reader.spoken import is_number_word
from stillroom.reader.word_sets import word_set

_GOING = {"act", "surface", "dryer", "pron"}
_LONGEST_PHRASE = 8  # words before a noun
_STOPS = {".", "?", "!", ";", "\n"}


def measures_food(word: str) -> bool:
    """Whether a word is a unit of mass, volume or count."""
    name = unit_words().get(word)
    return name is not None and units()[name].dimension in ("mass", "volume", "count")


class Evidence:
    """Weighs the words around a place of one note."""

    def __init__(self, lows: Sequence[str], words: Lexicon) -> None:
        self.lows, self.words = lows, words

    def low(self, at: int) -> str:
        """The word at a place, empty outside."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def kind(self, at: int) -> str:
        """The kind of phrase that begins at a place."""
        entry = self.words.best(self.lows, at) if 0 <= at < len(self.lows) else None
        return entry.kind if entry else ""

    def weight(self, first: int, after: int) -> int:
        """0 for nothing food-like around, 2 and more for a likely food."""
        if self.low(first - 1) in word_set("piece") and self.kind(first - 2) == "food":
            return 0  # "onion powder time": the food is named
        return self._left(first) + self._right(after) + self._question(first, after)

    def measured(self, first: int) -> bool:
        """Whether an amount with its unit stands just before: "two pounds of …"."""
        return self._left(first) > 1

    def _left(self, first: int) -> int:
        at = first - 1
        while at >= max(0, first - 4) and self.low(at) in word_set("before-food"):
            at -= 1
        low = self.low(at)
        if low in _STOPS or not low:
            return 0
        if measures_food(low) and (low not in ("c", "t", "in") or self._number(at - 1)):
            return 3
        vessel = self.words.best(self.lows, at) and self.kind(at) == "vessel"
        if low in word_set("tray") or vessel:
            return 2 if self.low(at + 1) == "of" else 0
        if self.kind(at) in ("dried", "prep", "cut") or low in word_set("done-to-food"):
            return 2
        if low in ("on", "in", "with", "among", "from") and any(
            self.kind(place) == "sign" for place in range(max(0, at - 3), at)
        ):
            return 2
        if self._number(at) and low not in ("a", "an"):
            return 1
        return 1 if low in ("and", ",", "or", "plus") and self.kind(at - 1) == "food" else 0

    def _number(self, at: int) -> bool:
        low = self.low(at)
        return is_number_word(low) or low[:1].isdigit() or low in ("a", "an", "half", "quarter")

    def _right(self, after: int) -> int:
        if self.low(after) in word_set("piece"):
            return 2
        if self.low(after) == "of":
            return -2
        if self._weighed(after) or self._looked(after):
            return 2
        at = after
        while at < after + 6 and self.low(at) in word_set("behind-food"):
            at += 1
        if self.low(at) in _STOPS or not self.low(at):
            return 0
        return 2 if self._told(at) else self._going(at)

    def _told(self, at: int) -> bool:
        """A look, a step, an amount, a day of conditioning, or "on since nine"."""
        if self.low(at) == "on" and self.low(at + 1) in ("since", "all", "overnight", "for"):
            return True
        if self.low(at) == "day" and self._number(at + 1):
            return True
        if self.kind(at) in ("prep", "cut", "sign", "weather"):
            return True
        return self._number(at) and self._measured(at)

    def _going(self, at: int) -> int:
        going = self.low(at) in ("on", "into", "onto", "at", "down")
        return self._goes(at) if going or self.kind(at) in _GOING else 0

    def _weighed(self, after: int) -> bool:
        """The leeks that we took off at noon weighed nine ounces."""
        for at in range(after, after + 8):
            if self.low(at) in _STOPS or self.low(at) in ("and", "but"):
                return False
            entry = self.words.best(self.lows, at) if at < len(self.lows) else None
            if entry and entry.kind == "act" and entry.value == "weigh":
                return self._number(at + len(entry.head)) or self._number(at + len(entry.head) + 1)
        return False

    def _looked(self, after: int) -> bool:
        """The leeks came off this morning they're crisp: a pronoun, then a look."""
        for at in range(after, after + 9):
            if (
                self.low(at) in _STOPS
                or self.low(at) in ("and", "but", "because")
                or self.kind(at) == "food"
            ):
                return False
            if self.low(at) in ("they", "it", "theyre") and any(
                self.kind(place) == "sign" for place in range(at + 1, at + 4)
            ):
                return True
        return False

    def _measured(self, at: int) -> bool:
        return any(
            measures_food(self.low(place)) or self.low(place) in word_set("tray")
            for place in range(at + 1, at + 5)
        )

    def _goes(self, at: int) -> int:
        """Went on three trays, into a tin, weighs nine ounces, on day four."""
        for place in range(at, at + 7):
            if self.low(place) in _STOPS:
                return 0
            if self.low(place) in word_set("tray") or self.low(place) == "day":
                return 2
            if self.kind(place) in ("surface", "vessel", "sign"):
                return 2
            if self._number(place) and measures_food(self.low(place + 1)):
                return 2
        return 0

    def _question(self, first: int, after: int) -> int:
        """How long do X need; what temperature for X."""
        start = max(0, first - _LONGEST_PHRASE)
        while first > start and self.low(first - 1) in word_set("before-food") - {"of"}:
            first -= 1
        before, behind = word_set("before-asked"), word_set("asked-of-food")
        if self.low(first - 1) not in before and self.low(after) not in behind:
            return 0
        for at in range(first - 1, max(-1, first - 10), -1):
            if self.low(at) in _STOPS:
                return 0
            if self.low(at) in (
                "how",
                "what",
                "where",
                "when",
                "should",
                "can",
                "do",
                "does",
                "which",
                "are",
            ) and (self.words.framed("ask", self.lows, at) and self._cued(at, after + 8)):
                return 2
        return 0

    def _cued(self, first: int, after: int) -> bool:
        return any(
            self.words.framed("cue", self.lows, at)
            for at in range(first, min(after, len(self.lows)))
        )
