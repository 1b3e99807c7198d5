"""What a journal shows: batches, stock, what is due, the pace of use, what was learned.

Nothing here writes. The open batches are read once for each state of the journal: a note asks for
them several times. Closed batches are never read for an answer of every day; what they add to
sums over the seasons stands in tables of its own, which grow with each note.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from stillroom.base.statement import Statement
from stillroom.journal.due import due_list
from stillroom.journal.juice import KEY, JuiceLot
from stillroom.journal.learn import NEWEST, Learned, learn
from stillroom.journal.pantry import Pace, pace_of, unlabelled_pairs
from stillroom.journal.records import Batch, Batches, Knowhow
from stillroom.journal.store import Store
from stillroom.journal.view import lot, stock_line, whole_view

YEAR = timedelta(days=365)


class Shown:
    """The reading side of a journal.

    Args:
        store: the open file.
        know: what the tables tell of foods.
    """

    def __init__(self, store: Store, know: Knowhow) -> None:
        self.store = store
        self.know = know
        self._read: tuple[tuple[int, str, str], Batches] | None = None

    def _open(self) -> Batches:
        """The open batches by name; to be read, or changed by way of ``World.edit`` alone."""
        head = self.store.head()
        if self._read is None or self._read[0] != head:
            self._read = (head, self.store.batches())
        return dict(self._read[1])

    def view(self, now: datetime, ahead: int = 0) -> dict[str, Any]:
        """The whole journal, closed batches too, as the machine-readable interface prints it."""
        batches = self.store.batches(open_only=False)
        return whole_view(batches.values(), self.know, now, ahead, self.juice())

    def stock(self) -> list[dict[str, Any]]:
        """The stock lines as the interface prints them."""
        listed = sorted(self._open().values(), key=lambda batch: (batch["begun"], batch["name"]))
        return [stock_line(batch, line, self.know) for batch in listed for line in batch["stock"]]

    def due(self, now: datetime, ahead: int = 0) -> list[dict[str, Any]]:
        """What is due today and before, and in the days ahead."""
        return due_list(self._open().values(), self.know, now, ahead, self.juice())

    def open_batches(self) -> list[Batch]:
        """The batches that can still be worked on, by name."""
        return list(self._open().values())

    def lots(self, now: datetime) -> list[dict[str, Any]]:
        """The open batches as flat facts of kind ``lot``."""
        return [lot(batch, now) for batch in self._open().values()]

    def kitchen(self) -> dict[str, Any]:
        """What was told of the kitchen: trays, temperature_c, air, altitude_m, price_per_kwh."""
        told: dict[str, Any] = dict(self.store.meta("kitchen") or {})
        told.pop(KEY, None)
        return told

    def juice(self) -> list[JuiceLot]:
        """The juice that is kept, lot by lot, the oldest first."""
        return list((self.store.meta("kitchen") or {}).get(KEY, ()))

    def pace(self, now: datetime, food: str | None = None) -> list[Pace]:
        """How fast each food in stock is used, and how long it lasts at that pace (pantry.py)."""
        stocked = [batch for batch in self._open().values() if batch["dried"] and batch["stock"]]
        foods = sorted({batch["food"] for batch in stocked if batch["food"]})
        return [
            row
            for name in foods
            if food in (None, name) and (row := self._pace(name, stocked, now)) is not None
        ]

    def _pace(self, food: str, stocked: list[Batch], now: datetime) -> Pace | None:
        since = self.store.first_dried(food)
        if since is None:
            return None
        own = [batch for batch in stocked if batch["food"] == food]
        early = (now - YEAR).isoformat()
        begun = self.store.first_begun(food, early)
        return pace_of(own, since, begun, lambda a, b: self.store.used_g(food, a, b), now)

    def unlabelled_pairs(self) -> list[tuple[str, str]]:
        """Pairs of batches in stock that could be mistaken for each other and bear no label."""
        return unlabelled_pairs(self._open().values(), self.know)

    def learned(
        self, food: str, classes: Mapping[str, str], figure: str = "dry_mass", name: str = ""
    ) -> Learned:
        """What to multiply the next first guess of a food by (see learn.py)."""

        def ratios(foods: set[str], others: bool) -> list[float]:
            return self.store.ratios(figure, foods, NEWEST, others=others)

        return learn(ratios, food, classes, figure, name)

    def recent(self, count: int) -> list[Statement]:
        """The newest statements, the newest last."""
        found: list[Statement] = []
        for event in self.store.newest(max(8, count)):
            found = [*(Statement.from_json(item) for item in event["statements"]), *found]
            if len(found) >= count:
                break
        return found[-count:] if count else []

    def history(self, food: str | None = None) -> list[Batch]:
        """All batches of a food, closed ones too, the oldest first; of every food for None."""
        batches = self.store.batches(open_only=False, food=food).values()
        return sorted(batches, key=lambda batch: (batch["begun"], batch["name"]))
