"""Small lists of words that the reader asks by name: knowledge/word_sets.csv."""

from __future__ import annotations

from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir

_COLUMNS = ("set", "value", "words")


@cache
def _maps() -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for row in read_csv(knowledge_dir() / "word_sets.csv", _COLUMNS):
        found.setdefault(row["set"], {}).update(
            dict.fromkeys(row["words"].split("|"), row["value"])
        )
    return found


def word_map(name: str) -> dict[str, str]:
    """What each word of a list stands for.

    >>> word_map("irregular")["knives"]
    'knife'
    """
    return _maps()[name]


@cache
def word_set(name: str) -> frozenset[str]:
    """The words of a list.

    >>> "spaniel" in word_set("pet")
    True
    """
    return frozenset(_maps()[name])
