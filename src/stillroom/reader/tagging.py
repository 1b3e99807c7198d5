"""From tokens to items, longest phrase first."""

from __future__ import annotations

from dataclasses import replace

from stillroom.base.quantity import unit_for
from stillroom.reader.compounds import Compounds
from stillroom.reader.figures import Figure
from stillroom.reader.items import Item
from stillroom.reader.lexicon import Entry, tail_at
from stillroom.reader.measures import ADJECTIVES
from stillroom.reader.money import Money, named_money, signed_money

_TRAY = {"tray", "trays", "rack", "racks", "trayful", "trayfuls", "trayfull"}
_DRYERS = {"oven", "dryer", "drier", "dehydrator", "machine"}
_COOKS_C, _COOKS_BIRD_C = 71.0, 73.8  # 160 F and 165 F: less than that cooks no meat (fsis-jerky)
_BIRDS = {"chicken", "turkey", "duck", "goose", "poultry", "pheasant", "bird", "birds"}
_LENGTHWISE = ("in half", "in two", "open", "length", "down the", "in halves")
_CITRUS = {"orange", "lemon", "lime"}
_PEELS = {"peel", "peels", "zest", "rind", "rinds"}
_MIXES = {"tea", "rub", "mix", "blend", "seasoning", "stew", "soup", "stock", "granola", "muesli"}
_SEASONS = {"herbs", "spice", "spices", "topping", "dressing", "sprinkle", "broth", "bouillon",
            "curry", "masala", "dip", "base", "starter", "crust", "coating"}  # fmt: skip
"""Names of a mix when spoonfuls follow; by themselves they may be a crop or a dish."""
_SPOONS = {"tsp", "tbsp", "cup"}
_INCHES = {"inch", "inches", "an", "centimetre", "centimeter", "cm"}
_DRIED_THINGS = {"the", "my", "our", "some", "them", "those", "these", "it", "more", "all"}
_WIPES = {"squeezed", "squeeze", "patted", "pat", "wiped", "wipe", "shaken", "shook", "spun",
          "wrung", "blotted", "towelled", "dabbed", "rubbed", "pressed"}  # fmt: skip
_ORDINALS = {
    "first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7,
    "eighth": 8, "ninth": 9, "tenth": 10,
}  # fmt: skip


