"""The last answer, worked out anew from the journal: so "why?" works in a program just started.

Nothing is kept for it. The newest note that had something to answer stands in the journal with
its statements and batches; the rules are asked about it once more.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from stillroom.base.statement import Reading, Statement
from stillroom.talk.answer import Answer

if TYPE_CHECKING:
    from stillroom.talk.session import Session

_BACK = 12
"""How many of the newest notes are looked at."""
_FOR_REASONS = frozenset({"why", "source"})
_NO_REASONS = _FOR_REASONS | {"due", "stock", "use-first", "history", "plan"}
"""Questions whose answers rest on no rule, and the question for reasons itself."""


def recalled(session: Session, now: datetime) -> Answer | None:
    """The last answer that had a ruling or a caution; None when there is none."""
    from stillroom.talk.compose import Told, compose

    for reading in _newest(session):
        answer = compose(session, reading, session.journal.lots(now), now=now, told=Told())
        if answer.advice.rulings or answer.advice.cautions:
            return answer
    return None


def _newest(session: Session) -> Iterator[Reading]:
    """The newest notes in force, each as it was read, without its questions for reasons."""
    from stillroom.reader.mentions import find_mentions

    store = session.journal.store
    undone = store.undone()
    for event in store.newest(_BACK):
        if event["kind"] not in ("note", "ask") or event["seq"] in undone:
            continue
        told = [Statement.from_json(item) for item in event["statements"]]
        kept = tuple(item for item in told if item.about not in _NO_REASONS)
        if kept or not told or any(item.about not in _FOR_REASONS for item in told):
            yield Reading(event["note"], kept, find_mentions(event["note"]))
