"""A batch that is said to be divided in two: "split the plums into two lots, 150 g and 90 g"."""

from __future__ import annotations

import re

from stillroom.base.statement import Statement
from stillroom.journal.draft import Draft
from stillroom.journal.fresh import open_of, split
from stillroom.journal.hints import share_said
from stillroom.journal.records import Batch
from stillroom.journal.stock import fresh_left, present

_DIVIDED = re.compile(
    r"\b(split|divided?|parted|separated)\b.{0,60}?"
    r"\b(two|2|half|halves|lots|batches|parts|piles)\b",
    re.I,
)
_WHOLE = 0.999  # a share above this leaves nothing to divide


def plan_divide(draft: Draft, item: Statement) -> str | None:
    """Two batches of one, where the words divide it and tell how large a part is.

    Returns:
        The batch of the part that was told, or None when nothing is divided: packed food is put
        into other vessels instead, and food that the journal does not know begins anew.
    """
    if item.food is None or not _DIVIDED.search(draft.sentence(item)):
        return None
    fits = open_of(draft, item, ("drying", "conditioning", "in-hand"))
    share = _part(draft, item, fits[0]) if fits else None
    if share is None or not 0 < share < _WHOLE:
        return None
    first, _rest = split(draft, fits[0], share, draft.at(item))
    return first


def _part(draft: Draft, item: Statement, batch: Batch) -> float | None:
    """The share of the batch that the amount said is, or the share that is said itself."""
    grams, _ = draft.grams(item, batch["form"], batch["dried"])
    held = present(batch) if batch["dried"] else fresh_left(batch)
    if grams is None:
        return item.share or share_said(item.text)
    return grams / held if held else None
