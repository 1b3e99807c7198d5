"""The engine and the plain chainer give the same firings on random rule sets."""

from __future__ import annotations

import random

import pytest

from stillroom.advice.chain import Outcome, chain
from stillroom.advice.engine import DurableEngine, available
from stillroom.advice.fields import Field, Fields
from stillroom.advice.rule import Check, Pattern, Ref, Rule, Template
from stillroom.advice.strata import layers
from stillroom.base.fact import Fact, Value

_TEXTS = ("a", "b", "å", 'q"\\', "", "x y")
_NUMBERS = (0, 1, 1.0, 2.5, -3, 1e-9, 7e14)
_TYPES = {"t": "text", "u": "text", "n": "number", "m": "number", "b": "truth"}
_KINDS = ("one", "two", "three", "four")
FIELDS = Fields({k: {n: Field(n, t) for n, t in _TYPES.items()} for k in _KINDS})


def _value(rng: random.Random, name: str, *, constant: bool = False) -> Value:
    if _TYPES[name] == "text":
        return rng.choice(_TEXTS)
    if _TYPES[name] == "truth":
        return rng.random() < 0.5
    return rng.choice(_NUMBERS[:5] if constant else _NUMBERS)


def _test(rng: random.Random, aliases: list[str]) -> Check:
    name = rng.choice(list(_TYPES))
    kind = rng.random()
    if aliases and kind < 0.35:
        other = rng.choice([n for n, t in _TYPES.items() if t == _TYPES[name]])
        op = rng.choice(("is", "is", "is", "not") + (("above",) if name in "nm" else ()))
        return Check(name, op, Ref(rng.choice(aliases), other))
    if kind < 0.55:
        values = tuple(_value(rng, name, constant=True) for _ in range(rng.randint(1, 4)))
        return Check(name, rng.choice(("any", "any", "not")), values)
    if kind < 0.65:
        return Check(name, "known", rng.random() < 0.6)
    if name in "nm" and kind < 0.85:
        op = rng.choice(("above", "below", "at_least", "at_most"))
        return Check(name, op, _value(rng, name, constant=True))
    return Check(name, rng.choice(("is", "is", "not")), _value(rng, name, constant=True))


def _pattern(rng: random.Random, alias: str, aliases: list[str]) -> Pattern:
    tests = [_test(rng, aliases) for _ in range(rng.randint(0, 2))]
    tests.sort(key=lambda test: isinstance(test.value, Ref))
    return Pattern(alias, rng.choice(_KINDS), tuple(tests))


def _rule(rng: random.Random, index: int) -> Rule:
    aliases: list[str] = []
    when = []
    for place in range(rng.choice((1, 1, 2, 2, 3))):
        when.append(_pattern(rng, f"p{place}", aliases))
        aliases.append(f"p{place}")
    unless = tuple(_pattern(rng, "x", aliases) for _ in range(rng.choice((0, 0, 0, 1))))
    derive = []
    if rng.random() < 0.4:
        slots: list[tuple[str, Value | Ref]] = [("u", _value(rng, "u"))]
        if rng.random() < 0.5:
            slots.append(("t", Ref(rng.choice(aliases), "t")))
        derive.append(Template(rng.choice(_KINDS[2:]), tuple(slots)))
    return Rule(f"r.{index}", "random", tuple(when), unless, tuple(derive))


def _facts(rng: random.Random) -> list[Fact]:
    made = []
    for _ in range(rng.randint(4, 12)):
        names = [name for name in _TYPES if rng.random() < 0.6]
        made.append(Fact(rng.choice(_KINDS), {name: _value(rng, name) for name in names}))
    return made


def shown(outcome: Outcome) -> list[tuple[str, list[tuple[str, str]], list[str]]]:
    return [
        (f.rule, [(a, repr(x.key)) for a, x in f.bound], [repr(x.key) for x in f.derived])
        for f in outcome.firings
    ]


@pytest.mark.skipif(not available(), reason="the durable-rules extension is not installed")
def test_same_firings_on_a_thousand_random_rule_sets() -> None:
    fired = derived = 0
    for seed in range(1_000):
        rng = random.Random(seed)
        strata = layers([_rule(rng, index) for index in range(rng.randint(3, 16))]).strata
        facts = _facts(rng)
        plain = chain(strata, facts, FIELDS)
        engine = DurableEngine(strata, FIELDS)
        durable = engine.run(facts)
        assert shown(durable) == shown(plain), f"seed {seed}"
        rng.shuffle(facts)
        assert {repr(x) for x in shown(engine.run(facts))} == {repr(x) for x in shown(plain)}, seed
        fired += bool(plain.firings)
        derived += any(firing.derived for firing in plain.firings)
    assert fired > 800
    assert derived > 300
