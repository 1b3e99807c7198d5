"""Why: from the words of the note through facts and rules to the published source."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING

from stillroom.base.fact import Caution, Ruling
from stillroom.base.quantity import to_fahrenheit
from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.lines import best_first
from stillroom.talk.recall import recalled

if TYPE_CHECKING:
    from stillroom.advice.rule import Rule
    from stillroom.talk.session import Session

MOST_SOURCES = 3
NO_REASON = (
    "I have no reason to give for that, and no answer before it. Ask about a food or a step, "
    "such as “why blanch courgettes?”."
)
NEAR = 55.0
"""Likeness [0..100] below which a rule's words are not what a question is after (by trial)."""
TROUBLE = "trouble."
"""Rules that say why something went wrong; they answer a why-question by themselves."""

_PRONOUN = re.compile(r"\b(?:it|its|them|they|their|these|those|this|that)\b", re.I)
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def why_reply(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """The reasons for what was last answered; for one figure where the question names it."""
    about = item.about or "why"
    trouble = [r for r in answer.advice.rulings if r.rule.startswith(TROUBLE)]
    if trouble and about == "why":
        first = trouble[0]
        more = (first.why, *(r.text for r in trouble[1:3]))
        return Reply(first.text, about, item.batch, more, first.sources)
    own = [r for r in answer.advice.rulings if item.food and r.batch == item.batch]
    earlier = session.memory.answer or recalled(session, now)
    reason = _on_topic(answer, item)
    general = None
    if about == "why" and not _names_figure(earlier, item):
        general = _in_general(session, item)
        if reason and not (general and general[0] > _nearness(item, reason.text + reason.why) + 5):
            return Reply(reason.why, about, item.batch, (reason.text,), reason.sources)
    if general:
        return Reply(general[1].why, about, sources=general[1].sources)
    if item.food and own and about == "why":
        return Reply(own[0].text, about, item.batch, tuple(r.text for r in own[1:4]),
                     own[0].sources)  # fmt: skip
    if earlier is None:
        return Reply(NO_REASON, about)
    subject = _meant(earlier, item.asked or item.text)
    if subject is None:
        return Reply("My last answer rested on no rule; ask me about a food.", about)
    if about == "source":
        return _sources(session, subject)
    return _reasons(session, earlier, subject)


def _on_topic(answer: Answer, item: Statement) -> Ruling | None:
    """The ruling whose reason the question is after: on its topic, nearest to its words."""
    batches = {fact.get("batch") for fact in answer.advice.facts
               if fact.kind == "lot" and fact.get("food") == item.food}  # fmt: skip
    fits = [
        ruling
        for ruling in answer.advice.rulings
        if ruling.topic == item.topic and ruling.why
        and (ruling.batch in (item.batch, None) or (item.food and ruling.batch in batches))
    ]  # fmt: skip
    return max(fits, key=lambda r: _nearness(item, f"{r.text} {r.why}"), default=None)


def _nearness(item: Statement, text: str) -> float:
    from rapidfuzz.fuzz import token_set_ratio
    from rapidfuzz.utils import default_process

    asked = _PRONOUN.sub(" ", item.asked or item.text)
    return token_set_ratio(asked, text, processor=default_process)


def _in_general(session: Session, item: Statement) -> tuple[float, Rule] | None:
    """The reason that a rule on the matter gives, whatever the food; None when none is near."""
    found = [
        (_nearness(item, f"{rule.say} {rule.why}"), len(rule.why), rule)
        for rule in session.book.rules
        if rule.why and "{" not in rule.why and rule.advise is not None
        and item.topic == rule.advise.topic
        and not rule.id.startswith(TROUBLE)
    ]  # fmt: skip
    # Of rules equally near the longest reason tells the most.
    near, _, rule = max(found, key=lambda one: one[:2], default=(0.0, 0, None))
    return None if rule is None or near < NEAR else (near, rule)


def _names_figure(earlier: Answer | None, item: Statement) -> bool:
    """Whether the question names a figure of the last answer ("why 52?")."""
    figures = [float(text) for text in _NUMBER.findall(item.asked or item.text)]
    return earlier is not None and any(
        isinstance(ruling.value, int | float) and _matches(float(ruling.value), figures)
        for ruling in earlier.advice.rulings
    )


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
