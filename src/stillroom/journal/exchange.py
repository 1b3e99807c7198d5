"""The journal as an open file, taken in again, and searched for damage.

The form is JSON Lines in UTF-8, one JSON object a line, a line feed after each. Version 1:

The first line is the head::

    {"stillroom": "journal", "version": 1, "events": 2, "last": "<hash of the last event>",
     "hash": "sha256", "over": ["seq", "said", "kept", "kind", "note", "body", "version", "prior"]}

Every further line is an event, oldest first, with no gap in ``seq``:

==========  ==========================================================================
seq         number of the event, from 1
said        the moment it is about, ISO 8601 by the cook's own clock, without a zone
kept        the moment it was written, the same way
kind        ``note``, ``undo``, ``amend`` and so on
note        the note word for word
statements  what was read from it, slots as in the machine-readable interface
deeds       what it does to the batches (``journal/deeds.py``)
predicted   first guesses: batch to figure to [low, likely, high]
target      number of the event that it takes back or puts right, or null
version     the program that wrote it
prior       hash of the event before; 64 zeros in the first
hash        SHA-256, hexadecimal, of the JSON list of the fields named by ``over``
==========  ==========================================================================

``body`` is the text of the JSON object of deeds, predicted, statements and target. For the hash,
objects have their keys sorted, there are no blanks between the signs, and letters outside ASCII
stand as they are. A changed event no longer has its own hash, a missing one leaves its hash unmet
in the ``prior`` of the next, and the head tells how many there are and how the last ends.
A file may begin after event 1: it can then be taken into a journal that has what came before.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from stillroom.base.problem import EXIT_DAMAGED, Problem, ProblemError
from stillroom.journal.check import Row, missing, verify_file, verify_store
from stillroom.journal.events import FIRST, event_from_row, event_row
from stillroom.journal.records import Event
from stillroom.journal.store import Store

if TYPE_CHECKING:
    from stillroom.journal.journal import Journal

__all__ = ["export_events", "import_events", "read_events", "verify_file", "verify_store"]

FORMAT_VERSION = 1
OVER = ("seq", "said", "kept", "kind", "note", "body", "version", "prior")
_TYPES: dict[str, type | tuple[type, ...]] = {
    "seq": int, "said": str, "kept": str, "kind": str, "note": str, "statements": list,
    "deeds": list, "predicted": dict, "target": (int, type(None)), "version": str, "prior": str,
    "hash": str,
}  # fmt: skip
_MOST = 20
"""More faults of one file than this are not listed: the first ones tell where to look."""


def _line(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False) + "\n"


def export_events(store: Store, path: Path) -> int:
    """Write every event to a file; the file is complete or not there at all.

    Args:
        store: the journal's store.
        path: the file; one that is there is replaced.

    Returns:
        Events written.

    Raises:
        ProblemError: an event cannot be read, or the file cannot be written.
    """
    if path.resolve() in {store.path.resolve(), *_beside(store.path)}:
        raise ProblemError(
            Problem(str(path), name="export-onto-journal", text="This is the journal itself.",
                    remedy="Choose another file to export to.")
        )  # fmt: skip
    last, digest, _kept = store.head()
    head = {"stillroom": "journal", "version": FORMAT_VERSION, "events": last, "last": digest,
            "hash": "sha256", "over": list(OVER)}  # fmt: skip
    draft = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with draft.open("w", encoding="utf-8", newline="\n") as stream:
            stream.write(_line(head))
            for row in store.rows():
                if row[0] > last:  # another program wrote it after we counted
                    break
                stream.write(_line(_event_line(store, row)))
            stream.flush()
            os.fsync(stream.fileno())
        draft.replace(path)
    except OSError as error:
        raise _cannot(path, "written", error) from error
    finally:
        _forget(draft)
    return last


def _forget(draft: Path) -> None:
    try:
        draft.unlink(missing_ok=True)
    except OSError:  # its folder is not there; then it is not either
        return


def _beside(path: Path) -> set[Path]:
    return {path.with_name(path.name + tail).resolve() for tail in ("-wal", "-shm")}


def _cannot(path: Path, what: str, error: OSError) -> ProblemError:
    return ProblemError(
        Problem(str(path), name=f"cannot-be-{what}",
                text=f"Cannot be {what} ({error.strerror or error}).",
                remedy="Check its name, its folder and the room on the disk.")
    )  # fmt: skip


def _event_line(store: Store, row: Row) -> Event:
    try:
        return event_from_row(row)
    except (ValueError, KeyError, TypeError) as error:
        raise ProblemError(
            Problem(str(store.path), name="event-unreadable",
                    text=f"Event {row[0]} is damaged, so the journal was not exported.",
                    remedy="Run `stillroom journal verify`, and bring back a copy from before."),
            exit_status=EXIT_DAMAGED,
        ) from error  # fmt: skip


# taking in


def import_events(journal: Journal, path: Path) -> int:
    """Take in the events of a file that are not here yet; nothing here is ever changed.

    Into an empty journal everything comes back. A journal that holds something takes a file only
    when both tell the same story as far as both go; otherwise nothing is taken in. A file with
    any damage is refused whole, each fault with its line.

    Args:
        journal: the open journal.
        path: a file that ``export_events`` wrote.

    Returns:
        Events added; 0 when all of them were here.

    Raises:
        ProblemError: the file is damaged, is newer than this program, or tells another story.
    """
    rows = read_events(path)
    store = journal.store
    with store.writing():
        last, digest, _kept = store.head()
        _same_story(store, path, rows, last)
        fresh = [row for row in rows if row[0] > last]
        if fresh and (fresh[0][0], fresh[0][7]) != (last + 1, digest):
            raise _foreign(path, f"its event {fresh[0][0]} does not follow event {last} here")
        for row in fresh:
            store.insert_row(row)
        if fresh:
            store.clear_derived()  # a program killed right here finds nothing stale, and refills
    if fresh:
        journal.rebuild()
    return len(fresh)


def _same_story(store: Store, path: Path, rows: list[Row], last: int) -> None:
    """Refuse a file whose events differ from those of the same number here."""
    told = {row[0]: row[8] for row in rows if row[0] <= last}
    if not told:
        return
    for row in store.rows(min(told) - 1):
        if row[0] in told and row[8] != told[row[0]]:
            raise _foreign(path, f"they part at event {row[0]}")


def _foreign(path: Path, where: str) -> ProblemError:
    return ProblemError(
        Problem(str(path), name="foreign-journal",
                text=f"This is another journal's story ({where}); nothing was taken in.",
                remedy="Take it into a home of its own: stillroom --home DIR journal import F.")
    )  # fmt: skip


def read_events(path: Path) -> list[Row]:
    """The rows of an exported file, every one with its hash checked.

    Raises:
        ProblemError: the file cannot be read, is newer, or is damaged; each fault has its line.
    """
    try:
        text = path.read_bytes()
    except OSError as error:
        raise _cannot(path, "read", error) from error
    lines = text.split(b"\n")
    ended = lines[-1] == b""
    head = _head(path, lines[0])
    faults: list[Problem] = []
    rows: list[Row] = []
    for number, line in enumerate(lines[1 : -1 if ended else None], start=2):
        try:
            row = _row(path, number, line)
        except ProblemError as error:
            faults += error.problems
            continue
        faults += _chained(path, number, rows[-1] if rows else None, row)
        rows.append(row)
    faults += _complete(path, head, rows, len(lines))
    if faults:
        raise ProblemError(faults[:_MOST], exit_status=EXIT_DAMAGED)
    return rows


def _fault(path: Path, line: int, name: str, text: str) -> Problem:
    return Problem(str(path), line, 0, name, text, "Nothing was taken in; use a whole copy.")


def _head(path: Path, line: bytes) -> dict[str, Any]:
    try:
        head = json.loads(line)
    except ValueError:
        head = None
    if not isinstance(head, dict) or head.get("stillroom") != "journal":
        raise ProblemError(
            _fault(path, 1, "not-a-journal", "This is not an exported journal: it lacks its head."),
            exit_status=EXIT_DAMAGED,
        )
    version = head.get("version")
    if not isinstance(version, int) or version > FORMAT_VERSION:
        raise ProblemError(
            Problem(str(path), 1, 0, "export-newer",
                    f"This was exported by a newer stillroom (its form is {version}, this program "
                    f"knows up to {FORMAT_VERSION}).", "Bring stillroom up to date."),
            exit_status=EXIT_DAMAGED,
        )  # fmt: skip
    if not isinstance(head.get("events"), int) or not isinstance(head.get("last"), str):
        raise ProblemError(
            _fault(path, 1, "head-damaged", "The head does not say how many events there are."),
            exit_status=EXIT_DAMAGED,
        )
    return cast("dict[str, Any]", head)


def _row(path: Path, number: int, line: bytes) -> Row:
    try:
        event = json.loads(line)
    except ValueError as error:
        raise ProblemError(
            _fault(path, number, "event-unreadable", "This line is not a whole event.")
        ) from error
    if not isinstance(event, dict):
        raise ProblemError(_fault(path, number, "event-unreadable", "This line is not an event."))
    wrong = [key for key, type_ in _TYPES.items()
             if key not in event or not isinstance(event[key], type_)]  # fmt: skip
    if wrong:
        raise ProblemError(
            _fault(path, number, "event-unreadable", f"The event lacks a sound {wrong[0]!r}.")
        )
    try:
        row = event_row(cast(Event, event))
    except UnicodeEncodeError as error:
        raise ProblemError(
            _fault(path, number, "event-unreadable", "The event has signs that are no text.")
        ) from error
    if row[8] != event["hash"]:
        raise ProblemError(
            _fault(path, number, "event-changed", f"Event {event['seq']} was changed or damaged.")
        )
    return row


def _chained(path: Path, number: int, before: Row | None, row: Row) -> Iterator[Problem]:
    if before is None:
        if row[0] == 1 and row[7] != FIRST:
            yield _fault(path, number, "event-order", "Event 1 does not begin a journal.")
    elif row[0] > before[0] + 1:
        yield _fault(path, number, "event-missing", missing(before[0] + 1, row[0] - 1))
    elif row[0] <= before[0] or row[7] != before[8]:
        yield _fault(path, number, "event-order", f"Event {row[0]} does not follow the one before.")


def _complete(path: Path, head: dict[str, Any], rows: list[Row], line: int) -> Iterator[Problem]:
    """Whether the file ends where its head says."""
    last = int(rows[-1][0]) if rows else 0
    promised = head["events"]
    if promised > last:
        yield _fault(path, line, "event-missing",
                     f"The file ends early: {missing(last + 1, promised)}")  # fmt: skip
    elif rows and (head["last"] != rows[-1][8] or promised < last):
        yield _fault(path, line, "event-changed", f"Event {last} is not the one that was exported.")
