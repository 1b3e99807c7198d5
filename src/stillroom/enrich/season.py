"""What the season so far adds to a note: stock, weighings, and what own batches have taught."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from stillroom.base.fact import Number
from stillroom.base.statement import Statement
from stillroom.science.juice import JuiceKept
from stillroom.science.mixes import Line

LEARNED_FIGURES = ("dry_mass", "end_mass", "drying_time")
"""Figures that are held against what really came of them."""


@dataclass(frozen=True)
class Season:
    """The journal as plain values.

    Args:
        shelf: dried stock, one line a batch.
        weighings: by batch: (hours since loading, g without the tray), in order.
        factors: by (food, figure): what to multiply a first guess by, and the sentence on it.
        preps: by batch: preparation steps told in earlier notes.
        juice: juice kept so far, lot by lot.
        today: the day.
        earlier: statements told shortly before this note.
    """

    shelf: Sequence[Line] = ()
    weighings: Mapping[str, Sequence[tuple[float, float]]] = field(default_factory=dict)
    factors: Mapping[tuple[str, str], tuple[float, str]] = field(default_factory=dict)
    preps: Mapping[str, Sequence[str]] = field(default_factory=dict)
    juice: Sequence[JuiceKept] = ()
    today: date | None = None
    earlier: tuple[Statement, ...] = ()

    def adjusted(self, number: Number, food: str | None) -> Number:
        """A first guess shifted by what own batches of the food came to."""
        factor, sentence = self.factors.get((food or "", number.name), (1.0, ""))
        if factor == 1.0:
            return number
        said = (sentence,) if sentence else ()
        return replace(
            number, low=number.low * factor, likely=number.likely * factor,
            high=number.high * factor, assumes=(*number.assumes, *said),
        )  # fmt: skip
