"""Items put right in the same breath, and counts whose noun is left out.

"Four trays no five trays": the last value counts. "The tomatoes are on four trays and the peppers
on two": two trays. A repair that is a clause of its own ("scratch that", "no wait") is an amend.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from stillroom.reader.items import Item

_KINDS = {"trays", "cut", "amount", "length", "hours"}
_BREATHS = {"um", "uh", "er", "erm", "i", "mean", "rather", "well"}
_NOES = {"no", "nope", "rather", "mean"}
_BETWEEN = {"traynoun", "food", "size"}
_LINKS = {"of", "the", "thick", "each"}
_ENDS = {"", ",", ".", "\n", ";", "and", "both", "at", "with", "each", "then", "but", "all"}
_MOST_TRAYS = 30


def mend_values(items: Sequence[Item], lows: Sequence[str]) -> list[Item]:
    """The items of a note without what was taken back, and trays by their number alone."""
    out = _without_slips(items)
    if not any(item.kind == "trays" for item in out):
        return out
    return [replace(item, kind="trays") if _on_trays(item, lows) else item for item in out]


def _without_slips(items: Sequence[Item]) -> list[Item]:
    out: list[Item] = []
    at = 0
    while at < len(items):
        kept = _kept_between(items, at) if items[at].kind in _KINDS else None
        if kept is None:
            out.append(items[at])
            at += 1
        else:
            out += items[at + 1 : kept[0]]
            at = kept[1]
    return out


def _kept_between(items: Sequence[Item], at: int) -> tuple[int, int] | None:
    """Where the words after a value end, and where the value that replaces it stands."""
    place = at + 1
    while place < len(items) and (items[place].kind in _BETWEEN or items[place].low in _LINKS):
        place += 1
    words = place
    denied = False
    while place < len(items) and items[place].low in _BREATHS | _NOES:
        denied = denied or items[place].low in _NOES
        place += 1
    if not denied or place >= len(items) or not _replaces(items[at], items[place]):
        return None
    if items[at].kind == "trays":  # the noun is said again, or it is left for the new number
        again = place + 1 < len(items) and items[place + 1].kind == "traynoun"
        words = at + 1 if again else words
    return words, place


def _replaces(old: Item, new: Item) -> bool:
    if old.kind != new.kind:
        return False
    if old.amount is None or new.amount is None:
        return True
    return old.amount.si_unit == new.amount.si_unit


def _on_trays(item: Item, lows: Sequence[str]) -> bool:
    if item.kind != "num" or not 0 < item.number <= _MOST_TRAYS or item.number % 0.5:
        return False
    after = lows[item.last + 1] if item.last + 1 < len(lows) else ""
    return item.first > 0 and lows[item.first - 1] == "on" and after in _ENDS
