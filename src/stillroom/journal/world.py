"""Batches and kitchen as they stand while deeds are done, and the arithmetic of moments."""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from stillroom.journal.records import Batch, Batches


@dataclass
class World:
    """Batches and kitchen; a batch is copied before its first change, so the giver's stay."""

    batches: Batches = field(default_factory=dict)
    kitchen: dict[str, Any] = field(default_factory=dict)
    changed: set[str] = field(default_factory=set)

    def edit(self, name: str | None) -> Batch | None:
        """The batch, free to be changed; None when there is none of that name."""
        if name is None or name not in self.batches:
            return None
        if name not in self.changed:
            self.batches[name] = copy.deepcopy(self.batches[name])
            self.changed.add(name)
        return self.batches[name]

    def fork(self) -> World:
        """A world that starts as this one and changes on its own; its batches in order of name.

        The order settles ties, so it must not depend on how the batches came to be read.
        """
        return World(dict(sorted(self.batches.items())), dict(self.kitchen))


def day_of(text: str) -> date:
    """The calendar day of an ISO moment."""
    return datetime.fromisoformat(text).date()


def hours_between(early: str, late: str) -> float:
    """Hours from one ISO moment to another."""
    gap = datetime.fromisoformat(late) - datetime.fromisoformat(early)
    return gap.total_seconds() / 3600.0
