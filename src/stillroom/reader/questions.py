"""What a question is about: the strongest cue wins, an earlier one on a tie."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.reader.clauses import Clause
from stillroom.reader.lexicon import lexicon

KITCHEN = {"due", "use-first", "energy", "plan", "source", "history"}
_FALLBACK = (("heat", "temperature"), ("surface", "surface"), ("trays", "loading"), ("place", "storage"),
             ("vessel", "packaging"), ("hours", "time"), ("length", "prep"))  # fmt: skip


def abouts(clause: Clause, lows: Sequence[str]) -> list[str]:
    """The kinds of question in a clause, at most two; empty when it asks nothing of ours."""
    words = lexicon()
    found: list[tuple[int, int, str]] = []
    at, last = clause.items[0].first, clause.items[-1].last
    while at <= last:
        entry = words.framed("cue", lows, at)
        if entry is None:
            at += 1
            continue
        strength = entry.weight + len(entry.head) + len(entry.tail) - 1
        found.append((strength, -at, entry.value))
        at += 1 if entry.tail or entry.weight < 8 else len(entry.head)
    if not found:
        return next(([about] for kind, about in _FALLBACK if clause.has(kind)), [])
    best = max(found)[2]
    return _pair({value for _, _, value in found}, lows[clause.items[0].first : last + 1]) or [best]


def _pair(values: set[str], words: Sequence[str]) -> list[str]:
    text = " ".join(words)
    if (
        {"time", "temperature"} <= values
        and "how long" in text
        and ("how hot" in text or "temp" in text)
    ):
        return ["time", "temperature"]
    return []
