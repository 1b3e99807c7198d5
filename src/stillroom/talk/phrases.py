"""What one can say: examples by situation for help, and completions while typing."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir

_ENDS = re.compile(r"[.?!;\n]+")


@cache
def _rows() -> tuple[tuple[str, str, str], ...]:
    rows = read_csv(knowledge_dir() / "phrases.csv", ("kind", "situation", "text"))
    return tuple((row["kind"], row["situation"], row["text"]) for row in rows)


def parts(note: str) -> list[str]:
    """The parts of a note between its full stops, to be looked at one by one.

    >>> parts("The plums weigh 2 kg. Show me the curve")
    ['The plums weigh 2 kg', 'Show me the curve']
    """
    return [part.strip(" ,") for part in _ENDS.split(note)]


def examples() -> dict[str, list[str]]:
    """Example sentences by situation, in order."""
    found: dict[str, list[str]] = {}
    for kind, situation, text in _rows():
        if kind == "example":
            found.setdefault(situation, []).append(text)
    return found


@cache
def _foods() -> tuple[str, ...]:
    from stillroom.tables.tables import tables

    foods = tables().foods.values()
    return tuple(sorted({name for food in foods for name in (food.id, food.plural)}))


def completions(line: str) -> Iterable[tuple[str, int]]:
    """Whole phrases from the start of a line, food names anywhere.

    Args:
        line: the line up to the cursor.

    Yields:
        A text and how many characters before the cursor it takes the place of.
    """
    start = line.lstrip().lower()
    if start:
        for kind, _, text in _rows():
            if kind == "phrase" and text.startswith(start):
                yield text, len(line.lstrip())
    word = "" if line.endswith((" ", "\n")) else (line.split() or [""])[-1]
    if len(word) >= 2:
        for food in _foods():
            if food.startswith(word.lower()):
                yield food, len(word)
