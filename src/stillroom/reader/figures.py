"""Numbers as people write and say them: digits, fractions, words, ranges, repairs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stillroom.base.quantity import unit_words
from stillroom.reader.pieces import Piece

_ONES = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14,
    "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90,
}  # fmt: skip
_SIGNS = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8,
          "⅝": 5 / 8, "⅞": 7 / 8, "⅙": 1 / 6, "⅕": 1 / 5}  # fmt: skip
_PARTS = {"half": 0.5, "halves": 0.5, "quarter": 0.25, "quarters": 0.25, "third": 1 / 3,
          "thirds": 1 / 3, "eighth": 0.125, "eighths": 0.125, "sixteenth": 0.0625,
          "sixteenths": 0.0625}  # fmt: skip
_NOT_NUMBER_BEFORE_ONE = {"this", "that", "which", "last", "first", "other", "each", "every", "any",
                          "no", "next", "the", "another", "only"}  # fmt: skip
_MOST = 1e12
_REPAIRS = {"no", "nope", "er", "sorry", "rather", "mean", "i", "or", "um", "uh", ",", "wait"}


def is_number_word(word: str) -> bool:
    """Whether a word is a number said: "four", "sixty", "dozen"."""
    return word in _ONES or word in _TENS or word in ("hundred", "dozen", "couple")


def small_number(word: str) -> float | None:
    """The value of a number word or of digits; None for any other word."""
    if word in _ONES or word in _TENS:
        return float(_ONES.get(word, _TENS.get(word, 0)))
    return float(word) if word.isdecimal() and len(word) < 5 else None


@dataclass(frozen=True, slots=True)
class Figure:
    """A number or range read from ``first`` up to but not including ``after``."""

    low: float
    high: float
    first: int
    after: int
    article: bool = False
    parts: bool = False

    @property
    def value(self) -> float:
        """The number, or the middle of the range."""
        return (self.low + self.high) / 2


class FigureReader:
    """Reads figures from the tokens of one note."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = pieces

    def low(self, at: int) -> str:
        """The word at a place, empty beyond the end."""
        return self.pieces[at].low if 0 <= at < len(self.pieces) else ""

    def is_unit(self, at: int) -> bool:
        """Whether the word at a place names a unit."""
        word = self.low(at)
        return bool(word) and word in unit_words()

    def read(self, at: int) -> Figure | None:
        """The figure that begins at ``at``, repairs and ranges taken in."""
        between = self.low(at) == "between"
        first = self._simple(at + 1 if between else at)
        if first is None:
            return None
        found = self._range(first, between) or first
        found = self._repaired(found)
        return Figure(found.low, found.high, at, found.after, found.article, found.parts)

    def _range(self, first: Figure, between: bool) -> Figure | None:
        after = first.after
        joint = self.low(after)
        if joint == "and" and not between:
            return None
        if joint not in ("to", "-", "–", "—", "or", "and", "through") or first.article:
            return None
        second = self._simple(after + 1)
        if second is None or second.article or second.low <= first.low:
            return None
        return Figure(first.low, second.low, first.first, second.after)

    def _repaired(self, found: Figure) -> Figure:
        at = found.after
        while self.low(at) in _REPAIRS and at < found.after + 4:
            at += 1
        words = {self.low(place) for place in range(found.after, at)}
        if not words & {"no", "nope", "er", "sorry", "rather", "mean"}:
            return found
        second = self._simple(at)
        if second is None or second.article:
            return found
        return self._range(second, False) or second

    def _simple(self, at: int) -> Figure | None:
        if at >= len(self.pieces):
            return None
        kind = self.pieces[at].kind
        if kind in ("num", "frac"):
            return self._digits(at)
        if kind != "word":
            return None
        return self._part(at) or self._spoken(at) or self._article(at)

    def _digits(self, at: int) -> Figure:
        text, after = self.pieces[at].low, at + 1
        value = _SIGNS[text] if text in _SIGNS else min(self._plain(text[:24]), _MOST)
        if text not in _SIGNS and self.low(after) in _SIGNS:
            value, after = value + _SIGNS[self.low(after)], after + 1
        value, after = self._and_part(value, after)
        return Figure(value, value, at, after, parts=value != int(value))

    def _plain(self, text: str) -> float:
        text = text.replace("⁄", "/")
        if "/" in text:
            whole, _, bottom = text.rpartition("/")
            tops = whole.split()
            lead = float(tops[0]) if len(tops) > 1 else 0.0
            return lead + float(tops[-1]) / max(float(bottom), 1.0)
        if "," in text:
            head, tail = text.split(",", 1)
            if len(tail.split(",")[0]) == 3:
                return float(text.replace(",", ""))
            return float(f"{head}.{tail}")
        return float(text)

    def _and_part(self, value: float, after: int) -> tuple[float, int]:
        """Adds "and a half", "and three quarters", "point five"."""
        if self.low(after) == "point" and self.low(after + 1) in _ONES:
            digits, place = "", after + 1
            while self.low(place) in _ONES and _ONES[self.low(place)] < 10:
                digits += str(_ONES[self.low(place)])
                place += 1
            return value + float("0." + (digits or "0")), place
        if self.low(after) != "and":
            return value, after
        part = self._part(after + 1, joined=True)
        return (value + part.low, part.after) if part else (value, after)

    def _part(self, at: int, *, joined: bool = False) -> Figure | None:
        """A half, half a, three quarters of a, an eighth of an, point five."""
        place, times = at, 1.0
        if self.low(place) == "point" and self.low(place + 1) in _ONES:
            value, after = self._and_part(0.0, place)
            return Figure(value, value, at, after, parts=True)
        if self.low(place) in ("a", "an", "one"):
            place += 1
        elif self.low(place) in _ONES and self.low(place + 1) in _PARTS and (
            self.low(place + 1).endswith("s") or self.low(place + 1) == "quarter"
        ):  # fmt: skip
            times, place = float(_ONES[self.low(place)]), place + 1
        if self.low(place) not in _PARTS:
            return None
        value = times * _PARTS[self.low(place)]
        after = place + 1
        article = place > at and self.low(at) in ("a", "an")
        if self.low(after) == "of" and self.low(after + 1) in ("a", "an"):
            after += 2
        elif self.low(after) in ("a", "an"):
            after += 1
        if self.low(after) == "dozen":
            return Figure(12 * value, 12 * value, at, after + 1)
        if joined or self.is_unit(after):
            return Figure(value, value, at, place + 1 if joined else after, False, True)
        return None if article or times == 1.0 else Figure(value, value, at, after, parts=True)

    def _spoken(self, at: int) -> Figure | None:
        word = self.low(at)
        if (
            word == "one"
            and self.low(at - 1) in _NOT_NUMBER_BEFORE_ONE
            and not self.is_unit(at + 1)
        ):
            return None
        if word == "couple" or (word in ("a", "one") and self.low(at + 1) == "couple"):
            after = at + 1 + (word != "couple") + 0
            return Figure(2, 2, at, after + (self.low(after) == "of"))
        if word in ("a", "an") and self.low(at + 1) == "hundred":
            value, after = self._hundreds(1, at + 1)
        elif word in ("a", "one", "two", "three") and self.low(at + 1) == "dozen":
            value, after = 12 * _ONES.get(word, 1), at + 2
        elif word == "dozen":
            value, after = 12, at + 1
        elif word in _ONES or word in _TENS:
            value, after = self._compose(at)
        else:
            return None
        total, after = self._and_part(float(value), after)
        return Figure(total, total, at, after, parts=total != int(total))

    def _compose(self, at: int) -> tuple[int, int]:
        word = self.low(at)
        if word in _TENS:
            unit = _ONES.get(self.low(at + 1), 0)
            value, after = (_TENS[word] + unit, at + 2) if 0 < unit < 10 else (_TENS[word], at + 1)
            return self._hundreds(value, after) if self.low(after) == "hundred" else (value, after)
        value, after = _ONES[word], at + 1
        if self.low(after) in ("hundred", "thousand"):
            return self._hundreds(value, after)
        if value < 10:
            return self._elided(value, after)
        return value, after

    def _elided(self, value: int, after: int) -> tuple[int, int]:
        """One twenty five, one fifteen, two oh five: a hundred that is not said."""
        word = self.low(after)
        if word in _TENS:
            rest, after = self._compose(after)
            return 100 * value + rest, after
        if value and 10 <= _ONES.get(word, 0) < 20 and value < 4:
            return 100 * value + _ONES[word], after + 1
        if word in ("oh", "o") and self.low(after + 1) in _ONES:
            return 100 * value + _ONES[self.low(after + 1)], after + 2
        return value, after

    def _hundreds(self, value: int, at: int) -> tuple[int, int]:
        total = value * (1000 if self.low(at) == "thousand" else 100)
        after = at + 1
        place = after + 1 if self.low(after) == "and" else after
        if self.low(place + 1) in ("hundred", "thousand"):
            return total, after
        if self.low(place) in _ONES or self.low(place) in _TENS:
            if self.is_unit(place + 1) or place == after or self.low(place) in _TENS:
                rest, end = self._compose(place)
                return total + rest, end
            return total + _ONES.get(self.low(place), 0), place + 1
        return total, after

    def _article(self, at: int) -> Figure | None:
        if self.low(at) in ("a", "an") and (self.is_unit(at + 1)):
            return Figure(1, 1, at, at + 1, article=True)
        return None
