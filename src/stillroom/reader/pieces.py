"""Cutting a note into tokens that remember where they stand."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

MAX_TOKENS = 12_000
_TOKEN = re.compile(
    r"(?P<num>\d+\s+\d\s*[/⁄]\s*\d+|\d+\s*[/⁄]\s*\d+|\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?[eE]\d{1,4}\b|\d+[.,]\d+|\.\d+|\d+)"
    r"|(?P<frac>[½¼¾⅓⅔⅛⅜⅝⅞⅙⅕])"
    r"|(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*|['’]em\b)"
    r"|(?P<punct>\n\s*\n|\n|[.,;:?!()°%\"″”#&+–—/£€$₹¢×-])"
)
_SPLIT = re.compile(r"(?i)^(.+)(['’](?:s|re|ve|m|ll|d))$")
_KEEP = {"i'd", "let's", "g'day", "o'clock"}


@dataclass(frozen=True, slots=True)
class Piece:
    """A word, number or mark of the note; ``low`` is lower case without accents."""

    kind: str
    text: str
    low: str
    start: int
    end: int


def fold(text: str) -> str:
    """Lower case, accents off, straight apostrophes.

    >>> fold("Purée’s")
    "puree's"
    """
    plain = unicodedata.normalize("NFD", text.lower().replace("’", "'"))
    return "".join(sign for sign in plain if not unicodedata.combining(sign))


def _words(text: str, start: int) -> list[Piece]:
    low = fold(text).removeprefix("'")
    split = _SPLIT.match(text) if low not in _KEEP else None
    if split is None:
        return [Piece("word", text, low, start, start + len(text))]
    cut = start + len(split.group(1))
    return [
        Piece("word", split.group(1), fold(split.group(1)), start, cut),
        Piece("word", split.group(2), fold(split.group(2)), cut, start + len(text)),
    ]


def cut_pieces(note: str) -> list[Piece]:
    """The tokens of a note, at most ``MAX_TOKENS``.

    >>> [piece.low for piece in cut_pieces("They're 2½ lb.")]
    ['they', "'re", '2', '½', 'lb', '.']
    """
    out: list[Piece] = []
    for found in _TOKEN.finditer(note):
        if len(out) >= MAX_TOKENS:
            break
        text, start, end = found.group(), found.start(), found.end()
        kind = found.lastgroup or "punct"
        if kind == "word":
            out.extend(_words(text, start))
        elif text == "-" and _hyphen(note, start, end):
            continue
        else:
            out.append(Piece(kind, text, "\n" if text[0] == "\n" else text, start, end))
    return out


def _hyphen(note: str, start: int, end: int) -> bool:
    """A hyphen inside a compound ("half-gallon", "¼-inch") separates nothing."""
    before, after = note[start - 1 : start], note[end : end + 1]
    return bool(before.strip() and after.strip() and not (before.isdigit() and after.isdigit()))
