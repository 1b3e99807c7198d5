"""Rules to the engine's form: only what the engine is known to do exactly.

A pattern for the engine holds constants and equality joins on text, constants first, kind first of
all. It may let more through than the rule means (long lists, comparisons with other facts,
``known: false``); every hit is tried again in Python by match.fits before it counts.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Any

from stillroom.advice.fields import Fields
from stillroom.advice.rule import Check, Pattern, Ref, Rule
from stillroom.base.fact import Fact, Value

MAX_PER_KIND = 24
MAX_RULES_OF_SHARD = 400
MAX_SPLIT = 6
MAX_TEXT_BYTES = 400
_OPERATOR = {"above": "$gt", "below": "$lt", "at_least": "$gte", "at_most": "$lte"}
EnginePattern = dict[str, Any]


@dataclass(frozen=True)
class Variant:
    """One engine rule; a rule with short lists becomes several."""

    rule: Rule
    patterns: tuple[EnginePattern, ...]


@dataclass
class Shard:
    """Engine rules that go into one ruleset, at most MAX_PER_KIND patterns of a kind."""

    variants: list[Variant] = field(default_factory=list)
    kinds: dict[str, int] = field(default_factory=dict)

    def takes(self, wanted: dict[str, int]) -> bool:
        """Whether there is room for patterns of these kinds."""
        return len(self.variants) < MAX_RULES_OF_SHARD and all(
            self.kinds.get(kind, 0) + count <= MAX_PER_KIND for kind, count in wanted.items()
        )

    def put(self, variant: Variant, wanted: dict[str, int]) -> None:
        """Add an engine rule."""
        self.variants.append(variant)
        for kind, count in wanted.items():
            self.kinds[kind] = self.kinds.get(kind, 0) + count


def _constant(value: Value) -> Value:
    return value if isinstance(value, str | bool) else float(value)


def _test(test: Check, alias_of: dict[str, str], fields: Fields, kind: str) -> list[EnginePattern]:
    """The engine's tests for one condition; none when Python alone decides."""
    value, known = test.value, fields.find(kind, test.field)
    if known is None or isinstance(value, tuple):
        return []
    if isinstance(value, Ref):
        joined = test.op == "is" and known.type == "text"
        return [{test.field: {alias_of[value.alias]: value.field}}] if joined else []
    if test.op == "is":
        return [{test.field: _constant(value)}]
    if test.op == "not":
        return [{"$neq": {test.field: _constant(value)}}]
    if test.op == "known":
        return [{"$ex": {test.field: 1}}] if value is True else []
    return [{_OPERATOR[test.op]: {test.field: _constant(value)}}]


def _splits(rule: Rule) -> list[tuple[int, Check]]:
    """The lists that become rules of their own: as many as keep the product small."""
    found: list[tuple[int, Check]] = []
    size = 1
    for index, pattern in enumerate(rule.when):
        for test in pattern.tests:
            if test.op == "any" and isinstance(test.value, tuple):
                size *= len(test.value)
                if size > MAX_SPLIT:
                    return found
                found.append((index, test))
    return found


def variants(rule: Rule, fields: Fields) -> Iterator[Variant]:
    """The engine rules of one rule."""
    alias_of = {pattern.alias: f"a{index}" for index, pattern in enumerate(rule.when)}
    lists = _splits(rule)
    for values in product(*(test.value for _, test in lists if isinstance(test.value, tuple))):
        chosen = [
            (index, {test.field: _constant(value)})
            for (index, test), value in zip(lists, values, strict=True)
        ]
        made = []
        for index, pattern in enumerate(rule.when):
            tests = [item for place, item in chosen if place == index]
            made.append({f"a{index}": {"$and": _pattern(pattern, tests, alias_of, fields)}})
        yield Variant(rule, tuple(made))


def _pattern(
    pattern: Pattern, chosen: list[EnginePattern], alias_of: dict[str, str], fields: Fields
) -> list[EnginePattern]:
    joins: list[EnginePattern] = []
    tests = [{"kind": pattern.kind}, *chosen]
    for test in pattern.tests:
        made = _test(test, alias_of, fields, pattern.kind)
        (joins if isinstance(test.value, Ref) else tests).extend(made)
    return [*tests, *joins]


