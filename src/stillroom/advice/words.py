"""Placeholders in ``say`` and ``why``, and the nearest valid name for a mistyped one."""

from __future__ import annotations

import re
from collections.abc import Iterable

PLACEHOLDER = re.compile(r"\{([a-z][a-z0-9_]{0,39})\.([a-z][a-z0-9_]{0,39})\}")
_STRAY = re.compile(r"[{}]")


def placeholders(text: str) -> list[tuple[str, str]]:
    """The (alias, field) pairs that a text names.

    >>> placeholders("Dry {lot.food} at {food.temperature_c}.")
    [('lot', 'food'), ('food', 'temperature_c')]
    """
    return [(match[1], match[2]) for match in PLACEHOLDER.finditer(text)]


def stray_brace(text: str) -> bool:
    """Whether a brace is left that belongs to no placeholder.

    >>> stray_brace("{a.b}"), stray_brace("{a.b!r}"), stray_brace("{a.b:>9999}")
    (False, True, True)
    """
    return bool(_STRAY.search(PLACEHOLDER.sub("", text)))


def nearest(word: str, names: Iterable[str]) -> str:
    """``Did you mean 'x'?`` for the closest name, or the first few names, or nothing."""
    known = sorted(set(names))
    if not known:
        return ""
    from rapidfuzz import fuzz, process

    found = process.extractOne(word, known, scorer=fuzz.ratio, score_cutoff=60)
    if found:
        return f"Did you mean {found[0]!r}?"
    shown = ", ".join(known[:12]) + (", …" if len(known) > 12 else "")
    return f"Expected one of: {shown}."
