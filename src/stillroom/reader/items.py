"""What is recognised in a note: foods, amounts, lengths, heats, vessels, signs, verbs."""

from __future__ import annotations

from dataclasses import dataclass

from stillroom.base.quantity import Unit
from stillroom.base.statement import Amount
from stillroom.reader.figures import Figure


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
