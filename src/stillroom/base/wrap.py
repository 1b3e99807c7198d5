"""What a bag is made of, as said: a word or two kept beside the vessel."""

from __future__ import annotations

import re
from collections.abc import Iterable

_WRAPS = re.compile(
    r"\b(?:freezer|heavy(?:[ -]duty)?|thick|thin|sandwich|storage|zip|plastic|foil(?:[ -]lined)?|"
    r"mylar|metalli[sz]ed|silvered|brown paper|paper|cloth|cotton|muslin|wax(?:ed)?|greaseproof|"
    r"glassine)(?: (?:zip|plastic|paper|laminate))?(?: (?:bags?|sacks?|pouch(?:es)?|packets?))\b|"
    r"\bmylar\b|\bfoil pouch(?:es)?\b",
    re.IGNORECASE,
)


def wrap_words(text: str) -> str:
    """The words that say what a bag is made of; empty when there are none.

    >>> wrap_words("packed 200 g dried plums in two brown paper bags, cupboard")
    'brown paper bags'
    >>> wrap_words("packed in a bag")
    ''
    """
    found = _WRAPS.search(text)
    return found.group(0).lower() if found else ""


def has_words(said: str, words: Iterable[str]) -> bool:
    """Whether any of the words stands in what was said, as whole words.

    >>> has_words("two brown paper bags", ("paper bags", "cloth bag"))
    True
    """
    spaced = f" {said.lower()} "
    return any(f" {word} " in spaced for word in words)
