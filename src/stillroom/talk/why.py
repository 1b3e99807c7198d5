"""Why: from the words of the note through facts and rules to the published source."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from stillroom.base.fact import Caution, Ruling
from stillroom.base.quantity import to_fahrenheit
from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.lines import best_first

if TYPE_CHECKING:
    from stillroom.talk.session import Session

MOST_SOURCES = 3
TROUBLE = "trouble."
"""Rules that say why something went wrong; they answer a why-question by themselves."""

_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def why_reply(session: Session, answer: Answer, item: Statement) -> Reply:
    """The reasons for what was last answered; for one figure where the question names it."""
    about = item.about or "why"
    trouble = [r for r in answer.advice.rulings if r.rule.startswith(TROUBLE)]
    if trouble and about == "why":
        first = trouble[0]
        more = (first.why, *(r.text for r in trouble[1:3]))
        return Reply(first.text, about, item.batch, more, first.sources)
    own = [r for r in answer.advice.rulings if item.food and r.batch == item.batch]
    earlier = session.memory.answer
    if item.food and own and about == "why":
        return Reply(own[0].text, about, item.batch, tuple(r.text for r in own[1:4]),
                     own[0].sources)  # fmt: skip
    if earlier is None:
        return Reply("There is no answer of mine yet to give reasons for.", about)
    subject = _meant(earlier, item.asked or item.text)
    if subject is None:
        return Reply("My last answer rested on no rule; ask me about a food.", about)
    if about == "source":
        return _sources(session, subject)
    return _reasons(session, earlier, subject)


def _meant(answer: Answer, words: str) -> Ruling | Caution | None:
    """The ruling or caution that the words point at: a figure, a topic, else the gravest."""
    figures = [float(text) for text in _NUMBER.findall(words)]
    for ruling in answer.advice.rulings:
        if isinstance(ruling.value, int | float) and _matches(float(ruling.value), figures):
            return ruling
    lowered = words.lower()
    for ruling in answer.advice.rulings:
        if ruling.topic in lowered or str(ruling.value or "\0").lower() in lowered:
            return ruling
    if answer.advice.cautions:
        return answer.advice.cautions[0]
    temperature = [r for r in answer.advice.rulings if r.topic == "temperature"]
    rulings = temperature or list(answer.advice.rulings)
    return rulings[0] if rulings else None


def _matches(value: float, figures: list[float]) -> bool:
    return any(abs(value - f) < 1 or abs(to_fahrenheit(value) - f) < 1.5 for f in figures)


def _source_lines(session: Session, sources: tuple[str, ...]) -> tuple[str, ...]:
    ordered = best_first(sources, session.titles)
    return tuple(session.titles.get(source, source) for source in ordered)


def _sources(session: Session, subject: Ruling | Caution) -> Reply:
    lines = _source_lines(session, subject.sources)
    head = f"“{subject.text}” rests on: {lines[0]}" if lines else "No source is named for that."
    return Reply(head, "source", subject.batch, lines[1:], subject.sources)


def _reasons(session: Session, answer: Answer, subject: Ruling | Caution) -> Reply:
    from stillroom.advice.explain import Wording
    from stillroom.talk.chain import Chain

    wording = Wording(session.book.fields, answer.measure, session.names)
    steps = Chain(answer.advice, session.book, wording).lines(subject.rule, subject.batch)
    rule = session.book.by_id.get(subject.rule)
    sources = dict.fromkeys((*(rule.sources if rule else ()), *subject.sources))
    titles = _source_lines(session, tuple(sources))[:MOST_SOURCES]
    head = f"{subject.text} {subject.why}" if subject.why else subject.text
    detail = (*steps, *(f"Source: {line}" for line in titles), f"Rule: {subject.rule}")
    return Reply(head, "why", subject.batch, detail, subject.sources)
