"""Amounts, lengths, heats and bare numbers."""

from __future__ import annotations

import re
from dataclasses import replace

from stillroom.base.quantity import Unit, unit_for
from stillroom.reader.figures import Figure
from stillroom.reader.holders import Holders
from stillroom.reader.items import Item, amount_of

_TRAY = {"tray", "trays", "rack", "racks", "trayful", "trayfuls", "trayfull"}
_SMALLER = {"lb": "oz", "kg": "g", "stone": "lb", "h": "min", "ft": "in", "l": "ml"}
_AFTER_MINUTES = {"", ".", ",", "\n", "at", "on", "and", "in", "then", ";"}
_HEAT = {"f": "F", "fahrenheit": "F", "c": "C", "celsius": "C", "centigrade": "C"}
_PIECES = {"pieces", "slices", "cubes", "chunks", "lengths", "dice", "strips", "rounds", "rings"}
_SLICED = {"sliced", "cut", "slices", "them", "diced", "thick", "shredded"}
_EIGHTHS = {"eighth": 1 / 8, "quarter": 1 / 4, "sixteenth": 1 / 16}
_FINE = {"eighth", "eighths", "sixteenth", "sixteenths", "⅛", "⅜", "¼"}
_DEGREE = {"°", "degrees", "degree", "deg", "degs"}
_CLOCK = {"am", "pm", "o'clock", "oclock"}
_ALONE = {"kilo", "pound", "stone", "pint", "quart", "litre", "liter", "cup", "gallon", "bushel",
          "peck", "ounce", "bunch", "handful", "dozen"}  # fmt: skip
_BEFORE_ALONE = {
    "", ".", ",", ":", ";", "!", "?", "\n", "-", "–", "—", "and", "then", "plus", "another",
    "about", "roughly", "nearly", "almost", "got", "have", "'ve", "picked", "um", "uh", "so",
    "with", "good", "over", "just", "okay", "ok", "right",
}  # fmt: skip
_FOOD_SKIP = {"prep", "cut", "size", "dried"}
ADJECTIVES = {
    "of", "the", "ripe", "fresh", "good", "red", "green", "yellow", "white", "black", "more",
    "my", "our", "those", "these", "fat", "nice", "lovely", "wild", "windfall", "late",
    "early", "firm", "purple", "golden", "young", "old", "organic", "overripe", "juicy", "or",
    "so", "dark", "sweet", "home", "grown", "few",
}  # fmt: skip

_HUMID = frozenset({"humidity", "humid", "rh"})


