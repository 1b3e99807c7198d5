"""Kept notes under a newer reader: what each would do now, and what can be taken over.

Events are never changed. What is taken over is one new event whose deeds put slots of earlier
deeds right, the same way as "no, six pounds" does, so that "scratch that" takes it back. Only
slots can be put right: a note that would now do other things, or do them to other batches, is
shown and left to the person, because later notes rest on what it did.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from stillroom.base.clock import local_now
from stillroom.base.statement import Statement
from stillroom.journal.amend import is_bare
from stillroom.journal.deeds import apply_event, touched_by
from stillroom.journal.draft import Draft
from stillroom.journal.events import event_from_row
from stillroom.journal.plan import plan
from stillroom.journal.records import Deed, Event, is_open
from stillroom.journal.world import World

if TYPE_CHECKING:
    from stillroom.journal.journal import Journal

Fixes = dict[tuple[int, int], dict[str, Any]]
"""New slots by event and number of the deed in it."""
TOLD = "The kept notes were read again."
"""What stands in place of a note in the event that takes new readings over."""


@dataclass(frozen=True)
class Past:
    """One kept note, and the journal as it was just before.

    Args:
        event: the note; its statements are those of the last reading taken over.
        world: batches and kitchen before it.
        statements: statements of the notes before it, oldest first.
    """

    event: Event
    world: World
    statements: tuple[Statement, ...]

    @property
    def now(self) -> datetime:
        """The moment that it was said."""
        return datetime.fromisoformat(self.event["said"])


@dataclass(frozen=True)
class Change:
    """What a newer reader makes of a kept note.

    Args:
        event: the note, with its reading so far.
        statements: the new reading, each with its batch.
        slots: what is put right: number of the deed to its new slots; None when the note would do
            other things than it did, so that nothing can be taken over.
    """

    event: Event
    statements: tuple[dict[str, Any], ...]
    slots: dict[int, dict[str, Any]] | None


@dataclass
class _Replay:
    """The journal played from its beginning, note by note, as it stood at each.

    Args:
        world: as it was before the present note.
        numbers: the highest number that each stem of batch names had by then.
        before: the notes and questions told by then.
        played: all events by then that can do something.
        undone: those of them that were not in force then.
        fixes: what the person put right in all.
        own: what earlier re-readings put right; it counts from the beginning.
        known: what is put right in earlier deeds, at that time.
    """

    world: World = field(default_factory=World)
    numbers: dict[str, int] = field(default_factory=dict)
    before: list[Event] = field(default_factory=list)
    played: list[Event] = field(default_factory=list)
    undone: set[int] = field(default_factory=set)
    fixes: Fixes = field(default_factory=dict)
    own: Fixes = field(default_factory=dict)
    known: Fixes = field(default_factory=dict)

    def again(self) -> None:
        """Play all of it once more, after something was taken back, put back or put right."""
        in_force = [event for event in self.played if event["seq"] not in self.undone]
        self.known = {where: dict(slots) for where, slots in self.own.items()}
        for event in in_force:
            if _is_note(event):
                _add_fixes(self.known, event)
        self.world = World()
        for event in in_force:
            apply_event(self.world, event, self.known)

    def last_number(self, stem: str) -> int:
        """The highest number that a batch name of this stem had."""
        return self.numbers.get(stem, 0)


def changes(
    journal: Journal, read: Callable[[Past], Iterable[Sequence[Statement]]]
) -> Iterator[Change]:
    """Every note in force that would now be kept otherwise, oldest first.

    Args:
        journal: the open journal.
        read: gives the readings that the present reader makes of a note: the likeliest first, and
            others where it depends on what was said between (such as our own question).
    """
    events = [event_from_row(row) for row in journal.store.rows()]
    undone = journal.store.undone()
    latest = _latest(events, undone)
    replay = _Replay()
    _collect(replay, events, undone)
    replay.again()
    for event in events:
        if event["kind"] in ("note", "ask") and event["seq"] not in undone and _is_note(event):
            kept = latest.get(event["seq"], event["statements"])
            past = Past({**event, "statements": kept}, replay.world.fork(), _said(replay.before))
            change = _change(journal, replay, past, read(past))
            if change is not None:
                yield change
        _play(replay, event)


def take_over(journal: Journal, found: Sequence[Change], now: datetime) -> int:
    """Keep the new readings of all changes that can be taken over.

    Returns:
        How many were taken over; one event holds them all.
    """
    from stillroom import __version__

    fits = [change for change in found if change.slots is not None]
    if not fits:
        return 0
    deeds: list[Deed] = []
    for change in fits:
        seq = change.event["seq"]
        deeds.append({"do": "reread", "event": seq, "statements": list(change.statements)})
        for index, slots in (change.slots or {}).items():
            old = change.event["deeds"][index]
            deed = {"do": "correct", "event": seq, "deed": index, "slots": slots}
            deeds.append({**deed, "batch": old["batch"]} if "batch" in old
                         else {**deed, "kitchen": True})  # fmt: skip
    event: Event = {
        "seq": 0, "said": now.isoformat(), "kept": local_now().isoformat(), "kind": "note",
        "note": TOLD, "statements": [], "deeds": deeds, "predicted": {}, "target": None,
        "version": __version__, "prior": "", "hash": "",
    }  # fmt: skip
    with journal.store.writing():
        journal.store.append(event)
        journal.store.clear_derived()  # refilled below, or on the next opening
    journal.rebuild()
    return len(fits)


def _is_note(event: Event) -> bool:
    return not any(deed["do"] == "reread" for deed in event["deeds"])


def _latest(events: Sequence[Event], undone: set[int]) -> dict[int, list[dict[str, Any]]]:
    """The readings that were taken over and are in force, by event."""
    return {
        deed["event"]: deed["statements"]
        for event in events
        if event["seq"] not in undone
        for deed in event["deeds"]
        if deed["do"] == "reread"
    }


def _collect(replay: _Replay, events: Sequence[Event], undone: set[int]) -> None:
    """What was put right in each deed: by the person, and by earlier re-readings."""
    for event in events:
        if event["seq"] not in undone:
            _add_fixes(replay.fixes if _is_note(event) else replay.own, event)


def _add_fixes(into: Fixes, event: Event) -> bool:
    corrected = [deed for deed in event["deeds"] if deed["do"] == "correct"]
    for deed in corrected:
        into.setdefault((deed["event"], deed["deed"]), {}).update(deed["slots"])
    return bool(corrected)


def _said(before: Sequence[Event]) -> tuple[Statement, ...]:
    newest = [item for event in before[-8:] for item in event["statements"]]
    return tuple(Statement.from_json(item) for item in newest[-8:])


def _play(replay: _Replay, event: Event) -> None:
    for name in touched_by(event):
        stem, _, tail = name.rpartition("-")
        if stem and tail.isdecimal():
            replay.numbers[stem] = max(replay.numbers.get(stem, 0), int(tail))
    if event["kind"] in ("undo", "redo") and event["target"] is not None:
        change = replay.undone.add if event["kind"] == "undo" else replay.undone.discard
        change(event["target"])
        replay.again()
    elif event["kind"] in ("note", "figures"):
        replay.played.append(event)
        if any(deed["do"] == "correct" for deed in event["deeds"]):
            replay.again()
        else:
            apply_event(replay.world, event, replay.known)
    if event["kind"] in ("note", "ask"):
        replay.before.append(event)


def _change(
    journal: Journal, replay: _Replay, past: Past,
    readings: Iterable[Sequence[Statement]],
) -> Change | None:  # fmt: skip
    """The first reading that differs; None when any of them is the one that was kept."""
    kept = [_bare(item) for item in past.event["statements"]]
    first: Change | None = None
    for reading in readings:
        draft = _draft(journal, replay, past)
        skip = 1 if reading and is_bare(reading[0]) and reading[0].undo else 0
        drafted = plan(draft, reading[skip:])
        told = [item.as_json() for item in (*reading[:skip], *drafted.statements)]
        slots = _slots(replay, past.event, drafted.deeds)
        if alike([_bare(item) for item in told], kept) and slots == {}:
            return None
        first = first or Change(past.event, tuple(told), slots)
    return first


def alike(one: Any, other: Any) -> bool:
    """Whether two plain values are the same, figures to a millionth: kept ones are rounded.

    >>> alike({"si": [97001.1764, None]}, {"si": [97001.18, None]})
    True
    >>> alike({"si": 1.0}, {})
    False
    """
    if isinstance(one, float | int) and isinstance(other, float | int):
        return abs(one - other) <= 1e-6 * max(abs(one), abs(other))
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(alike(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(alike, one, other))
    return bool(one == other)


def _bare(item: Mapping[str, Any]) -> dict[str, Any]:
    """A statement without what the journal adds."""
    return {key: value for key, value in item.items() if key != "batch"}


def _draft(journal: Journal, replay: _Replay, past: Past) -> Draft:
    # by name, as the store gives them: which batch is meant may rest on their order
    open_ = {name: batch for name, batch in sorted(past.world.batches.items()) if is_open(batch)}
    start = World(open_, dict(past.world.kitchen))
    draft = Draft(past.event["note"], past.now, journal.know, start, past.event["seq"],
                  replay.last_number)  # fmt: skip
    draft.fixes = replay.known
    draft.history = lambda: (
        event for event in reversed(replay.before)
        if event["kind"] == "note" and event["seq"] not in replay.undone
    )  # fmt: skip
    draft.find = past.world.batches.get
    return draft


def _slots(
    replay: _Replay, event: Event, deeds: Sequence[Deed]
) -> dict[int, dict[str, Any]] | None:
    """What to put right in each deed; None when the deeds are others than those kept."""
    if [_shape(deed) for deed in deeds] != [_shape(deed) for deed in event["deeds"]]:
        return None
    found: dict[int, dict[str, Any]] = {}
    for index, (new, old) in enumerate(zip(deeds, event["deeds"], strict=True)):
        where = (event["seq"], index)
        old = {**old, **replay.own.get(where, {})}
        told = replay.fixes.get(where, {})
        keys = [key for key in {**old, **new}
                if key not in told and not alike(new.get(key), old.get(key))]  # fmt: skip
        if keys:
            found[index] = {key: new.get(key) for key in keys}
    return found


def _shape(deed: Deed) -> tuple[Any, ...]:
    """What a deed is and whom it touches: two deeds of one shape differ in slots alone."""
    parts = [(part.get("batch"), part.get("form")) for part in deed.get("parts", ())
             if isinstance(part, Mapping)]  # fmt: skip
    sources = [source.get("batch") for source in deed.get("from", ())]
    return (deed["do"], deed.get("batch"), deed.get("event"), deed.get("deed"), parts, sources)
