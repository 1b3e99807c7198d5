"""Finding the name of a mix in a note."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from stillroom.tables.kitchen_rows import Recipe
from stillroom.tables.kitchen_use import kitchen_use

_MAYBE = re.compile(
    r"\b(?:mix(?:es)?|dip|soup|base|rub|salt|tea|starter|stew|sprinkle|greens?|seasoning|gravy"
    r"|blend)\b", re.I
)  # fmt: skip
_LOOSE = frozenset({"soup mix", "tea mix", "tea blend", "stew mix", "seasoning mix", "spice rub",
                    "gravy", "green mix", "greens mix", "chili mix", "chilli mix", "tomato soup",
                    "winter soup", "winter vegetable soup", "vegetable soup mix"})  # fmt: skip
"""Names that a dish or a mix of the cook's own may bear as well."""


class Named(NamedTuple):
    """A recipe's name where it stands in a text; ``loose`` when it may mean something else."""

    recipe: Recipe
    start: int
    end: int
    loose: bool


@cache
def _names() -> tuple[re.Pattern[str], Mapping[str, str]]:
    keys = {word: key for key, row in kitchen_use().recipes.items() for word in row.words}
    words = sorted(keys, key=len, reverse=True)
    parts = [r"[\s-]+".join(map(re.escape, word.split())) for word in words]
    return re.compile(rf"\b(?:{'|'.join(parts)})s?\b(?:[\s-]+mix(?:es)?\b)?", re.I), keys


def find_recipe(text: str) -> Named | None:
    """The first recipe that a text names, the longest of its names; None when it names none.

    Args:
        text: a note or a part of it.

    >>> found = find_recipe("make four lots of the herb-dip mix")
    >>> found.recipe.id, found.loose
    ('courgette-herb-dip', False)
    >>> find_recipe("2 kg plums, halved")
    """
    if not _MAYBE.search(text):
        return None
    pattern, keys = _names()
    found = pattern.search(text)
    if found is None:
        return None
    name = " ".join(re.findall(r"[a-z]+", found.group().lower()))
    for word in (name, name.removesuffix("s"), name.rsplit(" mix", 1)[0],
                 name.rsplit(" mix", 1)[0].removesuffix("s")):  # fmt: skip
        if word in keys:
            loose = word in _LOOSE and not (name != word and word.endswith(("soup", "gravy")))
            return Named(kitchen_use().recipes[keys[word]], found.start(), found.end(), loose)
    return None
