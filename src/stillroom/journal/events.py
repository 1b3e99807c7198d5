"""The file that a journal lives in; the only module that imports sqlite3.

An event is on the disk before ``append`` returns: write-ahead log, full sync, one transaction for
the event and everything derived from it. Two programs on one home wait for each other
(``BEGIN IMMEDIATE`` with a busy time-out). Each event carries a hash of itself and of its
predecessor's hash, so that damage and gaps are found and located.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, cast
from weakref import finalize

from stillroom.base.problem import EXIT_DAMAGED, Problem, ProblemError
from stillroom.journal.records import Event
from stillroom.journal.schema import APPLICATION_ID, MIGRATIONS, SCHEMA_VERSION

FIRST = "0" * 64
"""What stands for the predecessor's hash in the first event."""

BUSY_S = 10.0
"""How long one program waits for another that is writing [s]."""

_COLUMNS = "seq, said, kept, kind, note, body, version, prior, hash"
_BODY = ("statements", "deeds", "predicted", "target")


def compact(value: object) -> str:
    """JSON without blanks and with sorted keys: the same content is the same text."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def event_hash(fields: Iterable[str | int]) -> str:
    """SHA-256 [hex] of an event's fields in the order of the table, its own hash left out."""
    import hashlib

    return hashlib.sha256(compact(list(fields)).encode()).hexdigest()


def event_from_row(row: tuple[Any, ...]) -> Event:
    """The event that a row of the table holds."""
    seq, said, kept, kind, note, body, version, prior, digest = row
    held = json.loads(body)
    return {
        "seq": seq, "said": said, "kept": kept, "kind": kind, "note": note,
        "statements": held["statements"], "deeds": held["deeds"],
        "predicted": held["predicted"], "target": held["target"],
        "version": version, "prior": prior, "hash": digest,
    }  # fmt: skip


def event_row(event: Event) -> tuple[Any, ...]:
    """The row of the table for an event, its hash worked out anew."""
    body = compact({name: event[name] for name in _BODY})  # type: ignore[literal-required] # keys of Event
    head = (event["seq"], event["said"], event["kept"], event["kind"], event["note"], body,
            event["version"], event["prior"])  # fmt: skip
    return (*head, event_hash(head))


_TROUBLES = (
    ("locked", "journal-busy", "Another program is writing to the journal and did not finish.",
     "Close it and say that again."),
    ("busy", "journal-busy", "Another program is writing to the journal and did not finish.",
     "Close it and say that again."),
    ("full", "journal-full", "The disk is full, so this could not be kept.",
     "Make room and say that again; everything kept before is safe."),
    ("readonly", "journal-read-only", "The journal may not be written to, so nothing was kept.",
     "Give yourself the right to write there, or choose another place with --home."),
    ("unable to open", "journal-unopened", "The journal cannot be opened.",
     "Check that its folder exists and is yours, or choose another place with --home."),
    ("disk i/o", "journal-disk", "The disk failed while the journal was read or written.",
     "Nothing kept before is lost by this; check the disk, then say that again."),
)  # fmt: skip


def trouble(path: Path, error: sqlite3.Error | OSError) -> ProblemError:
    """The one sentence that a person gets for an error of the database or the disk."""
    said = str(error).lower()
    if isinstance(error, sqlite3.Error):
        for word, name, text, remedy in _TROUBLES:
            if word in said:
                return ProblemError(Problem(str(path), name=name, text=text, remedy=remedy))
        return ProblemError(
            Problem(
                str(path),
                name="journal-damaged",
                text=f"The journal is damaged ({error}).",
                remedy="Run `stillroom journal verify` to see where; keep a copy of the file.",
            ),
            exit_status=EXIT_DAMAGED,
        )
    return ProblemError(
        Problem(
            str(path), name="journal-unopened",
            text=f"The journal's folder cannot be used ({error.strerror or error}).",
            remedy="Choose another place with --home.",
        )
    )  # fmt: skip


def newer(path: Path, version: int) -> ProblemError:
    """The refusal of a journal that a later program wrote."""
    return ProblemError(
        Problem(
            str(path),
            name="journal-newer",
            text=f"This journal was written by a newer stillroom (its form is {version}, this "
            f"program knows up to {SCHEMA_VERSION}); it was left as it is.",
            remedy="Bring stillroom up to date.",
        ),
        exit_status=EXIT_DAMAGED,
    )


