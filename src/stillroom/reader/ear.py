"""What every part of the hearing shares: the words, what stands around them, what was taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from stillroom.reader.evidence import Evidence
from stillroom.reader.lexicon import HEARD, Lexicon, lexicon
from stillroom.reader.pieces import Piece
from stillroom.tables.tables import tables


@dataclass(frozen=True, slots=True)
class Guess:
    """A stretch of the note that was read as another word."""

    start: int
    end: int
    heard: str
    taken: str


class Ear:
    """The tokens of one note, as heard and as taken so far."""

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

    def _take(self, first: int, after: int, low: str, taken: str) -> int:
        head, last = self.pieces[first], self.pieces[after - 1]
        heard = " ".join(piece.text for piece in self.pieces[first:after])
        self.out.append(replace(head, low=low, end=last.end, text=heard))
        self.guesses.append(Guess(head.start, last.end, heard, taken))
        return after

    def _food(self, first: int, after: int, food: str) -> int:
        return self._take(first, after, HEARD + food, tables().foods[food].plural)
