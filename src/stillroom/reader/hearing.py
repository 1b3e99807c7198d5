"""Words heard as others: taken for a food, a step or a number only where context asks for it.

Exact meanings come first: a word that the lexicon knows is left alone unless a table says that a
phone hears it in another's place (foods.csv ``misheard``, rows ``heard`` of words.csv). A word
that nobody knows is compared by sound and by spelling. Either way the words around it must make
a food likely, and what was taken is kept for the echo.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

from stillroom.reader.evidence import Evidence, measures_food
from stillroom.reader.figures import is_number_word
from stillroom.reader.lexicon import HEARD, Entry, Lexicon, lexicon
from stillroom.reader.pieces import Piece, fold
from stillroom.reader.soundalike import near_foods
from stillroom.tables.tables import tables

_ENOUGH = 2
_LONGEST = 4
_EIGHT_NOT_AFTER = {
    "i", "we", "they", "he", "she", "you", "who", "children", "kids", "it", "that", "already",
}  # fmt: skip
_FOUR_NOT_AFTER = {
    "looking", "look", "room", "enough", "lids", "labels", "time", "ready", "off", "searching",
    "pay", "paid", "waiting", "weight", "good", "asked", "care", "used",
}  # fmt: skip
_TWO_NOT_AFTER = {
    "on", "in", "over", "up", "moved", "went", "transferred", "move", "go", "back", "down",
    "close", "next", "added", "add", "gone", "attached", "stuck", "sticking", "stick", "came",
    "come", "comes",
}  # fmt: skip
_LONG_TIME = {"hours", "days", "weeks", "months", "years", "ages", "hour", "day", "week"}
_PLURAL_MEASURES = {"trays", "racks", "jars", "bags", "tins", "sheets", "boxes", "screens"}
_SOUNDS = {
    "for": "four",
    "fore": "four",
    "to": "two",
    "too": "two",
    "ate": "eight",
    "won": "one",
    "tree": "three",
}
_HERB_MEASURES = {"bunch", "bunches", "sprig", "sprigs", "handful", "handfuls"}
_SIZES = {
    "pint",
    "quart",
    "half",
    "litre",
    "liter",
    "gallon",
    "mesh",
    "full",
    "big",
    "large",
    "small",
    "more",
}


@dataclass(frozen=True, slots=True)
class Guess:
    """A stretch of the note that was read as another word."""

    start: int
    end: int
    heard: str
    taken: str


@dataclass(frozen=True, slots=True)
class Heard:
    """The tokens as taken, what was guessed, and what may be one of several foods."""

    pieces: list[Piece]
    guesses: tuple[Guess, ...] = ()
    doubts: tuple[tuple[str, tuple[str, ...]], ...] = ()


@cache
def _misheard() -> dict[tuple[str, ...], str]:
    """The foods by what a phone hears in their place."""
    return {
        tuple(fold(word).split()): food.id
        for food in tables().foods.values() for word in food.misheard
    }  # fmt: skip


@cache
def _wary() -> frozenset[str]:
    """Ordinary words that are taken for a food only after an amount of it."""
    entries = lexicon().frame["wary"].values()
    return frozenset(" ".join(entry.head) for table in entries for entry in table)


class Hearing:
    """Listens to the tokens of one note."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = list(pieces)
        self.lows = [piece.low for piece in pieces]
        self.words: Lexicon = lexicon()
        self.around = Evidence(self.lows, self.words)
        self.guesses: list[Guess] = []
        self.doubts: list[tuple[str, tuple[str, ...]]] = []
        self.believed: dict[tuple[str, ...], str] = {}
        self.out: list[Piece] = []
        self.named: list[str] = []

    def run(self) -> Heard:
        """The tokens with the guesses put in."""
        self._believe()
        at = 0
        while at < len(self.pieces):
            at = (
                self._idiom(at)
                or self._short(at)
                or self._phrase(at)
                or self._number(at)
                or self._table(at)
                or self._shy(at)
                or self._unknown(at)
                or self._keep(at)
            )
        return Heard(self.out, tuple(self.guesses), tuple(dict.fromkeys(self.doubts)))

    def _keep(self, at: int) -> int:
        self.out.append(self.pieces[at])
        return at + 1

    def _short(self, at: int) -> int:
        """Beans after runner beans are those beans, unless a new amount of them is named."""
        best = self.words.best(self.lows, at)
        for entry in self.words.frame["short"].get(self.lows[at], ()):
            whole = best is None or best.head == entry.head
            generic = best.value if best else ""
            if not whole or entry.value not in self.named or generic in self.named:
                continue
            if measures_food(self.around.low(at - 1)) or (
                measures_food(self.around.low(at - 2)) and not self._asked(at)
            ):
                continue
            self.out.append(replace(self.pieces[at], low=HEARD + entry.value))
            return at + 1
        if best and best.kind == "food" and best.value not in self.named:
            self.named.append(best.value)
        return 0

    def _asked(self, at: int) -> bool:
        """Whether a question stands shortly before."""
        return any(
            low in ("how", "what", "do", "does", "will", "would")
            for low in self.lows[max(0, at - 9) : at]
        )

    def _phrase(self, at: int) -> int:
        """A food of several words is itself: "lemon balm", "bay leaves"."""
        entry = self.words.best(self.lows, at)
        if entry is None or entry.kind != "food" or len(entry.head) < 2:
            return 0
        shy = self.words.framed("shy", self.lows, at)
        if shy and shy.head == entry.head:
            return 0
        self.out.extend(self.pieces[at : at + len(entry.head)])
        return at + len(entry.head)

    def _idiom(self, at: int) -> int:
        entry = self.words.best(self.lows, at)
        if entry is None or entry.kind != "idiom" or self.around.weight(at + 1, at + 2) >= 4:
            return 0
        after = at + len(entry.head)
        self.out.extend(self.pieces[at:after])
        return after

    def _take(self, first: int, after: int, low: str, taken: str) -> int:
        head, last = self.pieces[first], self.pieces[after - 1]
        heard = " ".join(piece.text for piece in self.pieces[first:after])
        self.out.append(replace(head, low=low, end=last.end, text=heard))
        self.guesses.append(Guess(head.start, last.end, heard, taken))
        return after

    def _food(self, first: int, after: int, food: str) -> int:
        return self._take(first, after, HEARD + food, tables().foods[food].plural)

    # tables

    def _believe(self) -> None:
        """What is clearly a food once is that food again in the same note."""
        for at in range(len(self.lows)):
            for length in range(_LONGEST, 0, -1):
                key = tuple(self.lows[at : at + length])
                food = _misheard().get(key)
                if food is None or " ".join(key) in _wary():
                    continue
                if self.around.weight(at, at + length) >= _ENOUGH and not self._fixed(at):
                    self.believed[key] = food

    def _fixed(self, at: int) -> bool:
        """Whether a place lies inside an idiom that begins before it."""
        return any(
            (entry := self.words.best(self.lows, first)) is not None
            and entry.kind == "idiom" and first + len(entry.head) > at
            for first in range(max(0, at - 4), at + 1)
        )  # fmt: skip

    def _table(self, at: int) -> int:
        for length in range(_LONGEST, 0, -1):
            key = tuple(self.lows[at : at + length])
            if len(key) < length:
                continue
            food = _misheard().get(key)
            if food and self._likely(key, at, at + length):
                return self._food(at, at + length, food)
        return self._step(at)

    def _likely(self, key: tuple[str, ...], first: int, after: int) -> bool:
        if " ".join(key) in _wary():
            return self.around.measured(first)
        weight = self.around.weight(first, after)
        if weight >= _ENOUGH or (len(key) > 1 and weight >= 1):
            return True
        if key not in self.believed:
            return False
        before = self.around.low(first - 1)
        return weight >= 1 or before in ("the", "dried", "of", "my", "those", "and", "for", "with")

    def _step(self, at: int) -> int:
        """Preps, cuts, surfaces and units: "pealed and cord", "fine mash", "condition in"."""
        found = self.words.frame["heard"].get(self.lows[at], ())
        for entry in sorted(found, key=lambda entry: (-len(entry.head), entry.weight)):
            after = at + len(entry.head)
            if tuple(self.lows[at:after]) != entry.head:
                continue
            if entry.weight < 9 and not self._step_likely(entry, at, after):
                continue
            return self._take(at, after, entry.value, entry.value)
        return 0

    def _step_likely(self, entry: Entry, first: int, after: int) -> bool:
        value = entry.value
        if entry.weight == 3:
            return self._herbal(first, after)
        meant = tuple(value.split())
        kind = next((e.kind for e in self.words.sense.get(meant[0], ()) if e.head == meant), "")
        before, behind = self.around.low(first - 1), self.around.low(after)
        neighbours = {self.around.kind(first - 1), self.around.kind(after)}
        if before in ("and", ",", "um"):
            neighbours.add(self.around.kind(first - 2))
        if behind in ("and", ",", "um"):
            neighbours.add(self.around.kind(after + 1))
        if behind in ("them", "em", "it", "those") and before in ("i", "we", "and", "'ve", "have"):
            neighbours.add("pron")
        if kind in ("prep", "cut"):
            return bool(neighbours & {"prep", "cut", "pron"}) or (
                entry.weight >= 7 and "food" in neighbours
            )
        if kind == "surface":
            return before in ("fine", "on", "the") and (
                before == "fine" or self._traylike(first, after)
            )
        if kind in ("sign", "vessel") or measures_food(value):
            return (
                "sign" in neighbours
                or is_number_word(before)
                or before in ("a", "half", "feel", "and", "are")
            )
        return False

    def _herbal(self, first: int, after: int) -> bool:
        before = self.around.low(first - 2 if self.around.low(first - 1) == "of" else first - 1)
        return before in _HERB_MEASURES or self.around.low(after) in ("leaves", "leaf", "sprigs")

    def _traylike(self, first: int, after: int) -> bool:
        near = self.lows[max(0, first - 5) : after + 5]
        return bool({"trays", "tray", "dryer", "degrees", "loaded"} & set(near))

    # numbers

    def _number(self, at: int) -> int:
        number = _SOUNDS.get(self.lows[at])
        if number is None:
            return 0
        before, behind = self.around.low(at - 1), self.around.low(at + 1)
        if (is_number_word(before) and number != "four") or before[:1].isdigit():
            return 0
        between = before == "between" and behind in ("and", "to", "or")
        if not between and not self._counts(number, at, before, behind):
            return 0
        return self._take(at, at + 1, number, number)

    def _counts(self, number: str, at: int, before: str, behind: str) -> bool:
        if number == "eight":
            return before not in _EIGHT_NOT_AFTER and (self._measure(behind) or self._eaten(at))
        if number == "four":
            if before in _FOUR_NOT_AFTER or is_number_word(before):
                return False
            return self._measure(behind) or (
                behind in _SIZES and self._measure(self.around.low(at + 2))
            )
        if number == "two":
            if before in _TWO_NOT_AFTER or is_number_word(before):
                return False
            return self._measure(behind) or (
                behind in _SIZES and self._measure(self.around.low(at + 2))
            )
        return measures_food(behind) or behind in ("tray", "trays", "jar", "jars")

    def _measure(self, word: str) -> bool:
        if word in _LONG_TIME:
            return False
        return (
            word in _PLURAL_MEASURES
            or word == "minutes"
            or (word.endswith("s") and measures_food(word))
        )

    def _eaten(self, at: int) -> bool:
        """Ate kiwis peeled and sliced: a count, unless somebody eats."""
        place = at + 1
        while self.around.kind(place) == "size" or self.around.low(place) in (
            "ripe",
            "fresh",
            "lovely",
        ):
            place += 1
        entry = self.words.best(self.lows, place) if place < len(self.lows) else None
        if entry is None or entry.kind != "food" or not entry.head[-1].endswith("s"):
            return False
        return self.around.kind(place + len(entry.head)) in ("prep", "cut")

    # single words

    def _shy(self, at: int) -> int:
        """A food's word with a life of its own (bay, cox, stag) needs food-like words around."""
        entry = self.words.framed("shy", self.lows, at)
        if entry is None:
            return 0
        best = self.words.best(self.lows, at)
        if best is None or best.kind != "food" or len(best.head) > len(entry.head):
            return 0
        if (
            self.around.weight(at, at + len(entry.head)) >= entry.weight
            or self.around.low(at - 1) == "dried"
        ):
            return 0
        for place in range(at, at + len(entry.head)):
            self.out.append(replace(self.pieces[place], low="~" + self.lows[place]))
        return at + len(entry.head)

    def _unknown(self, at: int) -> int:
        piece = self.pieces[at]
        if piece.kind != "word" or len(piece.low) < 4 or self.words.best(self.lows, at):
            return 0
        if piece.low in _wary():
            return 0
        weight = self.around.weight(at, at + 1)
        if weight < (_ENOUGH if len(piece.low) > 4 else _ENOUGH + 1):
            return 0
        foods = near_foods(piece.low)
        if not foods:
            return 0
        if len(foods) > 1:
            self.doubts.append((piece.text, foods))
            return 0
        return self._food(at, at + 1, foods[0])
