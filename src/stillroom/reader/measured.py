"""What is measured: a number with its unit, parts and smaller units that belong to it."""

from __future__ import annotations

from dataclasses import replace

from stillroom.base.quantity import Unit, unit_for
from stillroom.reader.figures import Figure
from stillroom.reader.holders import Holders
from stillroom.reader.items import Item, amount_of

_TRAY = {"tray", "trays", "rack", "racks", "trayful", "trayfuls", "trayfull"}
_SMALLER = {"lb": "oz", "kg": "g", "stone": "lb", "h": "min", "ft": "in", "l": "ml"}
_AFTER_MINUTES = {"", ".", ",", "\n", "at", "on", "and", "in", "then", ";"}
_TAKEN_BACK = {"no", "sorry", "er", "rather", "nope"}
_ALONE = {"kilo", "pound", "stone", "pint", "quart", "litre", "liter", "cup", "gallon", "bushel",
          "peck", "ounce", "bunch", "handful", "dozen"}  # fmt: skip
_BEFORE_ALONE = {
    "", ".", ",", ":", ";", "!", "?", "\n", "-", "–", "—", "and", "then", "plus", "another",
    "about", "roughly", "nearly", "almost", "got", "have", "'ve", "picked", "um", "uh", "so",
    "with", "good", "over", "just", "okay", "ok", "right",
}  # fmt: skip


class Measured(Holders):
    """Reads amounts, lengths and hours with their units."""

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
            if found and found[0].si_unit in ("g", "ml", "count"):
                return found[0], figure.after
        return None

    def _mended(self, figure: Figure, unit: Unit, after: int) -> tuple[Figure, int]:
        """Eleven pounds no twelve: the last number counts."""
        at = after
        while self.low(at) in _TAKEN_BACK | {"i", "think", "mean", "um", "wait"} and at < after + 5:
            at += 1
        if not _TAKEN_BACK & set(self.lows[after:at]):
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
            entry = self.words.best(self.lows, second.after) if behind else None
            ends = (
                stuck
                or behind in ("of", "", ".", ",", "\n")
                or bool(entry and entry.kind == "food")
            )
            return whole and 100 <= second.value < 1000 and ends
        return unit.id == "h" and whole and 5 <= second.value < 60 and behind in _AFTER_MINUTES