def shards(rules: Sequence[Rule], fields: Fields) -> list[Shard]:
    """The rulesets of one layer."""
    found: list[Shard] = []
    made = [variant for rule in rules for variant in variants(rule, fields)]
    # Rules with like constants stand together, so that a fact concerns few rulesets.
    for variant in sorted(made, key=lambda item: (repr(item.patterns), item.rule.id)):
        wanted: dict[str, int] = {}
        for pattern in variant.rule.when:
            wanted[pattern.kind] = wanted.get(pattern.kind, 0) + 1
        if not found or not found[-1].takes(wanted):
            found.append(Shard())
        found[-1].put(variant, wanted)
    return found


Token = tuple[str, str, Value]


def tokens(patterns: Sequence[EnginePattern]) -> list[Token]:
    """For each pattern the kind, and the first equal constant, that a fact must have to match it.

    Field and constant are empty where a pattern asks for no equal constant.
    """
    found: list[Token] = []
    for pattern in patterns:
        ((_, body),) = pattern.items()
        kind, *tests = body["$and"]
        pairs = [
            (name, value)
            for test in tests
            for name, value in test.items()
            if not name.startswith("$") and not isinstance(value, dict)
        ]
        found.append((kind["kind"], *(pairs[0] if pairs else ("", ""))))
    return found


@dataclass
class Ruleset:
    """A ruleset as text, compiled by the engine only when facts come that it waits for.

    Args:
        rules: for each engine rule, the place of its rule among all rules.
        needs: for each engine rule, what must have been seen before it can fire.
        body: the patterns of all engine rules, as JSON.
    """

    rules: list[int]
    needs: list[list[Token]]
    body: str


@dataclass
class Plan:
    """All rules in the engine's form, by layer, and the fields that the engine must see."""

    layers: list[list[Ruleset]]
    used: dict[str, set[str]]

    def as_json(self) -> Any:
        """For the cache."""
        return {
            "layers": [[[r.rules, r.needs, r.body] for r in layer] for layer in self.layers],
            "used": {kind: sorted(names) for kind, names in self.used.items()},
        }

    @staticmethod
    def from_json(data: Any) -> Plan:
        """Rebuild what ``as_json`` wrote."""
        return Plan(
            [
                [
                    Ruleset(rules, [[(k, n, v) for k, n, v in row] for row in needs], body)
                    for rules, needs, body in layer
                ]
                for layer in data["layers"]
            ],
            {kind: set(names) for kind, names in data["used"].items()},
        )


def plan(strata: Sequence[Sequence[Rule]], fields: Fields) -> Plan:
    """The rulesets of every layer."""
    layers: list[list[Ruleset]] = []
    first = 0
    for rules in strata:
        place = {id(rule): first + index for index, rule in enumerate(rules)}
        first += len(rules)
        layers.append(
            [
                Ruleset(
                    [place[id(variant.rule)] for variant in shard.variants],
                    [list(dict.fromkeys(tokens(v.patterns))) for v in shard.variants],
                    json.dumps([variant.patterns for variant in shard.variants]),
                )
                for shard in shards(rules, fields)
            ]
        )
    return Plan(layers, used_fields([rule for rules in strata for rule in rules]))


def used_fields(rules: Sequence[Rule]) -> dict[str, set[str]]:
    """The fields that the engine must see, by kind."""
    found: dict[str, set[str]] = {}
    for rule in rules:
        kinds = {pattern.alias: pattern.kind for pattern in rule.when}
        for pattern in rule.when:
            mine = found.setdefault(pattern.kind, set())
            for test in pattern.tests:
                mine.add(test.field)
                if isinstance(test.value, Ref):
                    found.setdefault(kinds[test.value.alias], set()).add(test.value.field)
    return found


def _shown(value: Value) -> Value:
    if isinstance(value, bool):
        return value
    if isinstance(value, str):
        raw = value.encode("utf-8", "surrogatepass")
        plain = len(raw) <= MAX_TEXT_BYTES and value.isprintable()
        # A digest keeps equality and spares the engine long or odd text.
        return value if plain else "sha256:" + hashlib.sha256(raw).hexdigest()
    number = float(max(-1e15, min(1e15, value)))
    # Constants are 0 or at least 0.001, so a tiny figure may stand for every tinier one.
    return (5e-4 if number > 0 else -5e-4) if 0 < abs(number) < 5e-4 else number


def engine_fact(fact: Fact, number: int, used: dict[str, set[str]]) -> dict[str, Value]:
    """A fact as the engine gets it: the fields that rules look at, an id, a session."""
    seen = used.get(fact.kind, set())
    slots = {name: _shown(value) for name, value in fact.slots.items() if name in seen}
    return {**slots, "kind": fact.kind, "id": f"f{number}", "sid": "q"}
