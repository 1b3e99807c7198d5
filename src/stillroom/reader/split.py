"""Splitting pasted text into notes."""

from __future__ import annotations

import re

_BLANK = re.compile(r"\r?\n[ \t\f\v]*(?:\r?\n[ \t\f\v]*)+")


def split_notes(text: str) -> list[str]:
    r"""The notes of a pasted text: blocks with a blank line between them.

    A transcript in one breath and lines that follow each other stay one note.

    >>> split_notes("Plums in.\nThree trays.\n\nBeets done.")
    ['Plums in.\nThree trays.', 'Beets done.']
    """
    return [block.strip() for block in _BLANK.split(text) if block.strip()]
