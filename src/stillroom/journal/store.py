"""The journal's store: its events, and what is derived from them, kept beside them.

Derived tables (batches, sums over closed batches, links, fixes) are thrown away and filled again
when their form changes; the events alone are the journal.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any, cast

from stillroom.journal.events import EventStore, compact
from stillroom.journal.records import Batch, Batches
from stillroom.journal.schema import DERIVED


class Store(EventStore):
    """Events and derived tables of one home; see ``EventStore`` for opening and errors."""

    def batches(
        self, *, open_only: bool = True, names: Iterable[str] | None = None, food: str | None = None
    ) -> Batches:
        """Derived batches by name: the open ones, all of them, those named, those of a food."""
        if food is not None:
            rows = self._all("SELECT name, body FROM d_batch WHERE food=?", (food,))
        elif names is not None:
            rows = self._all(
                "SELECT name, body FROM d_batch WHERE name IN (SELECT value FROM json_each(?))",
                (json.dumps(sorted(names)),),
            )
        else:
            where = "WHERE open=1" if open_only else ""
            rows = self._all(f"SELECT name, body FROM d_batch {where} ORDER BY name")
        return {name: cast(Batch, json.loads(body)) for name, body in rows}

    def put_batches(self, batches: Mapping[str, tuple[bool, Batch]]) -> None:
        """Store derived batches, each with whether it is open."""
        self._db.executemany(
            "INSERT OR REPLACE INTO d_batch (name, open, food, begun, dried, body) "
            "VALUES (?,?,?,?,?,?)",
            [(name, int(open_), body["food"], body["begun"],
              (body["dried_at"] or body["begun"]) if body["dried"] else None, compact(body))
             for name, (open_, body) in batches.items()],
        )  # fmt: skip

    def drop_batches(self, names: Iterable[str]) -> None:
        """Take derived batches away (their first event was taken back)."""
        self._db.executemany("DELETE FROM d_batch WHERE name=?", [(name,) for name in names])

    def put_sums(
        self,
        names: Iterable[str],
        ratios: Iterable[tuple[Any, ...]],
        uses: Iterable[tuple[Any, ...]],
    ) -> None:
        """What these batches add to sums over the seasons, in place of what they added before.

        Args:
            names: the batches.
            ratios: rows of batch, figure, food, begun, ratio.
            uses: rows of batch, number, food, at, grams.
        """
        gone = [(name,) for name in names]
        for table, rows, places in (("d_ratio", ratios, 5), ("d_use", uses, 5)):
            self._db.executemany(f"DELETE FROM {table} WHERE batch=?", gone)
            marks = ",".join("?" * places)
            self._db.executemany(f"INSERT INTO {table} VALUES ({marks})", rows)

    def ratios(
        self, figure: str, foods: Iterable[str], limit: int, *, others: bool = False
    ) -> list[float]:
        """Real over guessed of the newest batches of these foods, or of others; oldest first."""
        if others:
            rows = self._all(
                "SELECT begun, batch, ratio FROM d_ratio WHERE figure=? AND food NOT IN "
                "(SELECT value FROM json_each(?)) ORDER BY begun DESC, batch DESC LIMIT ?",
                (figure, json.dumps(sorted(foods)), limit),
            )
        else:  # food by food: each is the end of an index, all at once would be sorted
            rows = [row for food in sorted(foods) for row in self._all(
                "SELECT begun, batch, ratio FROM d_ratio WHERE figure=? AND food=? "
                "ORDER BY begun DESC, batch DESC LIMIT ?", (figure, food, limit))]  # fmt: skip
        return [row[2] for row in sorted(rows)[-limit:]]

    def used_g(self, food: str, early: str, late: str) -> float:
        """What was used of a food from one moment to another [g]; thrown out is not used."""
        rows = self._all(
            "SELECT sum(grams) FROM d_use WHERE food=? AND at>=? AND at<=?", (food, early, late)
        )
        return rows[0][0] or 0.0

    def first_dried(self, food: str) -> str | None:
        """When the first batch of a food was dry."""
        rows = self._all("SELECT min(dried) FROM d_batch WHERE food=?", (food,))
        return cast("str | None", rows[0][0])

    def first_begun(self, food: str, early: str) -> str | None:
        """When the first batch of a food was begun, from a moment on."""
        query = "SELECT min(begun) FROM d_batch WHERE food=? AND begun>=?"
        return cast("str | None", self._all(query, (food, early))[0][0])

    def put_touches(self, seq: int, names: Iterable[str]) -> None:
        """Note which batches an event touches, and the highest number of each food's names."""
        names = list(names)
        self._db.executemany(
            "INSERT OR IGNORE INTO d_touch (batch, seq) VALUES (?,?)",
            [(name, seq) for name in names],
        )
        numbered = [name.rpartition("-") for name in names]
        self._db.executemany(
            "INSERT INTO d_number (stem, number) VALUES (?,?) ON CONFLICT (stem) "
            "DO UPDATE SET number=max(number, excluded.number)",
            [(stem, int(tail)) for stem, _, tail in numbered if stem and tail.isdecimal()],
        )

    def last_number(self, stem: str) -> int:
        """The highest number that a batch name of this stem ever had."""
        rows = self._all("SELECT number FROM d_number WHERE stem=?", (stem,))
        return rows[0][0] if rows else 0

    def put_link(self, one: str, other: str) -> None:
        """Note that mass went between two batches."""
        self._db.executemany(
            "INSERT OR IGNORE INTO d_link (one, other) VALUES (?,?)",
            [(one, other), (other, one)],
        )

    def linked(self, names: Iterable[str]) -> set[str]:
        """The batches named and all that mass went to or came from, however far."""
        rows = self._all(
            "WITH RECURSIVE near(name) AS (SELECT value FROM json_each(?) UNION "
            "SELECT other FROM d_link JOIN near ON one=name) SELECT name FROM near",
            (json.dumps(sorted(names)),),
        )
        return {row[0] for row in rows}

    def set_undone(self, seq: int, by: int | None) -> None:
        """Mark an event as taken back by another, or as in force again (``by`` None)."""
        self._db.execute("DELETE FROM d_undone WHERE seq=?", (seq,))
        if by is not None:
            self._db.execute("INSERT INTO d_undone (seq, by) VALUES (?,?)", (seq, by))

    def put_fix(self, seq: int, deed: int, by: int, slots: Mapping[str, Any]) -> None:
        """Note that an event put a deed of an earlier one right."""
        self._db.execute(
            "INSERT OR REPLACE INTO d_fix (seq, deed, by, slots) VALUES (?,?,?,?)",
            (seq, deed, by, compact(slots)),
        )

    def fixes(self) -> dict[tuple[int, int], dict[str, Any]]:
        """What is put right and in force: (event, deed) to the slots that replace its own."""
        found: dict[tuple[int, int], dict[str, Any]] = {}
        for seq, deed, slots in self._all(
            "SELECT seq, deed, slots FROM d_fix WHERE by NOT IN (SELECT seq FROM d_undone) "
            "ORDER BY by"
        ):
            found.setdefault((seq, deed), {}).update(json.loads(slots))
        return found

    def meta(self, key: str) -> Any:
        """A derived value, such as the kitchen; None when it is not there."""
        rows = self._all("SELECT value FROM d_meta WHERE key=?", (key,))
        return json.loads(rows[0][0]) if rows else None

    def put_meta(self, key: str, value: object) -> None:
        """Keep a derived value."""
        self._db.execute(
            "INSERT OR REPLACE INTO d_meta (key, value) VALUES (?,?)", (key, compact(value))
        )

    def clear_derived(self) -> None:
        """Throw away all that is derived, before it is worked out again."""
        for table in DERIVED:
            self._db.execute(f"DELETE FROM {table}")
