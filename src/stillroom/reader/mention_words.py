"""A note as tokens for concept matching: word forms and topic windows.

Voice notes have no punctuation and typed notes are elliptic, so a sentence is the wrong unit for
"these two things were said of the same food". The unit here is the *window*: neighbouring clauses
that speak of the same food, or of no other food. "Chicken thighs. Left them out overnight." is
one window; "the pears are done next the beef strips" is two.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from stillroom.reader.word_sets import word_map, word_set

_TOKEN = re.compile(
    r"\d+(?:,\d{3})*(?:\.\d+)?(?:/\d+)?|[^\W\d_]+(?:['’‘`´][^\W\d_]+)*|[½¼¾⅓⅔⅛⅜%°#]|[.;!?:\n,—–()]|-(?=\s)"
)
_ENDS = frozenset(".;!?:\n")
_COMMAS = frozenset(",—–()-")
_NOT = re.compile(
    r"^(did|do|does|is|was|were|are|have|has|had|wo|ca|could|should|would|ai|need|must)n['’‘`´]?t$"
)
FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375}


@dataclass(slots=True)
class Token:
    """One word with where it stands; ``comma`` and ``clause`` tell what stands before it."""

    text: str
    forms: frozenset[str]
    start: int
    end: int
    clause: int
    comma: bool
    asked: bool = False  # the clause before this token ended with a question mark
    window: int = 0


@lru_cache(maxsize=20_000)
def forms(word: str) -> frozenset[str]:
    """The word and what it may be inflected from; no dictionary, so some are no words.

    >>> sorted(forms("chopped"))
    ['=chopped', 'chop', 'chopp', 'choppe', 'chopped']
    """
    found = {word, "=" + word}
    if word in (irregular := word_map("irregular")):
        found.add(irregular[word])
    size = len(word)
    if word.endswith("ies") and size > 4:
        found |= {word[:-3] + "y", word[:-1], word[:-2]}
    elif word.endswith("s") and size > 3 and not word.endswith("ss"):
        found.add(word[:-1])
        if word.endswith(("oes", "xes", "ches", "shes", "sses")):
            found.add(word[:-2])
    if word.endswith("ied") and size > 4:
        found.add(word[:-3] + "y")
    for ending in ("ed", "ing"):
        stem = word[: -len(ending)]
        if word.endswith(ending) and len(stem) >= 2 and not word.endswith("eed"):
            found |= {stem, stem + "e"}
            if len(stem) > 3 and stem[-1] == stem[-2]:
                found.add(stem[:-1])
    return frozenset(found)


def _plain(word: str) -> str:
    if word.isascii():
        return word.lower()
    split = unicodedata.normalize("NFD", word.lower())
    return "".join(char for char in split if not unicodedata.combining(char))


def _words(raw: str) -> tuple[str, ...]:
    """The plain words of one raw token: "didn't" is two, "kitchen's" is one."""
    word = _plain(raw)
    if raw in FRACTIONS:
        return (raw,)
    if word == "cannot":
        return ("can", "not")
    hit = _NOT.match(word)
    if hit:
        return ({"wo": "will", "ca": "can", "ai": "is"}.get(hit[1], hit[1]), "not")
    head = re.split(r"['’‘`´]", word, maxsplit=1)[0] or word
    return (word_map("spelling").get(head, head),)


def tokens(text: str) -> list[Token]:
    """The words of a note, each with its clause; punctuation leaves only its effect."""
    found: list[Token] = []
    clause, comma, asked = 0, False, False
    for hit in _TOKEN.finditer(text):
        raw = hit[0]
        if raw in _ENDS:
            if raw in ".:" and _runs_on(text, hit.end(), found):
                continue
            clause, comma, asked = clause + 1, False, raw == "?"
        elif raw in _COMMAS:
            comma = True
        else:
            for word in _words(raw):
                found.append(Token(word, forms(word), hit.start(), hit.end(), clause, comma, asked))
                comma = False
            asked = False
    return found


def _runs_on(text: str, after: int, found: list[Token]) -> bool:
    """Whether a full stop is none: "2 oz. of", "1/4 in. slices", "e.g."."""
    if after < len(text) and not text[after].isspace():
        return True
    if not found or found[-1].text not in word_set("abbreviation"):
        return False
    rest = text[after : after + 3].lstrip()
    return bool(rest) and not rest[0].isupper()


_MARKERS = frozenset(
    ["then", "next", "also", "anyway", "oh", "um", "uh", "okay", "right", "meanwhile"]
)
_LONG_CLAUSE = 22


def number_windows(found: list[Token], topics: dict[str, str]) -> None:
    """Set ``window`` of every token.

    Args:
        found: the tokens, changed in place.
        topics: topic by word form (the foods; all meat is one topic).
    """
    window, current = 0, set[str]()
    for piece in _pieces(found):
        named = {topics[form] for token in piece for form in token.forms if form in topics}
        if named and current and not named & current:
            window, current = window + 1, named
        else:
            current |= named
        for token in piece:
            token.window = window


def _pieces(found: list[Token]) -> list[list[Token]]:
    """Clauses, cut at "but"; a long one is also cut at words that start a new thought."""
    clauses: list[list[Token]] = []
    for token in found:
        fresh = not clauses or clauses[-1][-1].clause != token.clause
        if fresh or token.text == "but":
            clauses.append([])
        clauses[-1].append(token)
    return [piece for clause in clauses for piece in _thoughts(clause)]


def _thoughts(clause: list[Token]) -> list[list[Token]]:
    if len(clause) <= _LONG_CLAUSE:
        return [clause]
    pieces, begin = [], 0
    for at, token in enumerate(clause):
        if token.text in _MARKERS and at - begin > 3:
            pieces.append(clause[begin:at])
            begin = at
    return [*pieces, clause[begin:]]
