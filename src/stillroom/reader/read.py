"""The way into reading: a note in, statements and what was not understood out."""

from __future__ import annotations

from stillroom.base.statement import Context, Reading, Statement
from stillroom.reader.batch_names import join_batch_names
from stillroom.reader.build import Builder
from stillroom.reader.chat import small_talk
from stillroom.reader.clauses import ClauseCutter
from stillroom.reader.ear import Guess
from stillroom.reader.follow import short_answer
from stillroom.reader.hearing import Hearing
from stillroom.reader.mending import mend_foods
from stillroom.reader.mentions import find_mentions
from stillroom.reader.pieces import MAX_TOKENS, cut_pieces
from stillroom.reader.slips import mend_values
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
    heard = Hearing(join_batch_names(pieces, note)).run()
    tagger = Tagger(heard.pieces, context.measure)
    items = mend_foods(mend_values(tagger.run(), tagger.lows), tagger.lows, tagger.words)
    answer = short_answer(note, items, context)
    builder = Builder(note, tagger.lows, context)
    statements = [answer] if answer else builder.run(ClauseCutter(items, tagger.lows, note).run())
    statements = [_told(statement, heard.guesses) for statement in statements]
    rest = note[pieces[-1].end :].strip()[:200] if len(pieces) >= MAX_TOKENS else ""
    unread = (*builder.unread, rest)
    return Reading(
        note, tuple(statements), mentions=find_mentions(note), unread=tuple(filter(None, unread)),
        doubts=(*heard.doubts, *builder.doubts),
        chat="" if statements or heard.doubts or builder.doubts else small_talk(tagger.lows),
    )  # fmt: skip


def _told(statement: Statement, guesses: tuple[Guess, ...]) -> Statement:
    """The statement with the guesses that lie in its stretch of the note."""
    pairs = tuple(
        (guess.heard, guess.taken) for guess in guesses
        if guess.start < statement.end and guess.end > statement.start
    )  # fmt: skip
    return statement.having(guesses=tuple(dict.fromkeys(pairs))) if pairs else statement
