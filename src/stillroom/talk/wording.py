"""An answer in words: lines with a role each, the most useful first; no terminal here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from stillroom.base.fact import Caution
from stillroom.talk.answer import Answer
from stillroom.talk.batches import batch_lines, lead_lines
from stillroom.talk.echo import echo_lines
from stillroom.talk.lines import Footnotes, Line, Said
from stillroom.talk.plausible import odd_lines

SHORT_ECHO = 6
MOST_SOURCES = 2
MORE_SOURCES = 3
UNREAD_SHOWN = 6
UNREAD_CHARS = 60
HEARD_CHARS = 74
NOTHING_READ = (
    "I found nothing in that to go by: I help with drying, powders, mixes and fridge pickles. "
    "Say what you have, such as “2 kg plums, halved, pitted”."
)
_NAMES_SOURCES = frozenset({"why", "source"})  # replies that name their sources themselves


def answer_lines(
    answer: Answer, titles: Mapping[str, str], *, more: bool = False, sources: bool = False
) -> list[Line]:
    """Every line of an answer, the gravest and most useful first.

    Args:
        answer: the answer.
        titles: source id to its title.
        more: every ruling and figure instead of the short form, and the titles of the sources.
        sources: every topic, and the sources listed in full at the end; without it and ``more``
            the short form of the conversation is given.
    """
    short = not (more or sources)
    notes = Footnotes(
        titles, MORE_SOURCES if more and sources else MOST_SOURCES, listed=not short,
        brief=not sources,
    )  # fmt: skip
    said = Said()
    lines = _cautions(answer, ("stop",), notes, said)
    replies = _replies(answer, notes, said)
    if answer.lost:
        replies = [Line("reply", NOTHING_READ)]
    lines += replies or lead_lines(answer, notes, said)
    lines += _echo(answer, more)
    lines += [Line("odd", text) for text in odd_lines(answer)]
    lines += [
        Line("odd", f"This answer is cut short. {p}") for p in answer.advice.problems if not p.file
    ]
    lines += _cautions(answer, ("caution",), notes, said)
    parts, left_out = batch_lines(answer, notes, said, more=more, short=short)
    lines += parts
    lines += _cautions(answer, ("note",), notes, said)
    if answer.question:
        lines.append(Line("question", answer.question))
    if left_out:
        lines.append(Line("hint", "Say “tell me more” for the rest, “why?” for the reasons."))
    return lines + notes.lines()


def heard_lines(note: str) -> list[Line]:
    """The note that an answer is to, where one paste held several."""
    return [Line("heard", _cut(note, HEARD_CHARS))]


def _cautions(
    answer: Answer, severities: tuple[str, ...], notes: Footnotes, said: Said
) -> list[Line]:
    return [
        _caution_line(caution, notes)
        for caution in answer.advice.cautions
        if caution.severity in severities and said.new(caution.text)
    ]


def _caution_line(caution: Caution, notes: Footnotes) -> Line:
    return Line(caution.severity, caution.text, marks=notes.marks(caution.sources))


def _replies(answer: Answer, notes: Footnotes, said: Said) -> list[Line]:
    """Each direct answer with what it rests on; its head goes before another's detail."""
    lines = []
    for reply in [reply for reply in answer.replies if said.new(reply.text)]:
        named = () if reply.about in _NAMES_SOURCES else reply.sources
        lines.append(Line("reply", reply.text, marks=notes.marks(named)))
        lines += [Line("detail", text) for text in reply.detail if said.new(text)]
        if reply.curve is not None:
            lines.append(Line("plot", reply.text, curve=reply.curve))
    return lines


def _echo(answer: Answer, more: bool) -> Iterable[Line]:
    told = [
        item for item in answer.reading.statements
        if item.act != "ask" and not (item.act == "amend" and item.undo and answer.kept)
    ]  # fmt: skip
    found = echo_lines(told, answer.names, answer.measure)
    guesses = dict.fromkeys(pair for item in answer.reading.statements for pair in item.guesses)
    kept = list(answer.kept)
    if len(found) == 1 and kept:
        found = [". ".join([found[0], *(line.rstrip(".") for line in kept)]) + "."]
        kept = []
    shown = found if more or len(found) <= SHORT_ECHO else found[: SHORT_ECHO - 1]
    yield from (Line("echo", text) for text in shown)
    if len(shown) < len(found):
        yield Line("echo", f"and {len(found) - len(shown)} more; say “tell me more” to see all.")
    if kept:
        yield Line("kept", " ".join(kept))
    yield from (Line("guess", f"I took “{heard}” as {taken}.") for heard, taken in guesses)
    yield from _unread(answer)


def _unread(answer: Answer) -> Iterable[Line]:
    unread = answer.unread
    if unread:
        quoted = ", ".join(f"“{_cut(words)}”" for words in unread[:UNREAD_SHOWN])
        rest = " …" if len(unread) > UNREAD_SHOWN else ""
        yield Line("unread", f"Not understood: {quoted}{rest}")


def _cut(words: str, most: int = UNREAD_CHARS) -> str:
    flat = " ".join("".join(c if c.isprintable() else " " for c in words).split())
    return flat if len(flat) <= most else f"{flat[: most - 1]}…"
