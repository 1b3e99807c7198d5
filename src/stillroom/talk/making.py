"""Mixes of a recipe that a note makes: held against the stock as it is before the note."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from stillroom.base.statement import Reading

if TYPE_CHECKING:
    from stillroom.journal.records import Made
    from stillroom.science.mixes import Line
    from stillroom.talk.session import Session


@dataclass(frozen=True)
class Mixes:
    """What a note makes of the stock.

    Args:
        made: by the number of the statement; None where a recipe is named and nothing is made.
        shelf: the dried stock before the note, where a recipe is named; else None.
    """

    made: Mapping[int, Made | None] = field(default_factory=dict)
    shelf: Sequence[Line] | None = None


def mixes_of(session: Session, reading: Reading) -> Mixes:
    """The mixes that a note makes.

    Args:
        session: the conversation.
        reading: the note, read.
    """
    from stillroom.tables.recipe_names import find_recipe

    if find_recipe(reading.note) is None:
        return Mixes()
    from stillroom.enrich.kitchen_make import makings
    from stillroom.journal.records import Made
    from stillroom.talk.season import shelf_of

    shelf = shelf_of(session)
    measure = session.measure or str(session.journal.kitchen().get("measure") or "us")
    found = makings(reading, session.tables.foods, shelf, measure)
    made: dict[int, Made | None] = {
        index: None if making is None else
        Made(making.recipe, making.parts, making.best_by, making.allergens)
        for index, making in found.items()
    }  # fmt: skip
    return Mixes(made, shelf)
