"""What is counted, lengths without a unit, heats and bare numbers."""

from __future__ import annotations

import re
from dataclasses import replace

from stillroom.base.quantity import Unit
from stillroom.reader.figures import Figure
from stillroom.reader.items import Item, amount_of
from stillroom.reader.measured import Measured

_HEAT = {"f": "F", "fahrenheit": "F", "c": "C", "celsius": "C", "centigrade": "C"}
_PIECES = {"pieces", "slices", "cubes", "chunks", "lengths", "dice", "strips", "rounds", "rings"}
_SLICED = {"sliced", "cut", "slices", "them", "diced", "thick", "shredded"}
_EIGHTHS = {"eighth": 1 / 8, "quarter": 1 / 4, "sixteenth": 1 / 16}
_FINE = {"eighth", "eighths", "sixteenth", "sixteenths", "⅛", "⅜", "¼"}
_DEGREE = {"°", "degrees", "degree", "deg", "degs"}
_CLOCK = {"am", "pm", "o'clock", "oclock"}
_FOOD_SKIP = {"prep", "cut", "size", "dried"}
ADJECTIVES = {
    "of", "the", "ripe", "fresh", "good", "red", "green", "yellow", "white", "black", "more",
    "my", "our", "those", "these", "fat", "nice", "lovely", "wild", "windfall", "late",
    "early", "firm", "purple", "golden", "young", "old", "organic", "overripe", "juicy", "or",
    "so", "dark", "sweet", "home", "grown", "few",
}  # fmt: skip
_HUMID = frozenset({"humidity", "humid", "rh"})


class Measures(Measured):
    """Reads what is counted, hot, or a number alone."""

    def _counted(self, figure: Figure) -> Item | None:
        """Six small kohlrabi; (6) after a food is taken up when clauses are read."""
        at = figure.after
        if (self.low(figure.first), self.low(at)) == ("one", "of"):
            return None
        if figure.article and self.low(at) == "few":
            return None
        if self._of_them(figure):
            return self._count(figure)
        for _ in range(5):
            entry = self.words.best(self.lows, at) if at < len(self.lows) else None
            if entry and entry.kind == "food":
                after = at + len(entry.head)
                return self._count(figure) if self._countable(figure, after) else None
            if self.low(at) in ("the", "my", "our", "those", "these") and self.low(at - 1) != "of":
                return None
            if entry and entry.kind in _FOOD_SKIP:
                at += len(entry.head)
            elif self.low(at) in ADJECTIVES:
                at += 1
            else:
                return None
        return None

    def _countable(self, figure: Figure, after: int) -> bool:
        """Whether the food that ends here is counted: not in "a plum jam", "a beet mix"."""
        if after >= len(self.lows):
            return True
        if self.words.framed("part", self.lows, after):
            return False
        mixed = self.words.best(self.lows, after)
        return not (figure.article and mixed and mixed.kind in ("act", "food"))

    def _count(self, figure: Figure) -> Item:
        unit = Unit("count", ("count",), "count", 1.0, "count")
        item = self.make("amount", figure.first, figure.after)
        return replace(item, amount=amount_of(figure, unit), article=figure.article)

    def _of_them(self, figure: Figure) -> bool:
        """Three dozen of them, stems off: a count of the food just named."""
        at = figure.after
        if self.low(at) != "of" or self.low(at + 1) not in ("them", "those") or figure.value < 2:
            return False
        at += 2 + (self.low(at + 2) == ",")
        entry = self.words.best(self.lows, at) if at < len(self.lows) else None
        return self.low(figure.first - 1) != "on" and bool(entry and entry.kind in _FOOD_SKIP)

    def _bare(self, figure: Figure) -> Item | None:
        if figure.article:
            return None
        if humid := self._humidity(figure):
            return humid
        if figure.parts and figure.value < 1 and self._inches(figure):
            return replace(
                self.make("length", figure.first, figure.after), number=25.4 * figure.value
            )
        if self.low(figure.after) in _CLOCK:
            return replace(self.make("clock", figure.first, figure.after + 1), number=figure.value)
        if self.low(figure.after) == ":" and re.fullmatch(r"\d\d", self.low(figure.after + 1)):
            return replace(self.make("clock", figure.first, figure.after + 2), number=figure.value)
        return replace(self.make("num", figure.first, figure.after), number=figure.value)

    def _inches(self, figure: Figure) -> bool:
        """Three eighths thick; sliced 3/16, sliced three eighths: inches, though none is named."""
        after = self.low(figure.after)
        if after in ("thick", *_PIECES):
            return True
        before = self.low(figure.first - 1)
        if before in ("about", "roughly", "at", "to"):
            before = self.low(figure.first - 2)
        sized = {self.low(place) for place in range(figure.first, figure.after)}
        return (
            before in _SLICED and after in ("", ",", ".", ";", "\n", "and", "then", "on")
            and (bool(sized & _FINE) or any("/" in word for word in sized))
        )  # fmt: skip

    def _humidity(self, figure: Figure) -> Item | None:
        """The figure of "80 percent humidity", "humidity is at 80%"; never a heat or a count."""
        at = figure.after
        near = self.lows[max(0, figure.first - 5) : at + 6]
        if (
            self.low(at) not in ("%", "percent", "pc")
            or not _HUMID & set(near)
            or figure.value > 100
        ):
            return None
        return replace(self.make("humidity", figure.first, at + 1), number=figure.value / 100)

    def _heat(self, figure: Figure) -> Item | None:
        at, scale, degrees = figure.after, "", False
        if self.low(at) in _DEGREE:
            at, degrees = at + 1, True
        sign = self.low(at)
        if sign in _HEAT and (degrees or len(sign) > 1 or figure.value >= 28):
            scale, at = _HEAT[sign], at + 1
        if not degrees and not scale:
            return None
        return replace(self.make("heat", figure.first, at), number=figure.value, scale=scale)

    def _inch_pieces(self, at: int) -> Item | None:
        """Inch pieces: one inch; sliced an eighth: of an inch."""
        if (
            self.low(at) in ("a", "an")
            and self.low(at - 1) in _SLICED
            and self.low(at + 1) in _EIGHTHS
        ):
            if not self.figures.is_unit(at + 2) and self.low(at + 2) != "of":
                return replace(
                    self.make("length", at, at + 2), number=25.4 * _EIGHTHS[self.low(at + 1)]
                )
            return None
        return self._inch_alone(at)

    def _inch_alone(self, at: int) -> Item | None:
        """Inch pieces: one inch; three eighths thick: inches."""
        if self.low(at) == "inch" and self.low(at + 1) in _PIECES:
            return replace(self.make("length", at, at + 1), number=25.4)
        return None
