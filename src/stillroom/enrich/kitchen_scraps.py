"""Peels, cores, stems and other scraps: what to do with each, from knowledge/byproducts.csv."""

from __future__ import annotations

import re

from stillroom.enrich.kitchen_types import Asked, Hint
from stillroom.tables.tables import tables

_ASKS = re.compile(
    r"\bwhat (?:can|could|do|should|shall|would|to do|to make|about|else|becomes?)\b|\bany use\b"
    r"|\buse (?:for|up)\b|\bused? for\b|\b(?:throw|throwing|chuck|bin|compost|waste|save|keep)\b"
    r"|\bleft ?over\b|\bgood for\b|\bworth (?:keeping|drying|saving)\b"
    r"|\bcan (?:i|you|we) (?:dry|eat|use|powder|grind)\b", re.I
)  # fmt: skip
_WIDE = re.compile(r"\bherbs?\b", re.I)
_COMPOST = "Damaged, mouldy or soiled parts go on the compost."


def scraps_hints(asked: Asked) -> list[Hint]:
    """What becomes of the scraps that a note asks about; empty where it asks of none."""
    note = asked.reading.note
    if not _ASKS.search(note):
        return []
    words = set(re.findall(r"[a-z]+", note.lower()))
    if not words & _part_words(asked):
        return []
    foods = _foods_named(asked, words)
    rows = [
        row for row in asked.use.byproducts if row.food in foods and words & set(row.parts)
    ] or [row for row in asked.use.byproducts if row.food == "any" and words & set(row.parts)]
    if not foods and rows and rows[0].food == "any" and not _ONLY_SCRAPS & words:
        return []
    hints = []
    for row in rows:
        safe = "" if "compost" in row.text else f" {_COMPOST}"
        hints.append(Hint("prep", "scraps", f"{row.text}{safe}", None, row.sources))
    return hints


_ONLY_SCRAPS = frozenset({"peelings", "trimmings", "scraps", "peels", "cores"})


def _part_words(asked: Asked) -> set[str]:
    return {word for row in asked.use.byproducts for word in row.parts}


def _foods_named(asked: Asked, words: set[str]) -> set[str]:
    """Foods of the statements and of the words, and ``herb`` for any herb."""
    foods = {item.food for item in asked.reading.statements if item.food}
    text = " ".join(re.findall(r"[a-z]+", asked.reading.note.lower()))
    for word, food in tables().food_words.items():
        if word.split()[0] in words and re.search(rf"\b{re.escape(word)}\b", text):
            foods.add(food)
    if _WIDE.search(asked.reading.note) or any(
        asked.use.food(food).kind == "herb" for food in foods
    ):
        foods.add("herb")
    return foods
