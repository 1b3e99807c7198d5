"""The database of a journal: named migrations, and triggers that refuse to change what is kept.

Events are kept for good. The tables whose names begin with ``d_`` are derived from the events and
may be thrown away at any time (``Store.rebuild`` fills them again with the same content).
"""

from __future__ import annotations

APPLICATION_ID = 0x5354524D
"""Marks the file as ours ("STRM") to tools that look at SQLite headers."""

PROJECTION = 4
"""Raised whenever the same events lead to other batches: the derived tables are then refilled."""

MIGRATIONS: tuple[tuple[str, str], ...] = (
    (
        "events",
        """
        CREATE TABLE event (
            seq INTEGER PRIMARY KEY,
            said TEXT NOT NULL,
            kept TEXT NOT NULL,
            kind TEXT NOT NULL,
            note TEXT NOT NULL,
            body TEXT NOT NULL,
            version TEXT NOT NULL,
            prior TEXT NOT NULL,
            hash TEXT NOT NULL UNIQUE
        ) STRICT;
        CREATE INDEX event_kind ON event (kind, seq);
        CREATE TRIGGER event_stays BEFORE UPDATE ON event
            BEGIN SELECT RAISE(ABORT, 'an event of the journal is never changed'); END;
        CREATE TRIGGER event_is_kept BEFORE DELETE ON event
            BEGIN SELECT RAISE(ABORT, 'an event of the journal is never erased'); END;
        """,
    ),
    (
        "derived",
        """
        CREATE TABLE d_batch (
            name TEXT PRIMARY KEY, open INTEGER NOT NULL, body TEXT NOT NULL
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX d_batch_open ON d_batch (open, name);
        CREATE TABLE d_touch (
            batch TEXT NOT NULL, seq INTEGER NOT NULL, PRIMARY KEY (batch, seq)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE d_number (stem TEXT PRIMARY KEY, number INTEGER NOT NULL) STRICT;
        CREATE TABLE d_link (
            one TEXT NOT NULL, other TEXT NOT NULL, PRIMARY KEY (one, other)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE d_undone (seq INTEGER PRIMARY KEY, by INTEGER NOT NULL) STRICT;
        CREATE TABLE d_fix (
            seq INTEGER NOT NULL, deed INTEGER NOT NULL, by INTEGER NOT NULL, slots TEXT NOT NULL,
            PRIMARY KEY (seq, deed, by)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE d_meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
        """,
    ),
    (
        "sums over closed batches",
        """
        ALTER TABLE d_batch ADD COLUMN food TEXT;
        ALTER TABLE d_batch ADD COLUMN begun TEXT;
        ALTER TABLE d_batch ADD COLUMN dried TEXT;
        CREATE INDEX d_batch_food ON d_batch (food, begun, name);
        CREATE TABLE d_ratio (
            batch TEXT NOT NULL, figure TEXT NOT NULL, food TEXT NOT NULL, begun TEXT NOT NULL,
            ratio REAL NOT NULL, PRIMARY KEY (batch, figure)
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX d_ratio_food ON d_ratio (figure, food, begun, batch);
        CREATE INDEX d_ratio_begun ON d_ratio (figure, begun, batch, food);
        CREATE TABLE d_use (
            batch TEXT NOT NULL, number INTEGER NOT NULL, food TEXT NOT NULL, at TEXT NOT NULL,
            grams REAL NOT NULL, PRIMARY KEY (batch, number)
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX d_use_food ON d_use (food, at);
        """,
    ),
    (
        "first dried by food",
        """
        CREATE INDEX d_batch_dried ON d_batch (food, dried);
        """,
    ),
)
"""Each runs once, in order; ``PRAGMA user_version`` counts the ones that ran. Only ever append."""

SCHEMA_VERSION = len(MIGRATIONS)

DERIVED = (
    "d_batch", "d_touch", "d_number", "d_link", "d_undone", "d_fix", "d_meta", "d_ratio", "d_use",
)  # fmt: skip
