"""Slots of one statement while they are gathered, and the statement they make."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from stillroom.base.statement import Statement
from stillroom.reader.items import Item

_CLASHING = ("amount", "cut", "day", "trays", "temperature_c", "vessel", "vessel_count", "which")


def celsius(value: float, scale: str, measure: str, *, kitchen: bool) -> float:
    """A temperature in deg C; a bare number is F unless the measure or plain sense says C.

    >>> celsius(57, "", "us", kitchen=False), celsius(125, "", "us", kitchen=False)
    (57, 51.67)
    """
    if scale == "C":
        return value
    limit = 45 if kitchen else 80
    if not scale and (value < limit or (measure == "metric" and value < 95)):
        return value
    return (value - 32) / 1.8


@dataclass(slots=True)
class Draft:
    """A statement in the making."""

    act: str
    food: str | None = None
    slots: dict[str, Any] = field(default_factory=dict)
    prep: list[str] = field(default_factory=list)
    sign: list[str] = field(default_factory=list)
    start: int = -1
    end: int = 0
    apart: bool = False

    def cover(self, start: int, end: int) -> None:
        """Takes a stretch of the note in."""
        self.start = start if self.start < 0 else min(self.start, start)
        self.end = max(self.end, end)

    def put(self, name: str, value: Any) -> None:
        """Sets a slot that is still empty."""
        if value is not None and name not in self.slots:
            self.slots[name] = value

    def vessel(self, item: Item) -> None:
        """Takes a vessel with its capacity and count."""
        self.put("vessel", item.value or None)
        self.put("vessel_ml", item.ml)
        self.put("vessel_count", item.count)

    def clashes(self, other: Draft) -> bool:
        """Whether a merge would lose something said."""
        return self.apart or other.apart or any(
            name in self.slots and self.slots[name] != value
            for name, value in other.slots.items() if name in _CLASHING
        )  # fmt: skip

    def merge(self, other: Draft) -> None:
        """Takes the slots of a neighbour with the same act and food."""
        for name, value in other.slots.items():
            self.put(name, value)
        self.prep += [value for value in other.prep if value not in self.prep]
        self.sign += [value for value in other.sign if value not in self.sign]
        self.food = self.food or other.food
        self.cover(other.start, other.end)

    def statement(self, note: str) -> Statement:
        """The finished statement with its words."""
        return Statement(
            act=self.act, text=note[self.start : self.end], start=self.start, end=self.end,
            food=self.food, prep=tuple(self.prep), sign=tuple(self.sign), **self.slots,
        )  # fmt: skip
