"""Words of the trade explained: "what is conditioning", "what does leathery mean"."""

from __future__ import annotations

import re
from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.talk.answer import Reply

MEANING = "meaning"
"""What such a reply is about."""
COLUMNS = ("term", "words", "meaning", "sources")
_HINTS = ("what", "mean", "define", "explain")


@cache
def _question() -> re.Pattern[str]:
    return re.compile(
        r"(?:^|[.?!;,]\s*|\band\s+)(?:(?:so|um|and|ok|right|er|now)\s+)*(?:"
        r"what(?:'s|’s| is| are)(?: an?| the)? (?P<is>[a-z' -]{2,40}?)(?: (?:then|exactly|anyway))?"
        r"|what (?:does|do|did)(?: you mean by| an?| the)? (?P<does>[a-z' -]{2,40}?)(?: mean)?"
        r"|(?:define|explain|meaning of)(?: an?| the)? (?P<name>[a-z' -]{2,40}?)"
        r")\s*(?:[.?!;]|$)",
        re.IGNORECASE,
    )


@cache
def terms() -> dict[str, tuple[str, tuple[str, ...]]]:
    """Every spelling of a term to its meaning and sources (knowledge/glossary.csv)."""
    found = {}
    for row in read_csv(knowledge_dir() / "glossary.csv", COLUMNS):
        told = (row["meaning"], tuple(row["sources"].split(";")))
        for word in (row["term"], *row["words"].split("|")):
            found[word.strip().lower()] = told
    return found


def meaning_asked(note: str) -> tuple[str, Reply | None]:
    """The part of a note that asks what a word means, and the answer; nothing for other notes.

    >>> meaning_asked("what does leathery mean?")[0]
    'what does leathery mean?'
    >>> meaning_asked("what is in the larder?")
    ('', None)
    """
    low = note.lower()
    if not any(hint in low for hint in _HINTS):
        return "", None
    for match in _question().finditer(note):
        word = next(group for group in match.groups() if group)
        told = terms().get(word.strip(" '").lower())
        if told is not None:
            return match.group(0).strip(" ,.;"), Reply(told[0], MEANING, sources=told[1])
    return "", None
