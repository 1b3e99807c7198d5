"""What is asked for that is no question of a food: a curve, papers, a meaning, a conversion."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from stillroom.talk.answer import Answer, Reply
from stillroom.talk.convert import conversion
from stillroom.talk.curve_asked import curve_asked, curve_reply
from stillroom.talk.glossary import meaning_asked
from stillroom.talk.paper_asked import paper_asked, paper_reply

if TYPE_CHECKING:
    from stillroom.talk.session import Session


def requested(session: Session, answer: Answer, now: datetime) -> tuple[list[Reply], list[str]]:
    """The replies to such requests, and the parts of the note that they answer."""
    note = answer.reading.note
    replies, parts = [], []
    if asked := curve_asked(note):
        replies.append(curve_reply(session, answer, asked))
        parts.append(asked)
    kind, asked = paper_asked(note)
    if kind:
        replies.append(paper_reply(session, answer, kind, now))
        parts.append(asked)
    asked, meaning = meaning_asked(note)
    if meaning is not None:
        replies.append(meaning)
        parts.append(asked)
    # A note that only asks to convert was read as no statement at all (see Session.reply).
    if not answer.reading.statements and (converted := conversion(note, answer.measure)):
        replies.append(converted)
        parts.append(note)
    return replies, parts