class Tagger(Compounds):
    """Tags the tokens of one note."""

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
                kind = "act" if within.value == "brine" else "cut"
                out.append(replace(item, kind=kind, value=within.value))
            at = item.last + 1
        return out

    def _item(self, at: int) -> Item:
        entry = self.words.best(self.lows, at)
        if self.low(at + 1) == ":" and (
            self.low(at) in _MIXES or (self.low(at) in _SEASONS and self._spooned(at + 2))
        ):
            return self.make("act", at, at + 1, "blend")
        if entry and entry.kind == "idiom":
            return self.make("idiom", at, at + len(entry.head))
        if entry and entry.head == ("in", "half") and self._capacity(at + 1):
            return self._plain(at)  # in half-pint jars: no cut
        money = self._money(signed_money(self.pieces, self.figures, at))
        return (
            self._date(at) or money or self._day(at) or self._inch_pieces(at) or self._capacity(at)
            or self._number(at) or self._entry(entry, at) or self._plain(at)
        )  # fmt: skip

    def _spooned(self, at: int) -> bool:
        """Whether the first thing of a list is measured by the spoon or the cup."""
        units = (unit_for(low, self.measure) for low in self.lows[at : at + 4])
        return any(unit is not None and unit.id in _SPOONS for unit in units)

    def _plain(self, at: int) -> Item:
        piece = self.pieces[at]
        kind = "word" if piece.kind == "word" else "mark"
        measured = self.low(at - 1) in ("inch", "cm", "mm", "inches") or (
            self.low(at - 1) == "in" and self.pieces[at - 2].kind in ("num", "frac")
        )
        if piece.low in ("pieces", "lengths") and measured:
            return self.make("cut", at, at + 1, "chopped")
        if piece.low in _TRAY:
            kind = "traynoun"
        return self.make(kind, at, at + 1, piece.low)

    def _entry(self, entry: Entry | None, at: int) -> Item | None:
        if entry is None:
            return None
        after = at + len(entry.head)
        if entry.kind == "food":
            if entry.value in _CITRUS and self.low(after) in _PEELS:
                return self.make("food", at, after + 1, "citrus peel")
            if self._part_of(after) or self._compound(entry, at, after):
                return self.make("idiom", at, after + 1)
            if entry.value in _TRAY:
                return None
        if self._otherwise(entry, at, after):
            return None
        if entry.kind == "prep" and entry.head[-1] == "to":
            return self._heated(entry, at, after)
        if entry.tail:
            place = tail_at(entry, self.lows, at)
            if place is not None:
                self.tails[place] = place + len(entry.tail)
        return self.make(entry.kind, at, after, entry.value)

    def _times_trays(self, figure: Figure) -> Item | None:
        """Solid trays x 2: the number after its trays."""
        times = self.low(figure.first - 1) in ("x", "×") and self.low(figure.first - 2) in _TRAY
        if not times or figure.article:
            return None
        return replace(self.make("trays", figure.first, figure.after), number=figure.value)

    def _heated(self, entry: Entry, at: int, after: int) -> Item | None:
        """Heated to 160 F: a step of its own, unless it is the dryer that is heated."""
        figure = self.figures.read(after)
        heat = self._heat(figure) if figure else None
        if figure is None or _DRYERS & set(self.lows[max(0, at - 4) : at]):
            return None
        number, scale = (heat.number, heat.scale) if heat else (figure.value, "")
        if (number if scale == "C" or number < 100 else (number - 32) / 1.8) < self._cooks(at):
            return None
        return self.make("prep", at, heat.last + 1 if heat else figure.after, entry.value)

    def _cooks(self, at: int) -> float:
        """The heat that cooks what the note speaks of [deg C]."""
        return _COOKS_BIRD_C if _BIRDS & set(self.lows[:at]) else _COOKS_C

    def _part_of(self, after: int) -> bool:
        """Apple tree, carrot soup; but courgette bread and butter pickles are of courgettes."""
        part = self.words.framed("part", self.lows, after) if after < len(self.lows) else None
        if part is None:
            return False
        longer = self.words.best(self.lows, after)
        return longer is None or len(longer.head) <= len(part.head)

    def _dries(self, after: int) -> bool:
        """Dry at 55, dry for ten hours, dry on mesh: what to do, not how it looks."""
        low = self.low(after)
        if low in ("overnight", "until", "till"):
            return True
        if low in ("at", "for", "on") and after + 1 < len(self.pieces):
            following = self.words.best(self.lows, after + 1)
            return self.figures.read(after + 1) is not None or (
                following is not None and following.kind == "surface"
            )
        return False

    def _otherwise(self, entry: Entry, at: int, after: int) -> bool:
        """Words that mean something else here: "the whole morning", "cut in half inch cubes"."""
        if entry.head == ("whole",) and self.low(at - 1) == "the":
            return not self._sized(at, after)
        if entry.kind == "cut" and entry.head[-1] in ("half", "quarters"):
            return self.low(after) in _INCHES
        if entry.head == ("dry",):
            return (
                self.low(after) in _DRIED_THINGS
                or self.low(at - 1) in ("to", "us", "i", "we", *_WIPES)
                or (self.low(at - 1) in ("it", "them", "em") and self.low(at - 2) in _WIPES)
                or self._dries(after)
            )
        if entry.head == ("split",):
            shared = self.low(after) in ("the", "them", "my", "our", "it", "those", "that")
            text = " ".join(self.lows[after : after + 6])
            return shared and not any(word in text for word in _LENGTHWISE)
        if entry.head == ("bend",) and self.low(at - 1) in ("you", "i", "we", "to"):
            return True  # what is done to them, not what they do
        if entry.head == ("crumbled",):
            return self.low(after) in ("it", "them", "into", "up", "onto", "over", "on", "and")
        return entry.kind == "size" and not self._sized(at, after)

    def _sized(self, at: int, after: int) -> bool:
        """A size is said of a food: "six small kohlrabi", "kohlrabi, small"."""
        for place in range(after, min(after + 4, len(self.lows))):
            entry = self.words.best(self.lows, place)
            if entry and entry.kind in ("food", "dried"):
                return True
            if (
                not (entry and entry.kind in ("cut", "prep", "size"))
                and self.low(place) not in ADJECTIVES
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

    def _date(self, at: int) -> Item | None:
        """A calendar date, so that its numbers are no amounts."""
        said = self.dates.read(at)
        return self.make("date", at, said.after) if said else None

    def _money(self, sum_: Money | None) -> Item | None:
        if sum_ is None:
            return None
        item = self.make("money", sum_.first, sum_.after, sum_.currency)
        return replace(item, number=sum_.value)

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
        figure = self.figures.read(at) or self._bare_unit(at)
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
            self._money(named_money(self.figures, figure))
            or self._times_trays(figure) or self._trays(figure)
            or self._vessel(figure) or self._halves(figure)
            or self._heat(figure) or self._measured(figure)
            or self._counted(figure) or self._bare(figure)
        )  # fmt: skip
