"""Numbers as people write and say them: digits, fractions, words, ranges, repairs."""

from __future__ import annotations

import re
from dataclasses import dataclass

from stillroom.reader.spoken import ONES, TENS, SpokenReader

_SIGNS = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8,
          "⅝": 5 / 8, "⅞": 7 / 8, "⅙": 1 / 6, "⅕": 1 / 5}  # fmt: skip
_PARTS = {"half": 0.5, "halves": 0.5, "quarter": 0.25, "quarters": 0.25, "third": 1 / 3,
          "thirds": 1 / 3, "eighth": 0.125, "eighths": 0.125, "sixteenth": 0.0625,
          "sixteenths": 0.0625}  # fmt: skip
_NOT_NUMBER_BEFORE_ONE = {"this", "that", "which", "last", "first", "other", "each", "every", "any",
                          "no", "next", "the", "another", "only"}  # fmt: skip
_MOST = 1e12
_MOST_DOZENS = 20
_REPAIRS = {"no", "nope", "er", "sorry", "rather", "mean", "i", "or", "um", "uh", ",", "wait"}


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


class FigureReader(SpokenReader):
    """Reads figures from the tokens of one note."""

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
        value, after = self._dozens(value, after)
        return Figure(value, value, at, after, parts=value != int(value))

    def _dozens(self, value: float, after: int) -> tuple[float, int]:
        """Two and a half dozen; 3 dozen; a couple of dozen."""
        if self.low(after) in ("dozen", "doz") and value <= _MOST_DOZENS:
            return 12 * value, after + 1
        return value, after

    def _plain(self, text: str) -> float:
        text = text.replace("⁄", "/")
        if "/" in text:
            whole, _, bottom = text.rpartition("/")
            tops = whole.split()
            lead = float(tops[0]) if len(tops) > 1 else 0.0
            # A part cut off by the length taken, or set off by a sign that float() does not strip.
            under = float(bottom.strip() or 1)
            return lead + (float(tops[-1]) if tops else 0.0) / max(under, 1.0)
        if "," in text:
            head, tail = text.split(",", 1)
            if len(tail.split(",")[0]) == 3:
                return float(text.replace(",", ""))
            return float(f"{head}.{tail}")
        return float(text)

    def _and_part(self, value: float, after: int) -> tuple[float, int]:
        """Adds "and a half", "and three quarters", "and 1/2", "point five", "and a bit"."""
        if self.low(after) == "point" and self.low(after + 1) in ONES:
            digits, place = "", after + 1
            while self.low(place) in ONES and ONES[self.low(place)] < 10:
                digits += str(ONES[self.low(place)])
                place += 1
            return value + float("0." + (digits or "0")), place
        if self.low(after) not in ("and", "&", "-", "+"):
            return value, after
        word = self.low(after + 1)
        if value == int(value) and (word in _SIGNS or re.fullmatch(r"\d\s*[/⁄]\s*\d{1,2}", word)):
            part = _SIGNS.get(word) or self._plain(word)
            return (value + part, after + 2) if part < 1 else (value, after)
        if self.low(after) != "and":
            return value, after
        if (word, self.low(after + 2)) == ("a", "bit"):
            return value, after + 3
        spoken = self._part(after + 1, joined=True)
        return (value + spoken.low, spoken.after) if spoken else (value, after)

    def _part(self, at: int, *, joined: bool = False) -> Figure | None:
        """A half, half a, three quarters of a, an eighth of an, point five."""
        place, times = at, 1.0
        if self.low(place) == "point" and self.low(place + 1) in ONES:
            value, after = self._and_part(0.0, place)
            return Figure(value, value, at, after, parts=True)
        if self.low(place) in ("a", "an", "one"):
            place += 1
        elif self.low(place) in ONES and self.low(place + 1) in _PARTS and (
            self.low(place + 1).endswith("s")
            or (self.low(place + 1) == "quarter" and self.low(place) in ("one", "three"))
        ):  # fmt: skip
            times, place = float(ONES[self.low(place)]), place + 1
        if self.low(place) not in _PARTS:
            return None
        value = times * _PARTS[self.low(place)]
        after = place + 1
        article = place > at and self.low(at) in ("a", "an")
        if self.low(after) == "of" and self.low(after + 1) in ("a", "an"):
            after += 2
        elif self.low(after) in ("a", "an"):
            after += 1
        if self.low(after) == "dozen" and not joined:
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
            after = at + 1 + (word != "couple")
            after += self.low(after) == "of"
            value, after = self._dozens(2, after)
            return Figure(value, value, at, after)
        if word == "dozen" or (word in ("a", "one") and self.low(at + 1) == "dozen"):
            return Figure(12, 12, at, at + 1 + (word != "dozen"))
        if word in ("a", "an") and self.low(at + 1) in ("hundred", "thousand"):
            whole, after = self._big(1, at + 1)
        elif word in ONES or word in TENS:
            whole, after = self._whole(at)
        else:
            return None
        total, after = self._and_part(float(whole), after)
        total, after = self._dozens(total, after)
        return Figure(total, total, at, after, parts=total != int(total))

    def _article(self, at: int) -> Figure | None:
        if self.low(at) in ("a", "an", "another") and self.is_unit(at + 1):
            return Figure(1, 1, at, at + 1, article=True)
        return None
