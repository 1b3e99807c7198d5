"""The door: facts in, advice out."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import replace

from stillroom.advice.book import RuleBook
from stillroom.advice.chain import Outcome, chain
from stillroom.advice.engine import DurableEngine, EngineError, available
from stillroom.advice.explain import Wording, batch_of, resolve, sources_of, words_of
from stillroom.advice.rule import Rule
from stillroom.base.fact import (
    SEVERITIES,
    TOPICS,
    Advice,
    Caution,
    Fact,
    Firing,
    Ruling,
)
from stillroom.base.problem import Problem

_GRAVITY = {severity: index for index, severity in enumerate(SEVERITIES)}
_TOPIC = {topic: index for index, topic in enumerate(TOPICS)}


def advise(
    facts: Iterable[Fact],
    book: RuleBook,
    *,
    measure: str = "us",
    names: Mapping[str, str] | None = None,
    engine: str | None = None,
) -> Advice:
    """What the rules make of the facts.

    Args:
        facts: what the note and the journal say, and what the tables know.
        book: the rules in force.
        measure: ``us`` or ``metric``: which figure comes first.
        names: how a food is called, by its canonical name.
        engine: ``plain`` or ``durable``; None for $STILLROOM_ENGINE, or durable where it is there.

    Returns:
        Rulings by topic, cautions gravest first, every firing, and every fact at the end.
    """
    given = tuple(facts)
    outcome = run(book, given, engine)
    wording = Wording(book.fields, measure, names or {})
    cautions = _cautions(book, outcome, wording)
    # Built-in stops stand whatever other packs do, also where those crowd the memory.
    floor = book.alone if outcome.problems else book.floor
    if floor is not None:
        under = chain(floor.layers.strata, given, floor.fields, floor.gates, floor.places)
        stops = [item for item in _cautions(floor, under, wording) if item.severity == "stop"]
        cautions = _distinct([*stops, *cautions], ())
    return Advice(
        _rulings(book, outcome, wording), tuple(cautions), outcome.firings, outcome.facts,
        outcome.engine, tuple(outcome.problems),
    )  # fmt: skip


def run(book: RuleBook, facts: tuple[Fact, ...], engine: str | None = None) -> Outcome:
    """The firings of a book's rules on facts, by the engine asked for.

    Where the engine fails, the plain chainer answers and the book's problems say so.
    """
    strata = book.layers.strata
    wanted = (engine or os.environ.get("STILLROOM_ENGINE", "durable")) != "plain"
    if wanted and available() and _cleared(book):
        try:
            if book.engine is None:
                book.engine = DurableEngine(strata, book.fields, book.plan, book.gates)
            return book.engine.run(facts)
        except EngineError as error:
            _report(book, f"The plain chainer answered: {error}.")
    return chain(strata, facts, book.fields, book.gates, book.places)


def _report(book: RuleBook, text: str) -> None:
    fault = Problem(name="engine", text=text)
    if fault not in book.problems:
        book.problems.append(fault)


def _cleared(book: RuleBook) -> bool:
    """Whether the engine may run the book's rules: others' packs only once a child survived them.

    While that is not known the child is started, and the plain chainer answers meanwhile.
    """
    if book.cleared is not None or not book.foreign:
        return book.cleared is not False
    from stillroom.advice.canary import ask, verdict
    from stillroom.advice.compile import plan

    if book.plan is None:
        book.plan = plan(book.layers.strata, book.fields)
    found = verdict(book.plan)
    if found is None:
        ask(book.plan)
        return False
    book.cleared = not found
    if found:
        _report(book, f"The plain chainer answers for these packs: {found}.")
    return book.cleared


def _speaks(rule: Rule, firing: Firing) -> bool:
    """Whether a ruling can be said: every field that its sentence names must be known."""
    bound = dict(firing.bound)
    return rule.advise is not None and all(name in bound[alias].slots for alias, name in rule.named)


def _rulings(book: RuleBook, outcome: Outcome, wording: Wording) -> tuple[Ruling, ...]:
    made: list[Ruling] = []
    for firing in outcome.firings:
        rule = book.by_id[firing.rule]
        if rule.advise is None or not _speaks(rule, firing):
            continue
        bound = dict(firing.bound)
        made.append(
            Ruling(
                rule.advise.topic, wording.fill(rule.say, bound), rule.id,
                batch_of(rule.advise.batch, bound), resolve(rule.advise.value, bound),
                rule.advise.unit, wording.fill(rule.why, bound), sources_of(rule, bound),
                words_of(firing), rule.priority,
            )
        )  # fmt: skip
    gone = {
        (other, item.topic, item.batch)
        for item in made
        for other in book.by_id[item.rule].overrides
        if (item.rule, other) not in book.mutual
    }
    kept = [item for item in made if (item.rule, item.topic, item.batch) not in gone]
    order = {item.batch: index for index, item in enumerate(_by_batch(outcome))}
    kept.sort(
        key=lambda item: (
            _TOPIC[item.topic], order.get(item.batch, -1), item.priority, item.rule, item.text,
        )
    )  # fmt: skip
    merged: dict[tuple[object, ...], Ruling] = {}
    for item in kept:
        key = (item.topic, item.batch, item.value, item.text)
        first = merged.get(key)
        merged[key] = item if first is None else _joined(first, item)
    return tuple(merged.values())


def _joined(first: Ruling, other: Ruling) -> Ruling:
    return replace(
        first,
        sources=tuple(dict.fromkeys((*first.sources, *other.sources))),
        because=tuple(dict.fromkeys((*first.because, *other.because))),
    )


def _by_batch(outcome: Outcome) -> list[Ruling]:
    """One stand-in for each batch, in the order in which facts name them."""
    batches = dict.fromkeys(str(f.slots["batch"]) for f in outcome.facts if "batch" in f.slots)
    return [Ruling("", "", "", batch) for batch in batches]


def _cautions(book: RuleBook, outcome: Outcome, wording: Wording) -> list[Caution]:
    made: list[Caution] = []
    for firing in outcome.firings:
        rule = book.by_id[firing.rule]
        if rule.caution is None:
            continue
        bound = dict(firing.bound)
        made.append(
            Caution(
                rule.caution.severity, rule.caution.hazard, wording.fill(rule.say, bound), rule.id,
                wording.fill(rule.why, bound), batch_of(rule.caution.batch, bound),
                sources_of(rule, bound), words_of(firing),
            )
        )  # fmt: skip
    gone = {
        (other, item.batch)
        for item in made
        for other in book.by_id[item.rule].overrides
        if (item.rule, other) not in book.mutual
    }
    return _distinct(made, gone, {item.rule: book.by_id[item.rule].priority for item in made})


def _distinct(
    made: list[Caution],
    gone: Iterable[tuple[str, str | None]],
    priority: Mapping[str, int] | None = None,
) -> list[Caution]:
    """Cautions gravest first, one for each hazard and batch; no ``stop`` is ever taken out.

    A second caution about the same hazard and batch gives its words and sources to the first.
    """
    dropped, rank = set(gone), priority or {}
    made = [c for c in made if c.severity == "stop" or (c.rule, c.batch) not in dropped]
    made.sort(key=lambda c: (_GRAVITY[c.severity], rank.get(c.rule, 100), c.rule, c.batch or ""))
    merged: dict[tuple[str, str | None], Caution] = {}
    for item in made:
        key = (item.hazard, item.batch)
        first = merged.get(key)
        merged[key] = (
            item
            if first is None
            else replace(
                first,
                sources=tuple(dict.fromkeys((*first.sources, *item.sources))),
                because=tuple(dict.fromkeys((*first.because, *item.because))),
            )
        )
    return list(merged.values())
