"""Trays and vessels with their number and size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from stillroom.base.quantity import Unit, unit_for
from stillroom.reader.dates import DateReader
from stillroom.reader.figures import Figure, FigureReader
from stillroom.reader.items import Item
from stillroom.reader.lexicon import Entry, lexicon
from stillroom.reader.pieces import Piece

_TRAY = {"tray", "trays", "rack", "racks", "trayful", "trayfuls", "trayfull"}
_TRAY_SKIP = {
    "full", "big", "more", "of", "the", "dryer", "drying", "our", "my", "whole", "wire",
    "bare", "large", "small", "other", "half", "new", "round", "square", "clean", "oven",
    "those", "these", "dehydrator",
}  # fmt: skip
_JAR_SKIP = {
    "big", "small", "large", "little", "clean", "more", "of", "the", "full", "glass", "dry",
    "sterilised", "tall", "good", "old", "whole", "size", "sized", "wide", "mouth", "capacity",
    "those", "these", "empty", "spice", "sweet", "jam", "coffee", "plastic", "new", "spare",
    "screw", "topped", "swing", "clip", "second", "tiny", "smaller", "bigger", "lidded",
    "wee", "nice", "top", "preserving", "storage",
}  # fmt: skip
_FLUID_OUNCE_ML = 29.5735
_PARTS = {"half": 0.5, "quarter": 0.25}


def _size_ml(unit: Unit | None) -> float | None:
    """What a unit before "jar" holds [ml]: an ounce is a fluid one there; a pound is none."""
    if unit is None:
        return None
    if unit.id == "oz":
        return _FLUID_OUNCE_ML
    return unit.si if unit.si_unit == "ml" else None


class Holders:
    """Reads trays and vessels among the tokens of one note."""

    def __init__(self, pieces: Sequence[Piece], measure: str) -> None:
        self.pieces = pieces
        self.lows = [piece.low for piece in pieces]
        self.figures = FigureReader(pieces)
        self.measure = measure
        self.words = lexicon()
        self.dates = DateReader(self.lows)
        self.tails: dict[int, int] = {}

    def make(self, kind: str, first: int, after: int, value: str = "") -> Item:
        """An item over a stretch of tokens."""
        return Item(
            kind, value, first, after - 1, self.pieces[first].start, self.pieces[after - 1].end,
            " ".join(self.lows[first:after]),
        )  # fmt: skip

    def low(self, at: int) -> str:
        """The word at a place."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def _trays(self, figure: Figure) -> Item | None:
        at = figure.after
        while at < figure.after + 5:
            if self.low(at) in _TRAY:
                if figure.article and self.low(at + 1) in ("free", "spare", "empty", "going", "to"):
                    return None
                if self.low(at) in ("rack", "racks") and self.low(at - 1) == "spice":
                    return None
                half = self.lows[at + 1 : at + 4] == ["and", "a", "half"]
                after = at + 4 if half else figure.after
                item = self.make("trays", figure.first, after)
                return replace(item, number=figure.value + 0.5 * half)
            entry = self.words.best(self.lows, at) if at < len(self.lows) else None
            if entry and entry.kind == "surface":
                if figure.article and entry.value == "bare-rack":
                    return None
                if {"tray", "trays", "rack", "racks"} & set(entry.head):
                    return replace(
                        self.make("trays", figure.first, figure.after), number=figure.value
                    )
                at += len(entry.head)
            elif self.low(at) in _TRAY_SKIP:
                at += 1
            else:
                return None
        return None

    def _vessel_at(self, at: int) -> tuple[Entry, int] | None:
        for place in range(at, min(at + 4, len(self.lows))):
            entry = self.words.best(self.lows, place)
            if entry and entry.kind == "vessel":
                return entry, place + len(entry.head)
            if self.low(place) not in _JAR_SKIP:
                return None
        return None

    def _vessel(self, figure: Figure) -> Item | None:
        """Two half-gallon jars, a quart jar, 4 pint jars, three 500 ml jars, two jars."""
        found = self._vessel_at(figure.after)
        if found:
            return self._filled(figure, found, None, figure.value)
        at = figure.after
        while self.low(at) in _JAR_SKIP or (self.low(at) in ("x", "×") and at == figure.after):
            at += 1
        parted = self._parted(figure, at)
        if parted:
            return parted
        inner = self.figures.read(at)
        if inner and not inner.article:
            unit = self._volume(inner.after)
            size = _size_ml(unit)
            found = self._vessel_at(inner.after + 1) if size else None
            if size and found:
                return self._filled(figure, found, inner.value * size, figure.value)
        unit = self._volume(at)
        found = self._vessel_at(at + 1) if unit and unit.si_unit in ("ml", "g") else None
        if unit is None or found is None:
            return None
        if unit.id == "oz" and not figure.article:
            return self._filled(figure, found, figure.value * _FLUID_OUNCE_ML, None)
        single = not found[0].head[-1].endswith("s")
        if not single and figure.value == 1 and not figure.article:
            return self._filled(figure, found, unit.si if unit.si_unit == "ml" else None, None)
        size = unit.si if unit.si_unit == "ml" else None
        if figure.article or (
            not figure.parts and figure.value < 20 and not (single and figure.value > 1)
        ):
            return self._filled(figure, found, size, figure.value)
        count = 1.0 if self.low(figure.first - 1) in ("a", "an", "one") or (
            figure.parts and self.low(figure.first) in ("a", "an", "one")) else None  # fmt: skip
        return self._filled(figure, found, figure.value * size if size else None, count)

    def _parted(self, figure: Figure, at: int) -> Item | None:
        """Four quarter-litre jars, three half pint tins: how many, then how much each holds."""
        part = _PARTS.get(self.low(at))
        unit = self._volume(at + 1) if part else None
        found = self._vessel_at(at + 2) if unit and unit.si_unit == "ml" else None
        whole = figure.value == int(figure.value) and not figure.parts
        if part is None or unit is None or found is None or not whole:
            return None
        return self._filled(figure, found, part * unit.si, figure.value)

    def _volume(self, at: int) -> Unit | None:
        """The unit at a place; a "mil" before a vessel is a millilitre."""
        mil = self.low(at) in ("mil", "mils") and self._vessel_at(at + 1)
        return unit_for("ml" if mil else self.low(at), self.measure)

    def _filled(
        self, figure: Figure, found: tuple[Entry, int], ml: float | None, count: float | None
    ) -> Item:
        item = self.make("vessel", figure.first, found[1], found[0].value)
        return replace(item, ml=round(ml) if ml else None, count=count)

    def _capacity(self, at: int) -> Item | None:
        """In pint jars, in half-litre jars: a size without a number."""
        part = _PARTS.get(self.low(at))
        place = at if part is None else at + 1
        if place >= len(self.pieces) or self.pieces[place].kind != "word":
            return None
        unit = unit_for(self.low(place), self.measure)
        if unit is None or unit.si_unit != "ml":
            return None
        found = self._vessel_at(place + 1)
        if found is None:
            return None
        return self._filled(Figure(1, 1, at, at + 1), found, (part or 1.0) * unit.si, None)

    def _halves(self, figure: Figure) -> Item | None:
        """Three half pints: so many vessels of that size, though no vessel is named."""
        if self.low(figure.after) != "half" or figure.article or figure.value != int(figure.value):
            return None
        unit = unit_for(self.low(figure.after + 1), self.measure)
        if unit is None or unit.id not in ("pt", "gal"):
            return None
        item = self.make("vessel", figure.first, figure.after + 2)
        return replace(item, ml=round(unit.si / 2), count=figure.value)
