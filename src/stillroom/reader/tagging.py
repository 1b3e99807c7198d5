"""From tokens to items: foods, amounts, lengths, heats, trays, vessels, signs, verbs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from stillroom.base.quantity import Unit, unit_for
from stillroom.base.statement import Amount
from stillroom.reader.figures import Figure, FigureReader
from stillroom.reader.lexicon import Entry, lexicon, tail_at
from stillroom.reader.pieces import Piece

_TRAY = {"tray", "trays", "rack", "racks", "trayful", "trayfuls", "trayfull"}
_TRAY_SKIP = {"full", "big", "more", "of", "the", "dryer", "drying", "our", "my", "whole", "wire", "bare",
              "large", "small", "other", "half", "new", "round", "square", "clean", "oven", "those", "these", "dehydrator"}  # fmt: skip
_JAR_SKIP = {"big", "small", "large", "little", "clean", "more", "of", "the", "full", "glass", "dry", "sterilised",
             "tall", "good", "old", "whole", "size", "sized", "wide", "mouth", "capacity", "those", "these", "empty"}  # fmt: skip
_HEAT = {"f": "F", "fahrenheit": "F", "c": "C", "celsius": "C", "centigrade": "C"}
_MIXES = {"tea", "rub", "mix", "blend", "seasoning", "stew", "soup", "stock", "granola", "muesli"}
_INCHES = {"inch", "inches", "an", "centimetre", "centimeter", "cm"}
_PIECES = {"pieces", "slices", "cubes", "chunks", "lengths", "dice", "strips", "rounds", "rings"}
_SLICED = {"sliced", "cut", "slices", "them", "diced", "thick", "shredded"}
_EIGHTHS = {"eighth": 1 / 8, "quarter": 1 / 4, "sixteenth": 1 / 16}
_DEGREE = {"°", "degrees", "degree", "deg", "degs"}
_CLOCK = {"am", "pm", "o'clock", "oclock"}
_ORDINALS = {word: n for n, word in enumerate(
    ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"], 1)}  # fmt: skip
_FOOD_SKIP = {"prep", "cut", "size", "dried"}
_ADJECTIVES = {"of", "the", "ripe", "fresh", "good", "red", "green", "yellow", "white", "black", "more", "my",
               "our", "those", "these", "fat", "nice", "lovely", "wild", "windfall", "late", "early", "firm", "purple",
               "golden", "young", "old", "organic", "overripe", "juicy", "or", "so", "dark", "sweet", "home", "grown", "few"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Item:
    """One thing recognised: what kind, its value, the tokens and characters it covers.

    ``amount`` is set for amounts; ``ml`` and ``count`` for vessels; ``scale`` for heats.
    """

    kind: str
    value: str = ""
    first: int = 0
    last: int = 0
    start: int = 0
    end: int = 0
    low: str = ""
    number: float = 0.0
    amount: Amount | None = None
    ml: float | None = None
    count: float | None = None
    scale: str = ""
    article: bool = False
    negated: bool = False


def amount_of(figure: Figure, unit: Unit) -> Amount:
    """An amount in the unit said and in SI."""
    if figure.low == figure.high:
        return Amount(unit.id, unit.si_unit, value=figure.low, si=figure.low * unit.si)
    return Amount(
        unit.id, unit.si_unit, low=figure.low, high=figure.high,
        si_low=figure.low * unit.si, si_high=figure.high * unit.si,
    )  # fmt: skip


class Tagger:
    """Tags the tokens of one note, longest phrase first."""

    def __init__(self, pieces: Sequence[Piece], measure: str) -> None:
        self.pieces = pieces
        self.lows = [piece.low for piece in pieces]
        self.figures = FigureReader(pieces)
        self.measure = measure
        self.words = lexicon()
        self.tails: dict[int, int] = {}

    def run(self) -> list[Item]:
        """All items, in order, without gaps except after a phrase's tail."""
        out: list[Item] = []
        at = 0
        while at < len(self.pieces):
            if at in self.tails:
                at = self.tails.pop(at)
                continue
            item = self._item(at)
            out.append(item)
            within = self.words.framed("within", self.lows, at) if item.kind == "food" else None
            if within and len(within.head) == item.last - item.first + 1:
                out.append(replace(item, kind="cut", value=within.value))
            at = item.last + 1
        return out

    def make(self, kind: str, first: int, after: int, value: str = "") -> Item:
        """An item over a stretch of tokens."""
        return Item(
            kind, value, first, after - 1, self.pieces[first].start, self.pieces[after - 1].end,
            " ".join(self.lows[first:after]),
        )  # fmt: skip

    def low(self, at: int) -> str:
        """The word at a place."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def _item(self, at: int) -> Item:
        entry = self.words.best(self.lows, at)
        if self.low(at) in _MIXES and self.low(at + 1) == ":":
            return self.make("act", at, at + 1, "blend")
        if entry and entry.kind == "idiom":
            return self.make("idiom", at, at + len(entry.head))
        return (
            self._day(at) or self._inch_pieces(at) or self._number(at) or self._capacity(at)
            or self._entry(entry, at) or self._plain(at)
        )  # fmt: skip

    def _plain(self, at: int) -> Item:
        piece = self.pieces[at]
        kind = "word" if piece.kind == "word" else "mark"
        if piece.low in ("pieces", "lengths") and self.low(at - 1) in (
            "inch",
            "cm",
            "mm",
            "inches",
        ):
            return self.make("cut", at, at + 1, "chopped")
        if piece.low in _TRAY:
            kind = "traynoun"
        return self.make(kind, at, at + 1, piece.low)

    def _entry(self, entry: Entry | None, at: int) -> Item | None:
        if entry is None:
            return None
        after = at + len(entry.head)
        if entry.kind == "food":
            if self.words.framed("part", self.lows, after) if after < len(self.lows) else None:
                return self.make("idiom", at, after + 1)
            if entry.value in _TRAY:
                return None
        if entry.head == ("whole",) and self.low(at - 1) == "the" and not self._sized(at, after):
            return None
        if (
            entry.kind == "cut"
            and entry.head[-1] in ("half", "quarters")
            and self.low(after) in _INCHES
        ):
            return None
        if entry.head == ("crumbled",) and self.low(after) in ("it", "them", "into", "up"):
            return None
        if entry.kind == "size" and not self._sized(at, after):
            return None
        if entry.tail:
            place = tail_at(entry, self.lows, at)
            if place is not None:
                self.tails[place] = place + len(entry.tail)
        item = self.make(entry.kind, at, after, entry.value)
        if entry.kind == "vessel":
            count = None
            return replace(item, count=count)
        return item

    def _sized(self, at: int, after: int) -> bool:
        """A size is said of a food: "six small kohlrabi", "kohlrabi, small"."""
        for place in range(after, min(after + 4, len(self.lows))):
            entry = self.words.best(self.lows, place)
            if entry and entry.kind in ("food", "dried"):
                return True
            if (
                not (entry and entry.kind in ("cut", "prep", "size"))
                and self.low(place) not in _ADJECTIVES
            ):
                break
        back = at - 1
        while back > 0 and (self.low(back) in (",", ":", "(") or self.pieces[back].kind == "num"):
            back -= 1
        before = self.words.best(self.lows, back) if at > 1 else None
        return bool(
            before
            and before.kind == "food"
            and self.low(after) in ("", ",", ".", "ones", ";", "and")
        )

    def _day(self, at: int) -> Item | None:
        if self.low(at) == "day":
            figure = self.figures.read(at + 1)
            if figure and not figure.article and figure.value < 60:
                return replace(self.make("day", at, figure.after), number=figure.value)
        if (
            self.low(at) == "d"
            and self.pieces[at + 1 : at + 2]
            and self.pieces[at].end == self.pieces[at + 1].start
        ):
            figure = self.figures.read(at + 1)
            if figure and figure.value < 60:
                return replace(self.make("day", at, figure.after), number=figure.value)
        if self.low(at) in _ORDINALS and self.low(at + 1) == "day":
            return replace(self.make("day", at, at + 2), number=float(_ORDINALS[self.low(at)]))
        if self.low(at) in _ORDINALS and self.low(at + 1) == "tray":
            return replace(
                self.make("traynumber", at, at + 2), number=float(_ORDINALS[self.low(at)])
            )
        if self.low(at) == "tray" and (self.low(at + 1) == "number" or self.figures.read(at + 1)):
            figure = self.figures.read(at + 1 + (self.low(at + 1) == "number"))
            if figure and figure.after == at + 2 and figure.value < 30:
                return replace(self.make("traynumber", at, figure.after), number=figure.value)
        return None

    def _number(self, at: int) -> Item | None:
        figure = self.figures.read(at)
        if figure is None and self.low(at) in ("a", "an", "one"):
            if self.low(at) == "one" and self.low(at - 1) in (
                "the",
                "this",
                "that",
                "which",
                "last",
            ):
                return None
            figure = Figure(1, 1, at, at + 1, article=True)
        if figure is None:
            return None
        return (
            self._trays(figure) or self._vessel(figure) or self._halves(figure) or self._heat(figure)
            or self._measured(figure) or self._counted(figure) or self._bare(figure)
        )  # fmt: skip

    def _trays(self, figure: Figure) -> Item | None:
        at = figure.after
        while at < figure.after + 5:
            if self.low(at) in _TRAY:
                if figure.article and self.low(at + 1) in ("free", "spare", "empty", "going", "to"):
                    return None
                if self.low(at) in ("rack", "racks") and self.low(at - 1) == "spice":
                    return None
                return replace(self.make("trays", figure.first, figure.after), number=figure.value)
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
        while self.low(at) in _JAR_SKIP:
            at += 1
        inner = self.figures.read(at)
        if inner and not inner.article:
            unit = unit_for(self.low(inner.after), self.measure)
            found = self._vessel_at(inner.after + 1) if unit and unit.si_unit == "ml" else None
            if unit and found:
                return self._filled(figure, found, inner.value * unit.si, figure.value)
        unit = unit_for(self.low(at), self.measure)
        found = self._vessel_at(at + 1) if unit and unit.si_unit in ("ml", "g") else None
        if unit is None or found is None:
            return None
        single = not found[0].head[-1].endswith("s")
        size = unit.si if unit.si_unit == "ml" else None
        if figure.article or (
            not figure.parts and figure.value < 20 and not (single and figure.value > 1)
        ):
            return self._filled(figure, found, size, figure.value)
        count = 1.0 if self.low(figure.first - 1) in ("a", "an", "one") or (
            figure.parts and self.low(figure.first) in ("a", "an", "one")) else None  # fmt: skip
        return self._filled(figure, found, figure.value * size if size else None, count)

    def _filled(
        self, figure: Figure, found: tuple[Entry, int], ml: float | None, count: float | None
    ) -> Item:
        item = self.make("vessel", figure.first, found[1], found[0].value)
        return replace(item, ml=round(ml) if ml else None, count=count)

    def _capacity(self, at: int) -> Item | None:
        unit = unit_for(self.low(at), self.measure) if self.pieces[at].kind == "word" else None
        if unit is None or unit.si_unit != "ml":
            return None
        found = self._vessel_at(at + 1)
        if found is None:
            return None
        return self._filled(Figure(1, 1, at, at + 1), found, unit.si, None)

    def _halves(self, figure: Figure) -> Item | None:
        """Three half pints: so many vessels of that size, though no vessel is named."""
        if self.low(figure.after) != "half" or figure.article or figure.value != int(figure.value):
            return None
        unit = unit_for(self.low(figure.after + 1), self.measure)
        if unit is None or unit.id not in ("pt", "gal"):
            return None
        item = self.make("vessel", figure.first, figure.after + 2)
        return replace(item, ml=round(unit.si / 2), count=figure.value)

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
            elif self.low(at) in _ADJECTIVES:
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
