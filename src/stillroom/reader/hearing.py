"""Words heard as others: taken for a food, a step or a number only where context asks for it.

Exact meanings come first: a word that the lexicon knows is left alone unless a table says that a
phone hears it in another's place (foods.csv ``misheard``, rows ``heard`` of words.csv). A word
that nobody knows is compared by sound and by spelling. Either way the words around it must make
a food likely, and what was taken is kept for the echo.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from stillroom.reader.ear import Guess
from stillroom.reader.evidence import measures_food
from stillroom.reader.heard_numbers import HeardNumbers
from stillroom.reader.heard_words import ENOUGH, HeardWords, plain, wary
from stillroom.reader.lexicon import HEARD
from stillroom.reader.pieces import Piece
from stillroom.reader.soundalike import near_foods, same_sounding


@dataclass(frozen=True, slots=True)
class Heard:
    """The tokens as taken, what was guessed, and what may be one of several foods."""

    pieces: list[Piece]
    guesses: tuple[Guess, ...] = ()
    doubts: tuple[tuple[str, tuple[str, ...]], ...] = ()


class Hearing(HeardWords, HeardNumbers):
    """Listens to the tokens of one note."""

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
        if piece.low in wary():
            return 0
        weight = self.around.weight(at, at + 1)
        if weight < (ENOUGH if len(piece.low) > 4 else ENOUGH + 1):
            return 0
        ordinary = piece.low in plain()
        if ordinary and not self.around.measured(at):
            return 0
        foods = same_sounding(piece.low) if ordinary else near_foods(piece.low)
        if not foods:
            return 0
        if len(foods) > 1:
            self.doubts.append((piece.text, foods))
            return 0
        return self._food(at, at + 1, foods[0])
