"""Amounts, lengths, heats and bare numbers."""

from __future__ import annotations

import re
from dataclasses import replace

from stillroom.base.quantity import Unit, unit_for
from stillroom.reader.figures import Figure
from stillroom.reader.holders import Holders
from stillroom.reader.items import Item, amount_of

_TRAY = {"tray", "trays", "rack", "racks", "trayful", "trayfuls", "trayfull"}
_HEAT = {"f": "F", "fahrenheit": "F", "c": "C", "celsius": "C", "centigrade": "C"}
_PIECES = {"pieces", "slices", "cubes", "chunks", "lengths", "dice", "strips", "rounds", "rings"}
_SLICED = {"sliced", "cut", "slices", "them", "diced", "thick", "shredded"}
_EIGHTHS = {"eighth": 1 / 8, "quarter": 1 / 4, "sixteenth": 1 / 16}
_DEGREE = {"°", "degrees", "degree", "deg", "degs"}
_CLOCK = {"am", "pm", "o'clock", "oclock"}
_FOOD_SKIP = {"prep", "cut", "size", "dried"}
ADJECTIVES = {
    "of", "the", "ripe", "fresh", "good", "red", "green", "yellow", "white", "black", "more",
    "my", "our", "those", "these", "fat", "nice", "lovely", "wild", "windfall", "late",
    "early", "firm", "purple", "golden", "young", "old", "organic", "overripe", "juicy", "or",
    "so", "dark", "sweet", "home", "grown", "few",
}  # fmt: skip


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
        found = self._unit(at)
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
        at = after + 1 if self.low(after) in ("and", ",") else after
        if at > after and self.low(after) == ",":
            return 0.0, after
        second = self.figures._simple(at)
        if second is None or second.article:
            return 0.0, after
        found = self._unit(second.after)
        small = {"lb": "oz", "kg": "g", "stone": "lb", "h": "min", "ft": "in", "l": "ml"}
        if found and small.get(unit.id) == found[0].id and self._vessel_at(found[1]) is None:
            return second.value * found[0].si / unit.si, found[1]
        return 0.0, after

    def _counted(self, figure: Figure) -> Item | None:
        """Six small kohlrabi; (6) after a food is taken up when clauses are read."""
        at = figure.after
        if self.low(figure.first) == "one" and self.low(at) == "of":
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
        if figure.parts and figure.value < 1 and self.low(figure.after) in ("thick", *_PIECES):
            return replace(
                self.make("length", figure.first, figure.after), number=25.4 * figure.value
            )
        if self.low(figure.after) in _CLOCK or self.low(figure.first - 1) in ("$", "£", "€"):
            return replace(self.make("clock", figure.first, figure.after + 1), number=figure.value)
        if self.low(figure.after) == ":" and re.fullmatch(r"\d\d", self.low(figure.after + 1)):
            return replace(self.make("clock", figure.first, figure.after + 2), number=figure.value)
        return replace(self.make("num", figure.first, figure.after), number=figure.value)

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
