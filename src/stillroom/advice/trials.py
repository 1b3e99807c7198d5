"""The rules tried on the example notes of packs: each note once, kept facts first, two at a time.

Reading a note and working out its figures costs more than all the rules. The facts of notes are
therefore kept in the cache under a mark that names everything they rest on, and the notes are
shared out between processes where the machine has several cores.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any
from zlib import crc32

from stillroom.advice.advise import advise
from stillroom.advice.book import RuleBook
from stillroom.base.cache import digest, fetch, keep
from stillroom.base.fact import Fact, Value

SHELVES = 16
"""Parts into which the notes are put by their text; a part is kept, and done, as one."""
MANY_NOTES = 160
"""Fewer notes than this are done sooner by one process than by starting others."""
MOST_PROCESSES = 4

FactsOf = Callable[[str], Sequence[Fact]]
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Tried:
    """What came of a note: the rules that fired, and (topic, batch, value, rule) of rulings."""

    fired: frozenset[str] = frozenset()
    values: tuple[tuple[str, str | None, Value, str], ...] = ()


@dataclass
class Trial:
    """Rules on trial.

    Args:
        book: the rules.
        facts_of: a note to its facts.
        mark: names all that ``facts_of`` rests on; empty when its facts are not to be kept.
    """

    book: RuleBook
    facts_of: FactsOf
    mark: str = ""

    def shelf(self, number: int, notes: Sequence[str]) -> dict[str, Tried]:
        """The notes of one shelf, by way of the kept facts."""
        key, mark = f"examples-{number}", digest("examples", self.mark)
        known = _unpacked(fetch(key), mark) if self.mark else {}
        fresh = {note: self.facts_of(note) for note in notes if note not in known}
        if fresh and self.mark:
            keep(key, _packed({**known, **fresh}, mark))
        return {
            note: tried(self.book, known[note] if note in known else fresh[note]) for note in notes
        }


def tried(book: RuleBook, facts: Iterable[Fact]) -> Tried:
    """By the plain chainer, whose firings are those of the engine, at less cost here."""
    made = advise(facts, book, engine="plain")
    values = [(r.topic, r.batch, r.value, r.rule) for r in made.rulings if r.value is not None]
    return Tried(frozenset(firing.rule for firing in made.firings), tuple(values))


def try_notes(
    trial: Trial, notes: Iterable[str], progress: Progress | None = None
) -> dict[str, Tried]:
    """What comes of each note.

    Args:
        trial: the rules and how notes are read.
        notes: the notes.
        progress: told how many are done, and of how many.
    """
    shelves: dict[int, list[str]] = {}
    for note in dict.fromkeys(notes):
        shelves.setdefault(crc32(note.encode("utf-8", "replace")) % SHELVES, []).append(note)
    total = sum(map(len, shelves.values()))
    found: dict[str, Tried] = {}
    for part in _parts(trial, sorted(shelves.items()), total):
        found |= part
        if progress:
            progress(len(found), total)
    return found


def _parts(
    trial: Trial, shelves: Sequence[tuple[int, list[str]]], total: int
) -> Iterator[dict[str, Tried]]:
    workers = min(_cores(), MOST_PROCESSES, len(shelves))
    if workers < 2 or total < MANY_NOTES:
        yield from (trial.shelf(*shelf) for shelf in shelves)
        return
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    done: set[int] = set()
    try:
        with ProcessPoolExecutor(workers, get_context("fork"), _take, (trial,)) as pool:
            jobs = {pool.submit(_shelf, *shelf): shelf[0] for shelf in shelves}
            for job in as_completed(jobs):
                part = job.result()
                done.add(jobs[job])
                yield part
    except (BrokenProcessPool, OSError):  # no more processes to be had: the rest is done here
        yield from (trial.shelf(*shelf) for shelf in shelves if shelf[0] not in done)


def _cores() -> int:
    """Cores that this process may use, where processes can be had by forking; else 1."""
    if threading.active_count() > 1:
        return 1  # a fork may copy a lock that another thread holds
    try:
        return len(os.sched_getaffinity(0))  # Linux alone has it; only there forking is sound
    except AttributeError:
        return 1


_mine: list[Trial] = []


def _take(trial: Trial) -> None:
    """In a worker: the trial, inherited and not sent."""
    _mine.append(trial)


def _shelf(number: int, notes: Sequence[str]) -> dict[str, Tried]:
    return _mine[-1].shelf(number, notes)


def _packed(known: dict[str, Sequence[Fact]], mark: str) -> Any:
    """Facts by note as JSON values; a fact that several notes share is written once.

    The mark stands inside and not in the name, so that facts of other code are written over.
    """
    place: dict[str, int] = {}
    rows: list[Any] = []
    notes: dict[str, list[int]] = {}
    for note, facts in known.items():
        notes[note] = []
        for fact in facts:
            row = [fact.kind, dict(fact.slots), list(fact.words), list(fact.sources)]
            name = repr(row)
            if name not in place:
                place[name] = len(rows)
                rows.append(row)
            notes[note].append(place[name])
    return [mark, rows, notes]


def _unpacked(data: Any, wanted: str) -> dict[str, Sequence[Fact]]:
    try:
        mark, rows, notes = data
        if mark != wanted:
            return {}
        facts = [Fact(kind, slots, tuple(words), tuple(s)) for kind, slots, words, s in rows]
        return {note: [facts[number] for number in numbers] for note, numbers in notes.items()}
    except (ValueError, TypeError, IndexError, AttributeError):  # nothing kept, or another shape
        return {}
