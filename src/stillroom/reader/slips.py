"""Items put right in the same breath, and counts whose noun is left out.

"Four trays no five trays": the last value counts. "The tomatoes are on four trays and the peppers
on two": two trays. A repair that is a clause of its own ("scratch that", "no wait") is an amend.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from stillroom.base.statement import Amount
from stillroom.reader.items import Item

_KINDS = {"trays", "cut", "amount", "length", "hours"}
_BREATHS = {"um", "uh", "er", "erm", "i", "mean", "rather", "well"}
_NOES = {"no", "nope", "rather", "mean"}
_BETWEEN = {"traynoun", "food", "size"}
_LINKS = {"of", "the", "thick", "each"}
_ITS = {"the", "my", "our", "those", "these"}
_ENDS = {"", ",", ".", "\n", ";", "and", "both", "at", "with", "each", "then", "but", "all"}
_MOST_TRAYS = 30


def mend_values(items: Sequence[Item], lows: Sequence[str]) -> list[Item]:
    """The items of a note without what was taken back, and trays by their number alone."""
    out = _with_units(_without_slips(_without_denied(items)))
    out = _with_now(out, lows)
    if not any(item.kind == "trays" for item in out):
        return out
    return [replace(item, kind="trays") if _on_trays(item, lows) else item for item in out]


def _without_denied(items: Sequence[Item]) -> list[Item]:
    """Not the pears the apples; the leeks, not the onions: a food denied beside another."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        after = _denied_food(items, at)
        other = after is not None and (
            _food_next(items, after) or (_last(items, after) and _food_before(out))
        )
        if after is None or not other:
            out.append(items[at])
            at += 1
        else:
            at = after
    return out


def _denied_food(items: Sequence[Item], at: int) -> int | None:
    """The place after "not the pears", or None."""
    place = at + 1
    if items[at].low != "not" or place >= len(items) or items[place].low not in _ITS:
        return None
    place += 1
    return place + 1 if place < len(items) and items[place].kind == "food" else None


def _last(items: Sequence[Item], at: int) -> bool:
    """Whether a sentence ends at a place."""
    return at >= len(items) or (items[at].kind == "mark" and items[at].low != ",")


def _food_next(items: Sequence[Item], at: int) -> bool:
    """Whether the food that is meant instead follows at once."""
    while at < len(items) and (items[at].low in _ITS or items[at].low in (",", "it", "'s", "but")):
        at += 1
    return at < len(items) and items[at].kind == "food"


def _food_before(out: Sequence[Item]) -> bool:
    """Whether the sentence has named another food, and what was said of it."""
    for item in reversed(out):
        if item.kind == "mark" and item.low != ",":
            return False
        if item.kind == "food":
            return True
    return False


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


def _with_units(items: list[Item]) -> list[Item]:
    """Four trays of mint and three of balm; two bunches of thyme, one of sage: the unit goes on."""
    out: list[Item] = []
    said: Item | None = None
    for at, item in enumerate(items):
        of = at + 1 < len(items) and items[at + 1].low == "of"
        bare = item.kind == "num" or (item.amount is not None and item.amount.unit == "count")
        if said is not None and bare and of and _named(items, at + 2):
            out.append(_like(item, said))
            continue
        trays = item.kind == "trays" and at + 2 < len(items) and items[at + 2].low == "of"
        measured = item.amount is not None and item.amount.unit != "count" and of
        if trays or measured:
            said = item
        elif item.kind == "mark" and item.low != ",":
            said = None
        out.append(item)
    return out


def _with_now(items: list[Item], lows: Sequence[str]) -> list[Item]:
    """They weighed 940 g and just now 780: the later reading has the unit of the earlier."""
    out: list[Item] = []
    said: Item | None = None
    for item in items:
        if item.amount is not None and item.amount.si_unit == "g":
            said = item
        elif item.kind == "mark" and item.low != ",":
            said = None
        elif said is not None and item.kind == "num" and "now" in lows[item.first - 1 : item.first]:
            item = _like(item, said)
        out.append(item)
    return out


def _like(item: Item, said: Item) -> Item:
    number = item.number if item.amount is None else item.amount.value or 0.0
    if said.amount is None:
        return replace(item, kind="trays", number=number, amount=None)
    old = said.amount
    size = old.si_likely / max(old.value or ((old.low or 0.0) + (old.high or 0.0)) / 2, 1e-9)
    amount = Amount(said.amount.unit, said.amount.si_unit, value=number, si=number * size)
    return replace(item, kind="amount", amount=amount)


def _named(items: Sequence[Item], at: int) -> bool:
    """Whether a food stands at a place, cuts and sizes before it set aside."""
    while at < len(items) and items[at].kind in ("cut", "size", "dried", "prep"):
        at += 1
    return at < len(items) and items[at].kind == "food"


def _on_trays(item: Item, lows: Sequence[str]) -> bool:
    if item.kind != "num" or not 0 < item.number <= _MOST_TRAYS or item.number % 0.5:
        return False
    after = lows[item.last + 1] if item.last + 1 < len(lows) else ""
    return item.first > 0 and lows[item.first - 1] == "on" and after in _ENDS
