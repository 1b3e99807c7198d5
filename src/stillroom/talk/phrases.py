"""What one can say: examples by situation for help, and completions while typing."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir


@cache
def _rows() -> tuple[tuple[str, str, str], ...]:
    rows = read_csv(knowledge_dir() / "phrases.csv", ("kind", "situation", "text"))
    return tuple((row["kind"], row["situation"], row["text"]) for row in rows)


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

    return tuple(sorted({word for food in tables().foods.values() for word in food.words}))


def completions(before: str, word: str) -> Iterable[str]:
    """Whole phrases at the start of a line, food names anywhere.

    Args:
        before: the line up to the cursor.
        word: the part of it that is being typed.
    """
    start = before.strip().lower()
    if start and before.lstrip() == word:
        yield from (
            text for kind, _, text in _rows() if kind == "phrase" and text.startswith(start)
        )
    if len(word) >= 2:
        yield from (food for food in _foods() if food.startswith(word.lower()))
