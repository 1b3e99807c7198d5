"""The words that the reader knows: knowledge/words.csv and the names of foods, longest first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.reader.pieces import cut_pieces
from stillroom.tables.kitchen_use import kitchen_use
from stillroom.tables.tables import tables

COLUMNS = ("kind", "value", "words", "weight")
HEARD = "§"  # marks a token that was taken as a food
_MAX_GAP = 8
_MIX_WEIGHT = 9
"""A mix that is named outweighs the usual cues of a question."""
_SEPARATE = {
    "cue", "ask", "qbreak", "open", "which", "share", "setting", "measure", "undo", "repair",
    "chat", "todo", "part", "det", "subject", "copula", "filler", "heard", "shy", "within",
    "short", "lead", "wary", "shake", "topic", "broken", "plain", "order", "intent", "kin",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Entry:
    """What a phrase means: ``kind`` and ``value`` of its row; ``tail`` follows a gap."""

    kind: str
    value: str
    weight: int
    head: tuple[str, ...]
    tail: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lexicon:
    """Phrases by first word; ``sense`` holds meanings, ``frame`` the grammar words."""

    sense: dict[str, list[Entry]] = field(default_factory=dict)
    frame: dict[str, dict[str, list[Entry]]] = field(default_factory=dict)

    def file(self, entry: Entry) -> None:
        """Puts an entry where its first word finds it; one without words is left out."""
        if entry.head:
            table = self.frame.setdefault(entry.kind, {}) if entry.kind in _SEPARATE else self.sense
            table.setdefault(entry.head[0], []).append(entry)

    def best(self, lows: Sequence[str], at: int) -> Entry | None:
        """The longest meaning that begins at ``at``."""
        return _longest(self.sense, lows, at)

    def framed(self, kind: str, lows: Sequence[str], at: int) -> Entry | None:
        """The longest grammar phrase of one kind that begins at ``at``."""
        table = self.frame.get(kind)
        return _longest(table, lows, at) if table else None


def _longest(table: dict[str, list[Entry]], lows: Sequence[str], at: int) -> Entry | None:
    """The first entry that fits; entries stand longest first, filed by their first word."""
    for entry in table.get(lows[at], ()):
        head = entry.head
        if (len(head) == 1 or tuple(lows[at : at + len(head)]) == head) and (
            not entry.tail or tail_at(entry, lows, at) is not None
        ):
            return entry
    return None


def tail_at(entry: Entry, lows: Sequence[str], at: int) -> int | None:
    """Where the tail of a phrase with a gap begins."""
    start = at + len(entry.head)
    for place in range(start, min(start + _MAX_GAP, len(lows))):
        if lows[place] in (".", "?", "!", ";", "\n"):
            return None
        if tuple(lows[place : place + len(entry.tail)]) == entry.tail:
            return place
    return None


def _lows(words: str) -> tuple[str, ...]:
    if words.startswith("'"):
        head, _, tail = words.partition(" ")
        return (head, *_lows(tail))
    return tuple(
        piece.low for piece in cut_pieces(words.replace(" '", "'")) if piece.kind == "word"
    )


_SHORTER = {"is": "'s", "are": "'re", "has": "'s", "have": "'ve"}


def _variants(words: str) -> list[str]:
    """A phrase, and the same with its verb drawn together: "lid is wet", "lid's wet"."""
    parts = words.split(" ")
    out = [words]
    for at in range(1, len(parts)):
        if parts[at] in _SHORTER:
            out.append(" ".join([*parts[:at], _SHORTER[parts[at]], *parts[at + 1 :]]))
    return out


def _entry(kind: str, value: str, words: str, weight: str) -> Entry:
    head, _, tail = words.partition(" _ ")
    return Entry(kind, value, int(weight or 5), _lows(head), _lows(tail))


def _mix_names() -> Iterator[Entry]:
    """A mix that is named is blended when told of, and asked about in a question."""
    for recipe in kitchen_use().recipes.values():
        for name in recipe.spoken:
            told = _entry("act", "blend", name, "")
            yield told
            yield replace(told, kind="cue", value="mix", weight=_MIX_WEIGHT)


@cache
def lexicon() -> Lexicon:
    """The shipped words, read once."""
    out = Lexicon()
    for row in read_csv(knowledge_dir() / "words.csv", COLUMNS):
        for words in (one for word in row["words"].split("|") for one in _variants(word)):
            out.file(_entry(row["kind"], row["value"], words, row["weight"]))
    for entry in _mix_names():
        out.file(entry)
    for words, food in tables().food_words.items():
        out.file(_entry("food", food, words, ""))
    for food in tables().foods:
        out.sense[HEARD + food] = [Entry("food", food, 5, (HEARD + food,))]
    for table in (out.sense, *out.frame.values()):
        for entries in table.values():
            entries.sort(key=lambda entry: (-(len(entry.head) + len(entry.tail)), -entry.weight))
    return out
