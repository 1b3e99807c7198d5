"""From counts and volumes to grams: what a bushel, a bunch or a cup of a food weighs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stillroom.base.statement import Amount, Statement
from stillroom.science.range import Range, exactly

if TYPE_CHECKING:
    from stillroom.tables.tables import Tables


def grams_of(item: Statement, tables: Tables) -> Range | None:
    """The mass that a statement's amount stands for [g].

    Args:
        item: a statement with an amount.
        tables: the knowledge tables.

    Returns:
        The mass with its range; None when there is no amount or no table knows the measure.
    """
    amount = item.amount
    if amount is None:
        return None
    if amount.si_unit == "g":
        return _said(amount)
    if item.food is None:
        return None
    form = "dried" if item.dried else None
    per = tables.portion_g(item.food, amount.unit, size=item.size, cut=item.cut, form=form)
    if per is None:
        return None
    said = _said(amount)
    return Range(
        said.low * per.low, said.likely * per.likely, said.high * per.high,
        (f"1 {amount.unit} of {item.food} as {per.likely:.0f} g",) if amount.si_unit != "ml" else
        (f"{item.food} at {per.likely:.2f} g/ml",),
        driver="size of the pieces" if amount.si_unit == "count" else "how it fills the measure",
        sources=per.sources,
    )  # fmt: skip


def _said(amount: Amount) -> Range:
    if amount.si is not None:
        return exactly(amount.si)
    return Range(amount.si_low or 0.0, amount.si_likely, amount.si_high or 0.0)
