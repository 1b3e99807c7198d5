"""Scores readings against labels: every slot with its value counts once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

_SETS = {"prep", "sign"}
_NUMBERS = {"thickness_mm", "temperature_c", "trays", "hours", "day", "vessel_ml", "vessel_count"}
_WORDS = {"act", "food", "size", "cut", "surface", "vessel", "seal", "place", "about"}
_CLOSE = 0.02

Slot = tuple[str, Any]


@dataclass
class Score:
    """Counts by slot and the notes read exactly."""

    right: Counter[str] = field(default_factory=Counter)
    missed: Counter[str] = field(default_factory=Counter)
    extra: Counter[str] = field(default_factory=Counter)
    notes: int = 0
    exact: int = 0

    @property
    def f1(self) -> float:
        """The harmonic mean of precision and recall over all slots."""
        hits = self.right.total()
        return 2 * hits / max(2 * hits + self.missed.total() + self.extra.total(), 1)

    def table(self) -> str:
        """The counts by slot, one a line."""
        names = sorted({*self.right, *self.missed, *self.extra})
        rows = [
            f"  {name:14s} right {self.right[name]:4d}  missed {self.missed[name]:4d}"
            f"  extra {self.extra[name]:4d}"
            for name in names
        ]
        share = self.exact / max(self.notes, 1)
        return "\n".join([*rows, f"notes {self.notes}  exact {share:.3f}  F1 {self.f1:.3f}"])

    def add(self, wanted: Sequence[dict[str, Any]], read: Sequence[dict[str, Any]]) -> bool:
        """Counts one note; true when it was read exactly."""
        gold, got = [_slots(one) for one in wanted], [_slots(one) for one in read]
        lost, spare = 0, 0
        left = list(got)
        for slots in sorted(gold, key=len, reverse=True):
            best = max(left, key=lambda other: len(_agree(slots, other)[0]), default=[])
            if best in left:
                left.remove(best)
            hits, over = _agree(slots, best)
            rest = list(slots)
            for hit in hits:
                rest.remove(hit)
            self.right.update(name for name, _ in hits)
            self.missed.update(name for name, _ in rest)
            self.extra.update(name for name, _ in over)
            lost, spare = lost + len(rest), spare + len(over)
        for other in left:
            self.extra.update(name for name, _ in other)
            spare += len(other)
        self.notes += 1
        self.exact += not lost and not spare
        return not lost and not spare


def _slots(statement: dict[str, Any]) -> list[Slot]:
    out: list[Slot] = []
    for name, value in statement.items():
        if name in _WORDS:
            out.append((name, str(value)))
        elif name in _NUMBERS:
            out.append((name, float(value)))
        elif name in _SETS:
            out += [(name, one) for one in value]
        elif name == "amount":
            parts = ("si",) if "si" in value else ("si_low", "si_high")
            out += [(f"amount {value['si_unit']}", float(value[part])) for part in parts]
    return out


def _same(one: Slot, other: Slot) -> bool:
    if one[0] != other[0]:
        return False
    if isinstance(one[1], float):
        return abs(one[1] - other[1]) <= _CLOSE * max(abs(one[1]), abs(other[1]), 1e-9)
    return bool(one[1] == other[1])


def _agree(gold: list[Slot], read: list[Slot]) -> tuple[list[Slot], list[Slot]]:
    left, hits = list(read), []
    for slot in gold:
        found = next((other for other in left if _same(slot, other)), None)
        if found is not None:
            left.remove(found)
            hits.append(slot)
    return hits, left
