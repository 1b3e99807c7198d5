"""Read kept notes again with the present reader: show what would change, keep it on request."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from stillroom.base.statement import Context, Statement
from stillroom.journal.records import is_open
from stillroom.journal.replan import Change, Past, alike, changes, take_over

if TYPE_CHECKING:
    from stillroom.talk.session import Session

_SHORT = 6
"""A note of at most so many words may be an answer to a question of ours."""
_ASKED = ("thickness_mm", "amount", "cut", "temperature_c", "trays", "food", "batch")
_OWN = frozenset({"text", "batch"})


def reread(
    session: Session, *, keep: bool = False, progress: Callable[[int], None] | None = None
) -> list[str]:
    """Read every kept note again.

    Args:
        session: the conversation, with its journal.
        keep: take the new readings over, in one event that "scratch that" takes back.
        progress: told how many notes were read again so far.

    Returns:
        A line for each note that reads otherwise, and one on what was kept; empty when nothing
        changes.

    Raises:
        ProblemError: the journal cannot be read or written.
    """
    count = 0

    def again(past: Past) -> Iterator[tuple[Statement, ...]]:
        nonlocal count
        count += 1
        if progress:
            progress(count)
        return _readings(session, past)

    found = list(changes(session.journal, again))
    lines = [_line(change) for change in found]
    if not found or not keep:
        return lines
    taken = take_over(session.journal, found, session.clock())
    left = len(found) - taken
    lines.append(f"{taken} of these readings are kept now; “scratch that” takes them back.")
    if left:
        lines.append(f"{left} would do other things than they did: say those notes anew.")
    return lines


def _readings(session: Session, past: Past) -> Iterator[tuple[Statement, ...]]:
    """What the reader makes of a note now, under each thing that may have been known then."""
    from stillroom.reader.read import read

    note = past.event["note"]
    found: list[tuple[Statement, ...]] = []
    for context in _contexts(session, past):
        statements = read(note, context).statements
        if statements not in found:
            found.append(statements)
            yield statements


def _contexts(session: Session, past: Past) -> Iterator[Context]:
    kitchen = past.world.kitchen
    batches = tuple(
        (name, batch["food"], batch["stage"])
        for name, batch in sorted(past.world.batches.items())
        if is_open(batch)
    )
    measures = dict.fromkeys(
        [session.measure or str(kitchen.get("measure") or "us"), "us", "metric"]
    )
    short = len(past.event["note"].split()) <= _SHORT
    for measure in measures:
        for said in (past.statements[-6:], past.statements):
            foods = dict.fromkeys(item.food for item in reversed(said) if item.food)
            base = Context(past.now, measure, tuple(foods), tuple(said), batches=batches)
            yield base
            for asked in _ASKED if short else ():
                yield Context(past.now, measure, tuple(foods), tuple(said), asked, None, batches)


def _line(change: Change) -> str:
    note = change.event["note"]
    shown = note if len(note) <= 60 else note[:57].rstrip() + "…"
    what = "; ".join(_differences(change.event["statements"], change.statements))
    end = "" if change.slots is not None else " It would do other things; say it anew to keep that."
    return f"{change.event['said'][:10]} “{shown}”: {what or 'it would do something else'}.{end}"


def _differences(old: Sequence[dict[str, Any]], new: Sequence[dict[str, Any]]) -> Iterable[str]:
    if len(old) != len(new):
        yield f"was {_acts(old)}, is now {_acts(new)}"
        return
    for was, now in zip(old, new, strict=True):
        for key in sorted({*was, *now} - _OWN):
            if not alike(was.get(key), now.get(key)):
                yield f"{key.replace('_', ' ')} was {_plain(was.get(key))}, " \
                      f"is now {_plain(now.get(key))}"  # fmt: skip


def _acts(statements: Sequence[dict[str, Any]]) -> str:
    told = [" ".join([str(item["act"]), *([item["food"]] if item.get("food") else [])])
            for item in statements]  # fmt: skip
    return " + ".join(told) or "nothing"


def _plain(value: Any) -> str:
    if value is None:
        return "not said"
    if isinstance(value, dict):
        figure = value.get("value", f"{value.get('low')} to {value.get('high')}")
        return f"{figure} {value.get('unit', '')}".strip()
    if isinstance(value, list):
        return ", ".join(str(item) for item in value) or "none"
    return str(value)
