"""Foods whose name sounds or is spelt almost like an unknown word."""

from __future__ import annotations

from functools import cache

from stillroom.base.quantity import unit_words
from stillroom.reader.lexicon import lexicon
from stillroom.reader.pieces import fold
from stillroom.tables.tables import tables

_NOT_KNOWN = {"heard", "short", "shy", "within", "wary", "plain"}
_SHORT, _LONG = 4, 8
_KEY, _ALIKE = 3, 0.84


@cache
def _names() -> dict[str, str]:
    """Single words that name foods, at least four letters."""
    return {
        fold(word): food for word, food in tables().food_words.items()
        if " " not in word and len(word) >= _SHORT
    }  # fmt: skip


@cache
def known_words() -> frozenset[str]:
    """Words that are themselves: every word of words.csv that is not a mishearing."""
    words = lexicon()
    known: set[str] = set()
    tables_ = [
        words.sense,
        *(table for kind, table in words.frame.items() if kind not in _NOT_KNOWN),
    ]
    for table in tables_:
        for entries in table.values():
            for entry in entries:
                if entry.kind != "food":
                    known.update((*entry.head, *entry.tail))
    known.update(word for unit in unit_words() for word in unit.split())
    return frozenset(known)


@cache
def near_foods(word: str) -> tuple[str, ...]:
    """The foods that an unknown word may be, the likeliest kind of likeness alone.

    One slip of the keys is allowed in four to seven letters, two in longer words; the first
    letter must agree. Words of words.csv are known and are never changed.
    """
    if word in known_words() or word in _names():
        return ()
    from rapidfuzz.distance import OSA

    most = 1 if len(word) < _LONG else 2
    best: dict[str, int] = {}
    for name, food in _names().items():
        if name[0] != word[0] or abs(len(name) - len(word)) > most:
            continue
        distance = OSA.distance(word, name, score_cutoff=most)
        if distance <= most:
            best[food] = min(distance, best.get(food, 9))
    if best:
        least = min(best.values())
        return tuple(sorted(food for food, distance in best.items() if distance == least))
    return tuple(sorted(_sounds(word)))


def same_sounding(word: str) -> tuple[str, ...]:
    """The foods that an ordinary word sounds like: "peers" for pears."""
    return tuple(sorted(_sounds(word)))


def _sounds(word: str) -> set[str]:
    from jellyfish import jaro_winkler_similarity, metaphone

    key = metaphone(word)
    if len(key) < _KEY:
        return set()
    return {
        food for name, food in _names().items()
        if name[0] == word[0] and metaphone(name) == key
        and jaro_winkler_similarity(name, word) > _ALIKE
    }  # fmt: skip
