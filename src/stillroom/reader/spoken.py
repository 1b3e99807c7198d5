"""Whole numbers in words: "twenty five", "a hundred and forty", "one twenty five"."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.base.quantity import unit_words
from stillroom.reader.pieces import Piece

ONES = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14,
    "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90,
}  # fmt: skip
_BIG = {"hundred": 100, "thousand": 1000}


def is_number_word(word: str) -> bool:
    """Whether a word is a number said: "four", "sixty", "dozen"."""
    return word in ONES or word in TENS or word in ("hundred", "dozen", "couple")


def small_number(word: str) -> float | None:
    """The value of a number word or of digits; None for any other word."""
    if word in ONES or word in TENS:
        return float(ONES.get(word, TENS.get(word, 0)))
    return float(word) if word.isdecimal() and len(word) < 5 else None


class SpokenReader:
    """Reads whole numbers in words from the tokens of one note."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = pieces

    def low(self, at: int) -> str:
        """The word at a place, empty beyond the end."""
        return self.pieces[at].low if 0 <= at < len(self.pieces) else ""

    def is_unit(self, at: int) -> bool:
        """Whether the word at a place names a unit."""
        word = self.low(at)
        return bool(word) and word in unit_words()

    def _whole(self, at: int) -> tuple[int, int]:
        """The number whose first word is at a place, and the place after it."""
        spelt = self._spelt(at)
        if spelt is not None:
            return spelt
        value, after = self._below_hundred(at)
        if self.low(after) in _BIG:
            return self._big(value, after)
        return self._elided(value, after) if value < 10 else (value, after)

    def _below_hundred(self, at: int) -> tuple[int, int]:
        word = self.low(at)
        if word not in TENS:
            return ONES[word], at + 1
        unit = ONES.get(self.low(at + 1), 0)
        return (TENS[word] + unit, at + 2) if 0 < unit < 10 else (TENS[word], at + 1)

    def _spelt(self, at: int) -> tuple[int, int] | None:
        """At one three five: the figures of a setting, one by one."""
        if self.low(at - 1) not in ("at", "to", "on"):
            return None
        figures = [ONES.get(self.low(place), 10) for place in range(at, at + 4)]
        if figures[0] == 0 or max(figures[:3]) > 9 or figures[3] < 10:
            return None
        return 100 * figures[0] + 10 * figures[1] + figures[2], at + 3

    def _elided(self, value: int, after: int) -> tuple[int, int]:
        """One twenty five, one fifteen, two oh five: a hundred that is not said."""
        word = self.low(after)
        if word in TENS:
            rest, after = self._below_hundred(after)
            return 100 * value + rest, after
        if value and 10 <= ONES.get(word, 0) < 20 and value < 4:
            return 100 * value + ONES[word], after + 1
        if word in ("oh", "o") and self.low(after + 1) in ONES:
            return 100 * value + ONES[self.low(after + 1)], after + 2
        return value, after

    def _big(self, value: int, at: int) -> tuple[int, int]:
        """What a number before "hundred" or "thousand" comes to with the words after it."""
        size = _BIG[self.low(at)]
        total, after = value * size, at + 1
        place = after + 1 if self.low(after) == "and" else after
        if self.low(place) not in ONES and self.low(place) not in TENS:
            return total, after
        rest, end = self._below_hundred(place)
        if self.low(end) in _BIG:
            if size == 100 or self.low(end) == "thousand":
                return total, after
            rest, end = self._big(rest, end)
        return total + rest, end
