"""Small talk: what kind of talk a note is that says nothing of the stillroom."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.reader.lexicon import lexicon

_SKIP = {
    ",", ".", "!", "-", "–", "—", "and", "oh", "well", "ok", "okay", "um", "uh", "so", "right",
    "then",
}  # fmt: skip


def small_talk(lows: Sequence[str]) -> str:
    """What kind of talk a note without statements is.

    Args:
        lows: the words and marks of the note, folded.

    Returns:
        ``thanks``, ``bye``, ``help``, ``greeting``, or ``outside`` for anything else; empty for
        a note without words.
    """
    words = lexicon()
    if not any(low[:1].isalpha() for low in lows):
        return ""
    found: dict[str, int] = {}
    at, left = 0, 0
    while at < len(lows):
        entry = words.framed("chat", lows, at)
        if entry:
            found.setdefault(entry.value, at)
            at += len(entry.head)
            continue
        left += lows[at] not in _SKIP
        at += 1
    if "help" in found and left <= 4:
        return "help"
    if "thanks" in found and found["thanks"] < 8:
        return "thanks"
    if "bye" in found and left <= 12:
        return "bye"
    if "greeting" in found and found["greeting"] < 2 and left <= 4:
        return "greeting"
    return "outside"
