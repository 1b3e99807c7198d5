"""Amounts that cannot be meant as read: nothing, a minus, more than a house could dry."""

from __future__ import annotations

import re
from collections.abc import Iterable

from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer
from stillroom.talk.echo import plain_amount

MOST_G = 2_000_000.0
"""Heaviest amount taken at its word [g]: two tonnes, far beyond a household's harvest."""
MOST_ML = 4_000_000.0
_MINUS = re.compile(r"(?:^|\s)[-−]\d[\d.,]*\s*(?:kg|g|lbs?|oz|l|ml|cups?)\b", re.IGNORECASE)


def _size(item: Statement) -> float | None:
    amount = item.amount
    if amount is None:
        return None
    return amount.si if amount.si is not None else amount.si_high


def _odd(item: Statement) -> str:
    size = _size(item)
    if size is None or item.amount is None:
        return ""
    said = plain_amount(item.amount)
    if size <= 0:
        return f"There is nothing to work out for {said}; say how much it is."
    most = MOST_ML if item.amount.si_unit == "ml" else MOST_G
    if size > most:
        return f"{said} is more than any house dries, so I worked nothing out; say it again?"
    return ""


def odd_amounts(answer: Answer) -> dict[str, str]:
    """What is odd about an amount, by the batch that it was said of."""
    return {item.batch or "": text for item in answer.reading.statements if (text := _odd(item))}


def odd_lines(answer: Answer) -> Iterable[str]:
    """A sentence for each amount that cannot be meant as it was read."""
    yield from dict.fromkeys(odd_amounts(answer).values())
    for match in _MINUS.findall(answer.reading.note):
        yield f"I took the minus in “{match.strip()}” as a dash."
