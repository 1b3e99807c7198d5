"""Foods put right inside a phrase, and foods that are left out of what is said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from stillroom.reader.items import Item
from stillroom.reader.lexicon import Lexicon

_WITHOUT = {"without", "minus", "excluding", "except", "bar", "omitting"}
_LEAVING = {("leave", "out"), ("leaving", "out"), ("left", "out"), ("not", "counting")}
_BETWEEN = {"the", "any", "my", "our", "dried", "fresh", "for", "a", "an", "of"}
_SORTS = {"sort", "kind", "type", "variety", "ones"}
_NO = {"no", "nope", "sorry", "wait", "rather", "actually"}
_OPEN_MARKS = {".", "?", "!", ";", "\n", ":"}


def mend_foods(items: Sequence[Item], lows: Sequence[str], words: Lexicon) -> list[Item]:
    """Courgettes no sorry the cucumbers are in: the food named last is meant.

    Within a phrase ("six pounds of pears no apples") the last food counts, and so it does where
    nothing had been said yet of the first. A repair after a comma that follows something said
    is a clause of its own and stays.
    """
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        after, comma = _repair(items, at + 1, lows, words) if item.kind == "food" else (0, False)
        if after and (not comma or _nothing_said(out)):
            if any(one.kind == "amount" for one in items[after + 1 : after + 3]):
                out = _without_amount(out)
            at = after
            continue
        out.append(item)
        at += 1
    return out


def _without_amount(before: Sequence[Item]) -> list[Item]:
    """Three pounds of celery no wait celery's two pounds: the first amount goes with its food."""
    place = next((k for k in range(len(before) - 1, max(-1, len(before) - 4), -1)
                  if before[k].kind == "amount"), None)  # fmt: skip
    return list(before) if place is None else list(before[:place])


def _repair(
    items: Sequence[Item], at: int, lows: Sequence[str], words: Lexicon
) -> tuple[int, bool]:
    """Where the food that replaces another stands, 0 when none does; whether a comma was said."""
    first, comma, found = at, False, False
    while at < len(items) and at < first + 7:
        item = items[at]
        entry = words.framed("repair", lows, item.first)
        if item.kind == "food":
            return (at, comma) if found else (0, False)
        if item.low == ",":
            comma = True
        elif (entry is not None and item.low != "or") or item.low in _NO:
            found = True
        elif item.kind not in ("filler",) and not words.framed("det", lows, item.first):
            return 0, False
        at += 1 if entry is None else max(1, _span(items, at, len(entry.head)))
    return 0, False


def _span(items: Sequence[Item], at: int, length: int) -> int:
    """How many items the words of a phrase cover."""
    last = items[at].first + length - 1
    count = 0
    while at + count < len(items) and items[at + count].first <= last:
        count += 1
    return count


def _nothing_said(before: Sequence[Item]) -> bool:
    """Whether a sentence has named no more than the food."""
    for item in reversed(before):
        if item.low in _OPEN_MARKS:
            return True
        if item.kind not in ("word", "filler", "mark", "join", "size", "dried", "pron"):
            return False
    return True


def left_out(items: Sequence[Item], lows: Sequence[str]) -> list[Item]:
    """Marks foods that a note excludes: "a dip mix without mint" is of no mint."""
    return [
        replace(item, kind="idiom")
        if item.kind == "food"
        and (_excluded(item, lows) or _none_of(item, items, lows) or _sort_of(item, items, lows))
        else item
        for item in items
    ]


def _none_of(item: Item, items: Sequence[Item], lows: Sequence[str]) -> bool:
    """No salt, in the midst of a clause; at its head "no plums" may put something right."""
    return item.first > items[0].first + 1 and lows[item.first - 1] == "no"


def _sort_of(item: Item, items: Sequence[Item], lows: Sequence[str]) -> bool:
    """Tomatoes, 5 kilo of the plum sort: a food that only tells which sort of another it is."""
    after = lows[item.last + 1] if item.last + 1 < len(lows) else ""
    if after not in _SORTS:
        return False
    return any(one.kind == "food" and one.value != item.value and one.last < item.first
               for one in items)  # fmt: skip


def _excluded(item: Item, lows: Sequence[str]) -> bool:
    at = item.first - 1
    while at >= 0 and lows[at] in _BETWEEN:
        at -= 1
    return at >= 0 and (lows[at] in _WITHOUT or tuple(lows[max(0, at - 1) : at + 1]) in _LEAVING)
