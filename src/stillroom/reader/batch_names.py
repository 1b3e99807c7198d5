"""Names of batches as the journal gives them: "apple-1" is one batch, not one apple."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from stillroom.base.quantity import unit_words
from stillroom.reader.pieces import Piece, fold
from stillroom.tables.tables import tables

_NUMBER = re.compile(r"-(\d{1,3})$")


@cache
def _last_words() -> frozenset[str]:
    """The last words of the foods' canonical names."""
    return frozenset(fold(food).split()[-1] for food in tables().foods)


def join_batch_names(pieces: Sequence[Piece], note: str) -> list[Piece]:
    """The tokens with the number of a batch taken into the word before it."""
    out: list[Piece] = []
    for at, piece in enumerate(pieces):
        last = out[-1] if out else None
        if last is not None and _numbers(last, piece, pieces[at + 1 : at + 2], note):
            text = note[last.start : piece.end]
            out[-1] = replace(last, text=text, end=piece.end)
            continue
        out.append(piece)
    return out


def _numbers(last: Piece, piece: Piece, following: Sequence[Piece], note: str) -> bool:
    joined = last.end + 1 == piece.start and note[last.end] == "-"
    measured = any(next_.start == piece.end and next_.low in unit_words() for next_ in following)
    return (
        joined and piece.kind == "num" and piece.low.isdecimal() and len(piece.low) < 4
        and last.low in _last_words() and not measured
    )  # fmt: skip


def batch_name(words: str, food: str) -> str | None:
    """The batch that a stretch names, such as ``apple-1``."""
    found = _NUMBER.search(words)
    return f"{food}-{found[1]}" if found else None
