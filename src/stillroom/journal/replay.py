"""Working batches out from events: for those that one touches, or for all of them anew."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from stillroom.journal.deeds import apply_event, batches_of, touched_by
from stillroom.journal.events import event_from_row
from stillroom.journal.learn import FIGURES, ratio_of
from stillroom.journal.records import KITCHEN, Batch, Event, is_open
from stillroom.journal.schema import PROJECTION
from stillroom.journal.store import Store
from stillroom.journal.world import World

TOLD = ("note", "figures")
"""Kinds of events that say something of batches; only a note can be taken back."""


def index(store: Store, event: Event) -> None:
    """What is derived from an event whether or not it is in force."""
    if event["kind"] == "undo" and event["target"] is not None:
        store.set_undone(event["target"], event["seq"])
    elif event["kind"] == "redo" and event["target"] is not None:
        store.set_undone(event["target"], None)
    names = {*touched_by(event), *event["predicted"]}
    store.put_touches(event["seq"], sorted(names))
    fixes: dict[tuple[int, int], dict[str, Any]] = {}
    for deed in event["deeds"]:
        first, *others = batches_of(deed) or [""]
        for other in others:
            store.put_link(first, other)
        if deed["do"] == "correct":
            fixes.setdefault((deed["event"], deed["deed"]), {}).update(deed["slots"])
            if "batch" in deed["slots"]:
                store.put_touches(deed["event"], [deed["slots"]["batch"]])
                store.put_link(deed["batch"], deed["slots"]["batch"])
    # One note may put several slots of one deed right: they are kept together.
    for (seq, place), slots in fixes.items():
        store.put_fix(seq, place, event["seq"], slots)


def save(store: Store, world: World, names: Iterable[str]) -> None:
    """Write the derived batches of these names, and drop those that are no more."""
    names = set(names)
    if KITCHEN in names:
        store.put_meta("kitchen", world.kitchen)
    names.discard(KITCHEN)
    there = {name: world.batches[name] for name in names if name in world.batches}
    store.put_batches({name: (is_open(batch), batch) for name, batch in there.items()})
    store.drop_batches(names - set(there))
    store.put_sums(
        names,
        [row for batch in there.values() for row in _ratio_rows(batch)],
        [row for batch in there.values() for row in _use_rows(batch)],
    )
    store.put_meta("projection", PROJECTION)


def _ratio_rows(batch: Batch) -> Iterator[tuple[Any, ...]]:
    """What a batch says about the first guesses."""
    for figure in FIGURES if batch["food"] else ():
        ratio = ratio_of(batch, figure)
        if ratio is not None:
            yield batch["name"], figure, batch["food"], batch["begun"], ratio


def _use_rows(batch: Batch) -> Iterator[tuple[Any, ...]]:
    """What was used of a dried batch, use by use."""
    for number, use in enumerate(batch["uses"] if batch["dried"] and batch["food"] else ()):
        if use["grams"] and not use["discarded"]:
            yield batch["name"], number, batch["food"], use["at"], float(use["grams"])


def fixes_without(store: Store, event: Event) -> dict[tuple[int, int], dict[str, Any]]:
    """The corrections in force but for those that an event made."""
    if not any(deed["do"] == "correct" for deed in event["deeds"]):
        return store.fixes()
    found: dict[tuple[int, int], dict[str, Any]] = {}
    undone = store.undone() | {event["seq"]}
    for row in store.rows():
        other = event_from_row(row)
        if other["seq"] in undone:
            continue
        for deed in other["deeds"]:
            if deed["do"] == "correct":
                found.setdefault((deed["event"], deed["deed"]), {}).update(deed["slots"])
    return found


def replay(
    store: Store,
    world: World,
    names: Iterable[str],
    undone: set[int],
    fixes: Mapping[tuple[int, int], Mapping[str, Any]] | None = None,
) -> set[str]:
    """Work batches out anew from their events, and all that mass went to or came from.

    Returns:
        The names that were worked out.
    """
    near = store.linked(names)
    fixed = store.fixes() if fixes is None else fixes
    for name in near:
        world.batches.pop(name, None)
    if KITCHEN in near:
        world.kitchen = {}
    for event in store.touching(near):
        if event["kind"] in TOLD and event["seq"] not in undone:
            apply_event(world, _only(event, near), _shifted(event, near, fixed))
    return near


def rebuild(store: Store) -> None:
    """Throw away all that is derived and work it out from the events."""
    with store.writing():
        store.clear_derived()
        events = [event_from_row(row) for row in store.rows()]
        for event in events:
            index(store, event)
        undone, fixes, world = store.undone(), store.fixes(), World()
        names: set[str] = set()
        for event in events:
            if event["kind"] in TOLD:
                names |= {*touched_by(event)} & {KITCHEN}
                if event["seq"] not in undone:
                    apply_event(world, event, fixes)
        save(store, world, names | set(world.batches))


def _only(event: Event, names: set[str]) -> Event:
    """An event with the deeds on these batches alone."""
    deeds = [deed for deed in event["deeds"] if names & set(batches_of(deed))]
    predicted = {name: value for name, value in event["predicted"].items() if name in names}
    return {**event, "deeds": deeds, "predicted": predicted}


def _shifted(
    event: Event, names: set[str], fixes: Mapping[tuple[int, int], Mapping[str, Any]]
) -> dict[tuple[int, int], Mapping[str, Any]]:
    """The corrections of an event, numbered as the deeds that are left of it."""
    kept = [index for index, deed in enumerate(event["deeds"]) if names & set(batches_of(deed))]
    seq = event["seq"]
    return {(seq, at): fixes[seq, index] for at, index in enumerate(kept) if (seq, index) in fixes}
