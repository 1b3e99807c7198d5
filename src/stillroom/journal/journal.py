"""The door of this package: a journal that is told notes and shows what stands, and what is due."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from stillroom.base.clock import local_now
from stillroom.base.statement import Statement
from stillroom.journal.amend import is_bare
from stillroom.journal.deeds import apply_deed, apply_event, batches_of, touched_by
from stillroom.journal.draft import Draft
from stillroom.journal.juice import KEY
from stillroom.journal.plan import Drafted, plan
from stillroom.journal.records import Event, Knowhow, Made, Question
from stillroom.journal.replay import fixes_without, index, rebuild, replay, save
from stillroom.journal.schema import PROJECTION
from stillroom.journal.shown import Shown
from stillroom.journal.store import Store
from stillroom.journal.view import lot, missed_days
from stillroom.journal.world import World

Predicted = Mapping[str, Mapping[str, Sequence[float]]]


@dataclass(frozen=True)
class Plan:
    """What a note would do; nothing of it is kept.

    Args:
        statements: each with its batch.
        questions: where two batches fit, or none.
        lots: the batches as they would stand (fields of kind ``lot``).
        kitchen: the kitchen as it would be known.
    """

    statements: tuple[Statement, ...]
    questions: tuple[Question, ...]
    lots: list[dict[str, Any]]
    kitchen: dict[str, Any]


@dataclass(frozen=True)
class Kept:
    """What was kept.

    Args:
        seq: number of the event; that of the last one when a note made two.
        statements: each with its batch.
        questions: where two batches fit, or none.
        lines: short sentences for the person.
    """

    seq: int
    statements: tuple[Statement, ...] = ()
    questions: tuple[Question, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass
class _Worked:
    """A note worked through: what it takes back, the batches before and after, its deeds."""

    target: int | None
    before: World
    draft: Draft
    drafted: Drafted
    after: World
    redone: set[str] = field(default_factory=set)


class Journal(Shown):
    """A season's journal in one file.

    Args:
        path: the database file; made when it is not there.
        knowhow: what the tables tell of foods.

    Raises:
        ProblemError: the file cannot be opened, is damaged, or comes from a newer program.
    """

    def __init__(self, path: Path, knowhow: Knowhow | None = None) -> None:
        super().__init__(Store(path), knowhow or Knowhow())
        if self.store.head()[0] and self.store.meta("projection") != PROJECTION:
            self.rebuild()

    def close(self) -> None:
        """Let go of the file."""
        self.store.close()

    # telling

    def preview(
        self,
        note: str,
        statements: Sequence[Statement],
        now: datetime,
        made: Mapping[int, Made | None] | None = None,
    ) -> Plan:
        """What a note would do, without keeping it."""
        worked = self._work(note, statements, now, made)
        return Plan(
            worked.drafted.statements,
            worked.drafted.questions,
            [lot(batch, now) for batch in worked.after.batches.values() if batch["listed"]],
            {key: told for key, told in worked.after.kitchen.items() if key != KEY},
        )

    def keep(
        self,
        note: str,
        statements: Sequence[Statement],
        now: datetime,
        predicted: Predicted | None = None,
        made: Mapping[int, Made | None] | None = None,
    ) -> Kept:
        """Keep a note; it is on the disk when this returns.

        Args:
            note: word for word.
            statements: what was read in it; a batch that is set already is honoured.
            now: the clock.
            predicted: by batch and number name: low, likely, high.
            made: mixes of a recipe by the number of their statement; None where none is made.

        Raises:
            ProblemError: it could not be kept; then nothing of it was.
        """
        with self.store.writing():
            worked = self._work(note, statements, now, made)
            lines = self._take_back(worked, note, now) if worked.target is not None else []
            event = self._event("note" if worked.drafted.deeds else "ask", note, now)
            event["statements"] = [item.as_json() for item in worked.drafted.statements]
            event["deeds"] = [dict(deed) for deed in worked.drafted.deeds]
            event["predicted"] = {
                name: {number: [float(part) for part in parts] for number, parts in numbers.items()}
                for name, numbers in (predicted or {}).items()
            }
            if worked.target is None or worked.drafted.deeds:
                event = self._append_note(event, worked)
            else:
                event["seq"] = self.store.head()[0]
        return Kept(
            event["seq"], worked.drafted.statements, worked.drafted.questions,
            (*lines, *worked.drafted.lines, *_told(worked, now)),
        )  # fmt: skip

    def foresee(self, predicted: Predicted, now: datetime) -> None:
        """Keep what was worked out for batches once their note was kept.

        The figures decide when a look at the trays is due, and are what the real ones are held
        against later. Batches that are not there, and figures that are kept already, are left out.

        Args:
            predicted: by batch and number name: low, likely, high.
            now: the clock.
        """
        with self.store.writing():
            world = World(self.store.batches(names=predicted))
            figures = {
                name: {key: [float(part) for part in parts] for key, parts in numbers.items()}
                for name, numbers in predicted.items()
                if name in world.batches
            }
            news = {name: numbers for name, numbers in figures.items()
                    if {**world.batches[name]["predicted"], **numbers}
                    != world.batches[name]["predicted"]}  # fmt: skip
            if not news:
                return
            event = self._event("figures", "", now)
            event["predicted"] = news
            event = self.store.append(event)
            index(self.store, event)
            apply_event(world, event)
            save(self.store, world, news)

    def _work(
        self,
        note: str,
        statements: Sequence[Statement],
        now: datetime,
        made: Mapping[int, Made | None] | None = None,
    ) -> _Worked:
        """Take back what is to be taken back, then plan the rest on what stands."""
        before = self._world()
        start, target, redone = before, None, set[str]()
        seq = self.store.head()[0] + 1
        if statements and is_bare(statements[0]):
            target = self.store.newest_in_force()
            if target is not None:
                start, redone = self._without(before, target)
                seq += 1
        named = [item.batch for item in statements if item.batch]
        missing = [name for name in named if name not in start.batches]
        if missing:
            start.batches.update(self.store.batches(names=missing))
        draft = Draft(note, now, self.know, start, seq, self.store.last_number)
        draft.made = made or {}
        draft.latest = next(iter(self.store.newest(1)), None)
        draft.history = lambda: self._in_force(skip=target)
        draft.fixes = self.store.fixes() if any(s.act == "amend" for s in statements) else {}
        draft.find = lambda name: self.store.batches(names=[name]).get(name)
        if statements and is_bare(statements[0]):
            drafted = plan(draft, statements[1:])
            drafted = Drafted((statements[0], *drafted.statements), drafted.deeds,
                              drafted.questions, drafted.lines)  # fmt: skip
            if target is None:
                drafted = Drafted(drafted.statements, drafted.deeds, drafted.questions,
                                  ("There is nothing to take back.", *drafted.lines))  # fmt: skip
        else:
            drafted = plan(draft, statements)
        after, more = self._after(draft, target)
        return _Worked(target, before, draft, drafted, after, redone | more)

    def _after(self, draft: Draft, target: int | None) -> tuple[World, set[str]]:
        """The journal once the note is kept; what it puts right is played again."""
        corrected = [deed for deed in draft.deeds if deed["do"] == "correct"]
        if not corrected:
            return draft.world, set()
        back = self.store.event(target) if target is not None else None
        fixes = fixes_without(self.store, back) if back else self.store.fixes()
        names = {name for deed in corrected for name in batches_of(deed)}
        for deed in corrected:
            fixes.setdefault((deed["event"], deed["deed"]), {}).update(deed["slots"])
            names |= {deed["slots"]["batch"]} if "batch" in deed["slots"] else set()
        world = draft.start.fork()
        names = replay(self.store, world, names, self.store.undone() | {target or 0}, fixes)
        for deed in draft.deeds:
            apply_deed(world, deed, draft.seq)
        return world, names

    def _append_note(self, event: Event, worked: _Worked) -> Event:
        event = self.store.append(event)
        index(self.store, event)
        world = worked.after
        for name, numbers in event["predicted"].items():
            batch = world.edit(name)
            if batch is not None:
                batch["predicted"].update(numbers)
        save(self.store, world, set(touched_by(event)) | worked.redone | set(event["predicted"]))
        return event

    def _event(self, kind: str, note: str, now: datetime, target: int | None = None) -> Event:
        from stillroom import __version__

        return {
            "seq": 0, "said": now.isoformat(), "kept": local_now().isoformat(), "kind": kind,
            "note": note, "statements": [], "deeds": [], "predicted": {}, "target": target,
            "version": __version__, "prior": "", "hash": "",
        }  # fmt: skip

    # undo and redo

    def undo(self, now: datetime, note: str = "") -> Kept:
        """Take back the newest note that is still in force."""
        return self.keep(note or "undo", [Statement("amend", note or "undo", undo=True)], now)

    def redo(self, now: datetime, note: str = "") -> Kept:
        """Put back in force what was taken back last, if nothing was told since."""
        with self.store.writing():
            target = self._redoable()
            if target is None:
                return Kept(self.store.head()[0], lines=("There is nothing to put back.",))
            world = self._world()  # read before the append: the state belongs to the old end
            event = self.store.append(self._event("redo", note or "redo", now, target))
            index(self.store, event)
            again = self.store.event(target)
            touched = touched_by(again) if again else []
            names = replay(self.store, world, touched, self.store.undone())
            save(self.store, world, names)
        said = again["note"] if again else ""
        return Kept(event["seq"], lines=(f"Put back: “{said}”.",))

    def _redoable(self) -> int | None:
        """What was taken back last, unless something was told after it was taken back."""
        target = self.store.last_undone()
        by = self.store.undone_by(target) if target is not None else None
        for event in self.store.newest(1000):
            if by is None or event["seq"] <= by:
                break
            only_asked = all(item["act"] == "ask" for item in event["statements"])
            if event["kind"] == "note" or (event["kind"] == "ask" and not only_asked):
                return None
        return target

    def _take_back(self, worked: _Worked, note: str, now: datetime) -> list[str]:
        """Write the event that takes the target back, and the batches without it."""
        event = self.store.append(self._event("undo", note, now, worked.target))
        index(self.store, event)
        save(self.store, worked.draft.start, worked.redone)
        old = self.store.event(worked.target or 0)
        return [f"Taken back: “{old['note']}”."] if old else []

    def _without(self, before: World, target: int) -> tuple[World, set[str]]:
        """The journal without one event."""
        event = self.store.event(target)
        world = before.fork()
        undone = self.store.undone() | {target}
        fixes = fixes_without(self.store, event) if event else None
        names = touched_by(event) if event else []
        return world, replay(self.store, world, names, undone, fixes)

    def rebuild(self) -> None:
        """Throw away all that is derived and work it out from the events."""
        rebuild(self.store)
        self._read = None

    # the journal as it stands

    def _world(self) -> World:
        return World(self._open(), self.store.meta("kitchen") or {})

    def _in_force(self, skip: int | None = None, limit: int = 400) -> Iterator[Event]:
        """Notes in force, newest first."""
        undone = self.store.undone() | {skip or 0}
        for event in self.store.newest(limit):
            if event["kind"] == "note" and event["seq"] not in undone:
                yield event


def _told(worked: _Worked, now: datetime) -> list[str]:
    """What the note did, in short sentences."""
    lines: list[str] = []
    names = [name for name in worked.draft.spoken if name in worked.after.changed]
    for name in names:
        new, old = worked.after.batches[name], worked.draft.start.batches.get(name)
        if not new["listed"]:
            continue
        if old is None:
            lines.append(f"Kept as {name}.")
        elif old["stage"] != new["stage"]:
            lines.append(f"{name} is now {new['stage'].replace('-', ' ')}.")
        missed = missed_days(new, now)
        looked = any(d["do"] == "look" and d["batch"] == name for d in worked.draft.deeds)
        if missed and looked:
            days = ", ".join(str(day) for day in missed)
            lines.append(f"{name} was not looked at on day {days}.")
    return lines
