"""From counts and volumes to grams: what a bushel, a bunch or a cup of a food weighs."""

from __future__ import annotations

from collections.abc import Iterable
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
    said = _said(amount)
    if amount.si_unit == "g":
        return said
    if item.food is None or item.food not in tables.foods:
        return None
    form = "dried" if item.dried else None
    per = tables.portion_g(item.food, amount.unit, size=item.size, cut=item.cut, form=form)
    if per is None:
        return None
    plural = tables.foods[item.food].plural
    volume = amount.si_unit == "ml"
    assumed = f"{plural} at {per.likely:.2f} g/ml" if volume else f"{per.likely:.0f} g to one"
    return Range(
        said.low * per.low, said.likely * per.likely, said.high * per.high, (assumed,),
        driver="how it fills the measure" if volume else "the size of the pieces",
        sources=per.sources,
    )  # fmt: skip


def _said(amount: Amount) -> Range:
    if amount.si is not None:
        return exactly(amount.si)
    return Range(amount.si_low or 0.0, amount.si_likely, amount.si_high or 0.0)


def trim_loss(food: str, preps: Iterable[str], tables: Tables) -> Range:
    """The fraction of the weight that the steps told take off [1].

    Only steps that were said count: a weight said after peeling must not lose its peel twice,
    so the low end is no loss at all.
    """
    figure = tables.loss(food, preps)
    return Range(0.0, figure.likely, figure.high, driver="trimming", sources=figure.sources)
