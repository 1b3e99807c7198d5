"""Put one answer together: facts, rules, figures, direct replies, and the question to ask back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from stillroom.base.fact import SEVERITIES, Advice, Caution, Number, Ruling
from stillroom.base.statement import Reading, Statement
from stillroom.talk.answer import Answer
from stillroom.talk.direct import direct_replies
from stillroom.talk.question import question_back
from stillroom.talk.season import season_of
from stillroom.talk.stops import merged_cautions, under_stop, without_drying

if TYPE_CHECKING:
    from stillroom.enrich.kitchen_types import Hint
    from stillroom.science.mixes import Line
    from stillroom.talk.session import Session


@dataclass(frozen=True)
class Told:
    """What the journal made of a note.

    Args:
        kept: lines on what it did.
        asked_back: its own questions (two batches fit).
        shelf: the dried stock before the note, where the note names a mix.
        earlier: statements told shortly before the note.
    """

    kept: tuple[str, ...] = ()
    asked_back: Sequence[str] = ()
    shelf: Sequence[Line] | None = None
    earlier: tuple[Statement, ...] = ()


def compose(
    session: Session,
    reading: Reading,
    lots: Sequence[Mapping[str, Any]],
    *,
    now: datetime,
    told: Told,
) -> Answer:
    """The answer to a note that has been read and given its batches.

    Args:
        session: the conversation.
        reading: the note, statements with their batches.
        lots: the journal's view of open batches, this note included.
        now: the present moment.
        told: what the journal made of the note.
    """
    from stillroom.advice.advise import advise
    from stillroom.enrich.enrich import enrich

    kitchen = session.journal.kitchen()
    measure = _measure(session, reading, kitchen)
    season = season_of(session, reading, now)
    season = season if told.shelf is None else replace(season, shelf=told.shelf)
    season = replace(season, today=now.date(), earlier=told.earlier)
    room = {**kitchen, "measure": measure}
    enriched = enrich(reading, lots, room, session.tables, season)
    advice = advise(enriched.facts, session.book, measure=measure, names=session.names)
    advice = _with_hints(advice, enriched.hints)
    advice = replace(advice, problems=(*session.pack_faults, *advice.problems))
    advice, numbers = under_stop(advice, _for_the_note(enriched.numbers, reading), reading)
    advice, numbers = without_drying(advice, numbers, reading)
    advice = replace(advice, cautions=merged_cautions(advice.cautions))
    answer = Answer(
        reading=reading, advice=advice, numbers=numbers, kept=told.kept, measure=measure,
        names=session.names,
    )  # fmt: skip
    replies = direct_replies(session, answer, now)
    text, wants, batch = question_back(answer, told.asked_back)
    return Answer(
        reading=reading, advice=advice, numbers=numbers, replies=tuple(replies), kept=told.kept,
        question=text, wants=wants, wants_batch=batch, measure=measure, names=session.names,
        guesses=enriched.guesses,
    )  # fmt: skip


def _with_hints(advice: Advice, hints: Sequence[Hint]) -> Advice:
    """The kitchen sums' own advice beside that of the rules."""
    rulings = tuple(
        Ruling(
            hint.topic,
            hint.text,
            f"sums.{hint.name}",
            hint.batch,
            sources=hint.sources,
            priority=hint.priority,
        )
        for hint in hints
        if not hint.severity
    )
    cautions = tuple(
        Caution(hint.severity, hint.name, hint.text, f"sums.{hint.name}", batch=hint.batch,
                sources=hint.sources)
        for hint in hints
        if hint.severity
    )  # fmt: skip
    order = {severity: index for index, severity in enumerate(SEVERITIES)}
    everything = sorted((*advice.cautions, *cautions), key=lambda c: order[c.severity])
    return replace(advice, rulings=(*advice.rulings, *rulings), cautions=tuple(everything))


def _measure(session: Session, reading: Reading, kitchen: Mapping[str, Any]) -> str:
    from stillroom.talk.session import speaker_measure

    said = next((item.measure for item in reading.statements if item.measure), None)
    return (
        session.measure
        or said
        or str(kitchen.get("measure") or "")
        or speaker_measure(reading.statements, reading.note)
        or _earlier(session)
        or "us"
    )


def _earlier(session: Session) -> str:
    answer = session.memory.answer
    return answer.measure if answer is not None else ""


def _for_the_note(numbers: Sequence[Number], reading: Reading) -> tuple[Number, ...]:
    """The figures of the batches that the note speaks of."""
    batches = {item.batch for item in reading.statements if item.batch}
    return tuple(n for n in numbers if n.batch is None or not batches or n.batch in batches)
