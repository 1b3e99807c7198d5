"""Damage to a journal: found, and located by the number of its event."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from stillroom.base.problem import Problem, ProblemError
from stillroom.journal.events import FIRST, event_from_row, event_hash
from stillroom.journal.schema import PROJECTION
from stillroom.journal.store import Store

Row = tuple[Any, ...]
"""An event as the table holds it."""
_REMEDY = "Keep a copy of the file, then import your last export into another home."
_PROBES = 10_000
"""How many numbers in a row are tried after one that cannot be read, when the end is unknown."""


def missing(first: int, last: int) -> str:
    """The sentence for events that are not there."""
    if first == last:
        return f"Event {first} is missing."
    return f"Events {first} to {last} are missing."


def verify_store(store: Store) -> list[Problem]:
    """Every damaged, missing or misplaced event of a journal, and damage to its file.

    An event at the very end that was lost together with all that was derived from it leaves no
    trace; only an exported copy can show that.

    Args:
        store: the journal's store.

    Returns:
        The faults in order, each with the number of its event; empty when the journal is whole.
    """
    faults: list[Problem] = []
    last, digest = 0, FIRST
    for seq, row in _every_row(store):
        if row is None:
            faults.append(_bad(store, "event-unreadable", f"Event {seq} cannot be read."))
            last, digest = seq, ""
            continue
        faults += _sound(store, row, last, digest)
        last, digest = row[0], row[8]
    faults += _beyond(store, last)
    faults += [_bad(store, "pages-damaged", f"SQLite finds damage: {text}.")
               for text in store.check_pages()]  # fmt: skip
    return faults or list(_derived(store))


def verify_file(path: Path) -> list[Problem]:
    """The same for a file that may be too damaged to be opened as a journal.

    Args:
        path: the database file.

    Raises:
        ProblemError: the file is whole but cannot be used (busy, from a newer program …).
    """
    try:
        store = Store(path)
    except ProblemError as error:
        if any(problem.name != "journal-damaged" for problem in error.problems):
            raise
        return [replace(problem, remedy=_REMEDY) for problem in error.problems]
    try:
        return verify_store(store)
    finally:
        store.close()


def _bad(store: Store, name: str, text: str) -> Problem:
    return Problem(str(store.path), name=name, text=text, remedy=_REMEDY)


def _sound(store: Store, row: Row, last: int, digest: str) -> Iterator[Problem]:
    """The faults of one event; an empty ``digest`` means that the one before is unreadable."""
    seq = row[0]
    if seq > last + 1:
        yield _bad(store, "event-missing", missing(last + 1, seq - 1))
    elif digest and row[7] != digest:
        yield _bad(store, "event-order", f"Event {seq} does not follow the one before.")
    if _hash(row) != row[8]:
        yield _bad(store, "event-changed", f"Event {seq} was changed or damaged.")
        return
    try:
        event_from_row(row)
    except (ValueError, KeyError, TypeError):
        yield _bad(store, "event-unreadable", f"Event {seq} is sealed but cannot be read.")


def _hash(row: Row) -> str:
    try:
        return event_hash(row[:8])
    except (UnicodeEncodeError, TypeError):  # bytes or broken text where text belongs
        return ""


def _every_row(store: Store) -> Iterator[tuple[int, Row | None]]:
    """Every row with its number; None in place of one that cannot be read."""
    after, end = 0, _end(store)
    misses = 0
    while misses < _PROBES and (end is None or after < end):
        try:
            for row in store.rows(after):
                after, misses = int(row[0]), 0
                yield after, row
        except ProblemError:
            after += 1
            misses += 1
            if end is not None or misses == 1:  # where the end is unknown, one mark is enough
                yield after, None
            continue
        return


def _end(store: Store) -> int | None:
    try:
        return store.head()[0]
    except ProblemError:
        return None


def _derived(store: Store) -> Iterator[Problem]:
    """Whether batches and kitchen are what the events, which are whole, give."""
    from stillroom.journal.journal import Journal

    if store.meta("projection") != PROJECTION:
        return  # nothing is derived yet, or by an older program: refilled on the next opening
    fresh = Journal(Path(":memory:"))
    try:
        with fresh.store.writing():
            for row in store.rows():
                fresh.store.insert_row(row)
        fresh.rebuild()
        wrong = _differing(store, fresh.store)
    finally:
        fresh.close()
    if wrong:
        yield Problem(
            str(store.path), name="derived-damaged",
            text=f"All events are whole, but what was worked out from them is not ({wrong}).",
            remedy="Export them and import them into another home.",
        )  # fmt: skip


def _differing(store: Store, fresh: Store) -> str:
    """What differs between two stores of the same events, in words; empty when nothing does."""
    try:
        here, there = store.batches(open_only=False), fresh.batches(open_only=False)
        names = sorted({*here, *there})
        wrong = [name for name in names if here.get(name) != there.get(name)]
        if (store.meta("kitchen") or {}) != (fresh.meta("kitchen") or {}):
            wrong.append("the kitchen")
        if store.undone() != fresh.undone() or store.fixes() != fresh.fixes():
            wrong.append("what was taken back or put right")
        touched, again = store.touching(names), fresh.touching(names)
        if [event["seq"] for event in touched] != [event["seq"] for event in again]:
            wrong.append("which note is about which batch")
    except (ProblemError, ValueError, KeyError, TypeError):
        return "it cannot be read"
    return ", ".join(wrong)


def _beyond(store: Store, last: int) -> Iterable[Problem]:
    """Batches that remember an event after the last one: the end of the journal is lost."""
    try:
        touched = [batch["touched"] for batch in store.batches(open_only=False).values()]
    except (ProblemError, ValueError, KeyError, TypeError):
        return [_bad(store, "derived-damaged", "What is worked out from the events is damaged.")]
    newest = max(touched, default=0)
    return [_bad(store, "event-missing", missing(last + 1, newest))] if newest > last else []
