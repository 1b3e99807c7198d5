"""On every example note and case of the program's own packs both engines say the same."""

from __future__ import annotations

from datetime import datetime

import pytest

from stillroom.advice.advise import advise
from stillroom.advice.chain import chain
from stillroom.advice.compile import plan
from stillroom.advice.engine import DurableEngine, available
from stillroom.advice.packs import load_book
from stillroom.base.fact import Fact
from stillroom.base.statement import Context
from stillroom.enrich.enrich import enrich
from stillroom.reader.read import read
from stillroom.tables.tables import load_tables

BOOK = load_book(installed=False, remember=False)


def trials() -> list[tuple[str, tuple[Fact, ...]]]:
    tables = load_tables()
    notes = dict.fromkeys(
        note for rule in BOOK.rules for note in (*rule.proofs.fires, *rule.proofs.silent)
    )
    found = []
    for note in notes:
        reading = read(note, Context(datetime(2026, 9, 1, 9)))  # local wall time
        found.append((note, tuple(enrich(reading, (), {}, tables).facts)))
    for rule in BOOK.rules:
        for case in (*rule.proofs.fires_facts, *rule.proofs.silent_facts):
            found.append((rule.id, tuple(Fact(t.kind, dict(t.slots)) for t in case.facts)))
    return found  # type: ignore[return-value]  # cases hold plain values only


@pytest.mark.skipif(not available(), reason="the durable-rules extension is not installed")
def test_engines_agree_on_every_example() -> None:
    strata = BOOK.layers.strata
    engine = DurableEngine(strata, BOOK.fields, plan(strata, BOOK.fields))
    fired = set()
    for shown, facts in trials():
        plain, durable = chain(strata, facts, BOOK.fields), engine.run(facts)
        assert durable.firings == plain.firings, shown
        assert durable.facts == plain.facts, shown
        fired |= {firing.rule for firing in plain.firings}
    assert len(fired) > 0.9 * len(BOOK.rules)


def test_the_program_has_no_faulty_rule() -> None:
    assert [str(problem) for problem in BOOK.problems] == []


def test_taking_a_pack_away_changes_some_answer() -> None:
    """Each pack matters: without it some note of its own examples is answered otherwise."""
    dull = []
    known = dict(trials())
    for pack in BOOK.packs:
        rules = [tuple(r for r in layer if r.pack != pack.name) for layer in BOOK.layers.strata]
        notes = [n for rule in pack.rules for n in rule.proofs.fires] + [r.id for r in pack.rules]
        if not any(
            chain(BOOK.layers.strata, known[n], BOOK.fields).firings
            != chain(rules, known[n], BOOK.fields).firings
            for n in notes
            if n in known
        ):
            dull.append(pack.name)
    assert dull == []


def test_advice_is_the_same_with_either_engine() -> None:
    for shown, facts in trials()[:40]:
        plain, other = (advise(facts, BOOK, engine=name) for name in ("plain", "durable"))
        assert (plain.rulings, plain.cautions) == (other.rulings, other.cautions), shown