class EventStore:
    """An open journal file.

    Args:
        path: the database file; made, with its folder, when it is not there.
        busy_s: how long to wait for another program [s].

    Raises:
        ProblemError: the file cannot be opened, is damaged, or comes from a newer program.
    """

    def __init__(self, path: Path, busy_s: float = BUSY_S) -> None:
        self.path = path
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise trouble(path, error) from error
        try:
            # The collector may run in any thread, and a store that nobody closed is closed there.
            self._db = sqlite3.connect(
                path, timeout=busy_s, isolation_level=None, check_same_thread=False
            )
            finalize(self, self._db.close)
            self._db.execute("PRAGMA synchronous=FULL")
            version = self._db.execute("PRAGMA user_version").fetchone()[0]
            if version > SCHEMA_VERSION:
                raise newer(path, version)
            if version < SCHEMA_VERSION:
                self._migrate()
        except sqlite3.Error as error:
            raise trouble(path, error) from error

    def _migrate(self) -> None:
        """Run the migrations that this file has not had, each in a transaction of its own."""
        self._db.execute("PRAGMA journal_mode=WAL")
        for number, (_name, script) in enumerate(MIGRATIONS, start=1):
            self._db.execute("BEGIN IMMEDIATE")
            try:
                if self._db.execute("PRAGMA user_version").fetchone()[0] < number:
                    for statement in _split(script):
                        self._db.execute(statement)
                    self._db.execute(f"PRAGMA application_id={APPLICATION_ID}")
                    self._db.execute(f"PRAGMA user_version={number}")
                self._db.execute("COMMIT")
            except BaseException:
                self._db.execute("ROLLBACK")
                raise

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    @contextmanager
    def writing(self) -> Iterator[None]:
        """One transaction: all of it is kept, durably, or nothing of it is.

        Raises:
            ProblemError: the database or the disk refuses; nothing was kept.
        """
        try:
            self._db.execute("BEGIN IMMEDIATE")
        except sqlite3.Error as error:
            raise trouble(self.path, error) from error
        try:
            yield
            self._db.execute("COMMIT")
        except BaseException as error:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")
            if isinstance(error, sqlite3.Error):
                raise trouble(self.path, error) from error
            raise

    def _all(self, query: str, values: Iterable[Any] = ()) -> list[tuple[Any, ...]]:
        try:
            return self._db.execute(query, tuple(values)).fetchall()
        except sqlite3.Error as error:
            raise trouble(self.path, error) from error

    # events

    def head(self) -> tuple[int, str, str]:
        """Number, hash and time kept of the newest event; (0, FIRST, "") in an empty journal."""
        rows = self._all("SELECT seq, hash, kept FROM event ORDER BY seq DESC LIMIT 1")
        return cast("tuple[int, str, str]", rows[0]) if rows else (0, FIRST, "")

    def append(self, event: Event) -> Event:
        """Write an event after the newest one; call inside ``writing``.

        Its number, predecessor and hash are filled in here.
        """
        seq, prior, _kept = self.head()
        event = {**event, "seq": seq + 1, "prior": prior}
        row = event_row(event)
        self._db.execute(f"INSERT INTO event ({_COLUMNS}) VALUES (?,?,?,?,?,?,?,?,?)", row)
        return {**event, "hash": row[-1]}

    def insert_row(self, row: tuple[Any, ...]) -> None:
        """Write an event's row as it stands (import); call inside ``writing``."""
        self._db.execute(f"INSERT INTO event ({_COLUMNS}) VALUES (?,?,?,?,?,?,?,?,?)", row)

    def event(self, seq: int) -> Event | None:
        """The event of that number."""
        rows = self._all(f"SELECT {_COLUMNS} FROM event WHERE seq=?", (seq,))
        return event_from_row(rows[0]) if rows else None

    def rows(self, after: int = 0) -> Iterator[tuple[Any, ...]]:
        """The rows of all events after a number, oldest first."""
        try:
            yield from self._db.execute(
                f"SELECT {_COLUMNS} FROM event WHERE seq>? ORDER BY seq", (after,)
            )
        except sqlite3.Error as error:
            raise trouble(self.path, error) from error

    def newest(self, limit: int, before: int | None = None) -> Iterator[Event]:
        """Events newest first, whatever their kind; ``before`` starts below that number."""
        rows = self._all(
            f"SELECT {_COLUMNS} FROM event WHERE seq<? ORDER BY seq DESC LIMIT ?",
            (before if before is not None else 1 << 62, limit),
        )
        return (event_from_row(row) for row in rows)

    def newest_in_force(self) -> int | None:
        """The newest note that did something and was not taken back."""
        rows = self._all(
            "SELECT seq FROM event WHERE kind='note' AND seq NOT IN (SELECT seq FROM d_undone) "
            "ORDER BY seq DESC LIMIT 1"
        )
        return rows[0][0] if rows else None

    def last_undone(self) -> int | None:
        """The event that was taken back last and is still taken back."""
        rows = self._all("SELECT seq FROM d_undone ORDER BY by DESC LIMIT 1")
        return rows[0][0] if rows else None

    def undone_by(self, seq: int) -> int | None:
        """The event that took an event back; None when it is in force."""
        rows = self._all("SELECT by FROM d_undone WHERE seq=?", (seq,))
        return rows[0][0] if rows else None

    def undone(self) -> set[int]:
        """Numbers of the events that are not in force."""
        return {row[0] for row in self._all("SELECT seq FROM d_undone")}

    def touching(self, names: Iterable[str]) -> list[Event]:
        """Every event that touches one of these batches, oldest first."""
        wanted = json.dumps(sorted(names))
        rows = self._all(
            f"SELECT {_COLUMNS} FROM event WHERE seq IN (SELECT seq FROM d_touch WHERE batch IN "
            "(SELECT value FROM json_each(?))) ORDER BY seq",
            (wanted,),
        )
        return [event_from_row(row) for row in rows]

    def check_pages(self) -> list[str]:
        """What SQLite's own check says of the file; empty when it is sound."""
        try:
            rows = self._db.execute("PRAGMA integrity_check(20)").fetchall()
        except sqlite3.Error as error:
            return [str(error)]
        return [row[0] for row in rows if row[0] != "ok"]

    # derived


def _split(script: str) -> Iterator[str]:
    """The statements of a migration; a trigger's inner semicolon does not end it."""
    held = ""
    for line in script.splitlines(keepends=True):
        held += line
        if sqlite3.complete_statement(held):
            yield held
            held = ""
