"""Money in a note: "£1.20", "32p", "28 cents", "R2.85"; it is never an amount of food."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stillroom.reader.figures import Figure, FigureReader
from stillroom.reader.pieces import Piece

# The codes are those of ISO 4217. "$" and "cents" are money of several countries: the dollar
# keeps its sign, a cent alone names no currency.
_SIGNS = {"£": "GBP", "€": "EUR", "$": "$", "₹": "INR"}
_LETTERS = {"r": "ZAR", "rs": "INR", "gbp": "GBP", "eur": "EUR", "usd": "USD", "inr": "INR",
            "zar": "ZAR", "aud": "AUD", "nzd": "NZD", "cad": "CAD"}  # fmt: skip
_WHOLE = {
    "quid": "GBP", "euro": "EUR", "euros": "EUR", "dollar": "$", "dollars": "$", "bucks": "$",
    "buck": "$", "rand": "ZAR", "rands": "ZAR", "rupee": "INR", "rupees": "INR", "gbp": "GBP",
    "eur": "EUR", "usd": "USD", "inr": "INR", "zar": "ZAR", "aud": "AUD", "nzd": "NZD",
    "cad": "CAD", "€": "EUR", "£": "GBP", "$": "$", "₹": "INR",
}  # fmt: skip
_HUNDREDTHS = {"p": "GBP", "pence": "GBP", "penny": "GBP", "cent": "", "cents": "", "¢": "",
               "paise": "INR", "paisa": "INR", "ct": "", "cts": ""}  # fmt: skip


_SPENT = {"paid", "cost", "costs", "spent", "costing"}


@dataclass(frozen=True, slots=True)
class Money:
    """A sum from ``first`` up to but not including ``after``; ``currency`` may be unknown."""

    value: float
    currency: str
    first: int
    after: int


def signed_money(pieces: Sequence[Piece], figures: FigureReader, at: int) -> Money | None:
    """The sum that a sign or letters at a place begin: "£1.20", "R2.85"."""
    low = pieces[at].low
    sign = _SIGNS.get(low) or (_LETTERS.get(low) if _stuck(pieces, at) else None)
    figure = figures.read(at + 1) if sign else None
    if sign is None or figure is None or figure.article:
        return None
    return Money(figure.value, sign, at, _per(figures, figure.after))


def named_money(figures: FigureReader, figure: Figure) -> Money | None:
    """The sum that a figure is when the word after it names money: "32p", "two rand"."""
    if figure.article:
        return None
    word = figures.low(figure.after)
    if word in _WHOLE:
        return Money(figure.value, _WHOLE[word], figure.first, _per(figures, figure.after + 1))
    after = _per(figures, figure.after + 1)
    if word in _HUNDREDTHS:
        return Money(figure.value / 100, _HUNDREDTHS[word], figure.first, after)
    priced = after > figure.after + 1 or figures.low(figure.first - 1) in _SPENT
    if word in ("pound", "pounds") and priced:  # sterling: "paid four pounds", "two pounds a kilo"
        return Money(figure.value, "GBP", figure.first, after)
    return None


def _per(figures: FigureReader, at: int) -> int:
    """The place after "a kilo", "per punnet": what the money is paid for is no amount."""
    priced = figures.low(at) in ("a", "per")
    measured = figures.is_unit(at + 1) or figures.low(at + 1) == "punnet"
    return at + 2 if priced and measured else at


def _stuck(pieces: Sequence[Piece], at: int) -> bool:
    """R2.85, Rs 8, EUR 3: capital letters before figures."""
    if at + 1 >= len(pieces) or pieces[at + 1].kind != "num" or not pieces[at].text[:1].isupper():
        return False
    return len(pieces[at].low) > 1 or pieces[at].end == pieces[at + 1].start
