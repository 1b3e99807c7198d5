"""The way into reading: a note in, statements and what was not understood out."""

from __future__ import annotations

from stillroom.base.statement import Context, Reading
from stillroom.reader.build import Builder
from stillroom.reader.chat import small_talk
from stillroom.reader.clauses import ClauseCutter
from stillroom.reader.mentions import find_mentions
from stillroom.reader.pieces import MAX_TOKENS, cut_pieces
from stillroom.reader.split import split_notes
from stillroom.reader.tagging import Tagger

__all__ = ["read", "split_notes"]


def read(note: str, context: Context) -> Reading:
    """Reads one note.

    Args:
        note: what was typed or dictated.
        context: what the conversation knows already.

    Returns:
        The statements in the order of the note, each with the stretch it came from.
    """
    pieces = cut_pieces(note)
    if not pieces:
        return Reading(note)
    tagger = Tagger(pieces, context.measure)
    clauses = ClauseCutter(tagger.run(), tagger.lows).run()
    statements = Builder(note, tagger.lows, context).run(clauses)
    unread = (note[pieces[-1].end :].strip()[:200],) if len(pieces) >= MAX_TOKENS else ()
    return Reading(
        note, tuple(statements), mentions=find_mentions(note), unread=tuple(filter(None, unread)),
        chat="" if statements else small_talk(tagger.lows),
    )  # fmt: skip