class Measures(Holders):
    """Reads what is measured or counted."""

    def _unit(self, at: int) -> tuple[Unit, int] | None:
        if at >= len(self.pieces):
            return None
        pair = f"{self.low(at)} {self.low(at + 1)}"
        unit = unit_for(pair, self.measure)
        if unit:
            return unit, at + 2
        text = self.pieces[at].text
        unit = unit_for(text if text in ("T", "t") else self.low(at), self.measure)
        if unit is None and text in ("″", "”", '"'):
            unit = unit_for("in", self.measure)
        return (unit, at + 1) if unit else None

    def _bare_unit(self, at: int) -> Figure | None:
        """Kilo and a half of peppers; pound of plums: one of them, where a thing is begun."""
        if self.low(at) not in _ALONE or self.low(at - 1) not in _BEFORE_ALONE:
            return None
        after = self.low(at + 1)
        if after == "of" or (after == "and" and self.figures._part(at + 2, joined=True)):
            return Figure(1, 1, at, at, article=True)
        return None

    def _measured(self, figure: Figure) -> Item | None:
        at = figure.after
        if self.low(at) == "of" and figure.parts:
            at += 1
        if self.low(at) in (
            "good",
            "big",
            "large",
            "heaped",
            "full",
            "level",
            "small",
            "heaping",
            "generous",
            "scant",
            "whole",
        ):
            at += 1
        if self.low(at) in ("sec", "secs", "second", "seconds"):
            item = self.make("hours", figure.first, at + 1)
            return replace(item, number=figure.value / 3600)
        found = self._unit(at) or self._same_unit(figure)
        if found is None:
            return None
        unit, after = found
        if unit.id == "in" and self.low(at) == "in" and not self._inch(figure, after):
            return None
        if (
            after < len(self.lows)
            and self.low(after) == "."
            and self.low(after + 1) in ("", ",", "of")
        ):
            after += 0
        figure, after = self._mended(figure, unit, after)
        extra, after = self._tail(figure, unit, after)
        figure = replace(figure, low=figure.low + extra, high=figure.high + extra)
        figure, after = self._or_two(figure, after)
        item = replace(self.make("amount", figure.first, after), article=figure.article)
        if unit.si_unit == "mm":
            return replace(
                item,
                kind="length" if unit.id not in ("ft", "m") else "height",
                number=figure.value * unit.si,
            )
        if unit.si_unit == "h":
            return replace(item, kind="hours", number=figure.value * unit.si)
        return replace(item, amount=amount_of(figure, unit))

    def _same_unit(self, figure: Figure) -> tuple[Unit, int] | None:
        """Two cups of mint, one of chamomile: the unit said before."""
        if figure.article and self.low(figure.first) != "one":
            return None
        at = figure.after + 1
        while self.low(at) in ("the", "dried", "fresh", "my"):
            at += 1
        entry = self.words.best(self.lows, at) if at < len(self.lows) else None
        if self.low(figure.after) != "of" or entry is None or entry.kind != "food":
            return None
        for back in range(figure.first - 1, max(0, figure.first - 9), -1):
            found = self._unit(back) if self.low(back + 1) == "of" else None
            if found and found[0].si_unit in ("g", "ml"):
                return found[0], figure.after
        return None

    def _mended(self, figure: Figure, unit: Unit, after: int) -> tuple[Figure, int]:
        """Eleven pounds no twelve: the last number counts."""
        at = after
        while (
            self.low(at) in ("no", "sorry", "er", "um", "rather", "nope", "wait") and at < after + 3
        ):
            at += 1
        if at == after or not {"no", "sorry", "er", "rather", "nope"} & set(self.lows[after:at]):
            return figure, after
        second = self.figures._simple(at)
        if second is None or second.article:
            return figure, after
        found = self._unit(second.after)
        if found is None:
            return (
                (second, second.after) if self.low(second.after) not in _TRAY else (figure, after)
            )
        return (second, found[1]) if found[0].id == unit.id else (figure, after)

    def _or_two(self, figure: Figure, after: int) -> tuple[Figure, int]:
        """A pound or two of plums: one to two pounds."""
        second = self.figures._simple(after + 1) if self.low(after) == "or" else None
        if second is None or second.article or figure.low != figure.high:
            return figure, after
        last = second.after == len(self.lows) or self.low(second.after) in ("of", ",", ".", "\n")
        if not last or not figure.low < second.low <= figure.low + 3:
            return figure, after
        return replace(figure, high=second.high), second.after

    def _inch(self, figure: Figure, after: int) -> bool:
        return figure.parts or self.low(after) in (
            "",
            ",",
            ".",
            ";",
            "thick",
            "slices",
            "strips",
            ")",
            "dice",
            "pieces",
        )

    def _tail(self, figure: Figure, unit: Unit, after: int) -> tuple[float, int]:
        """What follows a unit and belongs to it: and a half; 6 oz after 2 lb."""
        if self.low(after) == "and" and self.low(after + 1) in (
            "a",
            "three",
            "one",
            "half",
            "quarter",
        ):
            part = self.figures._part(after + 1, joined=True)
            if part and not self.figures.is_unit(part.after) and figure.low == figure.high:
                return part.low, part.after
        return self._smaller(unit, after)

    def _smaller(self, unit: Unit, after: int) -> tuple[float, int]:
        """The part said in the next smaller unit: 2 lb 6 oz, 2 kilos 300, 1 h 30."""
        at = after + 1 if self.low(after) == "and" else after
        second = self.figures._simple(at)
        if second is None or second.article:
            return 0.0, after
        found = self._unit(second.after)
        small = _SMALLER.get(unit.id)
        if found and small == found[0].id and self._vessel_at(found[1]) is None:
            return second.value * found[0].si / unit.si, found[1]
        if found is None and at == after and self._left_over(unit, second):
            return second.value / (60 if unit.id == "h" else 1000), second.after
        return 0.0, after

    def _left_over(self, unit: Unit, second: Figure) -> bool:
        """Grams after kilos, minutes after hours, said without their unit."""
        behind = self.low(second.after)
        whole = second.low == second.high == int(second.low)
        if unit.id == "kg":
            stuck = self.pieces[second.first - 1].end == self.pieces[second.first].start
            ends = stuck or behind in ("of", "", ".", ",", "\n")
            return whole and 100 <= second.value < 1000 and ends
        return unit.id == "h" and whole and 5 <= second.value < 60 and behind in _AFTER_MINUTES

    def _counted(self, figure: Figure) -> Item | None:
        """Six small kohlrabi; (6) after a food is taken up when clauses are read."""
        at = figure.after
        if self.low(figure.first) == "one" and self.low(at) == "of":
            return None
        if figure.article and self.low(at) == "few":
            return None
        for _ in range(5):
            entry = self.words.best(self.lows, at) if at < len(self.lows) else None
            if entry and entry.kind == "food":
                if (
                    self.words.framed("part", self.lows, at + len(entry.head))
                    if at + len(entry.head) < len(self.lows)
                    else None
                ):
                    return None
                beyond = at + len(entry.head)
                mixed = self.words.best(self.lows, beyond) if beyond < len(self.lows) else None
                if figure.article and mixed and mixed.kind == "act":
                    return None
                unit = Unit("count", ("count",), "count", 1.0, "count")
                item = self.make("amount", figure.first, figure.after)
                return replace(item, amount=amount_of(figure, unit), article=figure.article)
            if self.low(at) in ("the", "my", "our", "those", "these") and self.low(at - 1) != "of":
                return None
            if entry and entry.kind in _FOOD_SKIP:
                at += len(entry.head)
            elif self.low(at) in ADJECTIVES:
                at += 1
            else:
                return None
        return None

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
