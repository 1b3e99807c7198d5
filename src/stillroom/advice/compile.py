"""Rules to the engine's form: only what the engine is known to do exactly.

A pattern for the engine holds constants and equality joins on text, constants first, kind first of
all. A list of values becomes one true field that facts get on their way in ("zz3": its value is
one of the third list). The engine may let more through than the rule means (comparisons with other
facts, ``known: false``); every hit is tried again in Python by match.fits before it counts.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from stillroom.advice.fields import Fields
from stillroom.advice.rule import Check, Ref, Rule
from stillroom.base.fact import Fact, Value

MAX_PER_KIND = 24
MAX_RULES_OF_SHARD = 400
MAX_LISTS = 120
MAX_TEXT_BYTES = 400
_OPERATOR = {"above": "$gt", "below": "$lt", "at_least": "$gte", "at_most": "$lte"}
EnginePattern = dict[str, Any]


@dataclass(frozen=True)
class Variant:
    """One engine rule."""

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


class Lists:
    """The lists of values that rules ask for, each with the field that stands for it."""

    def __init__(self, fields: Fields) -> None:
        self.fields = fields
        self.rows: dict[tuple[str, str, str, tuple[Value, ...]], str] = {}

    def name(self, kind: str, test: Check) -> str | None:
        """The field for a list test; None when there are too many of them for one kind."""
        if not isinstance(test.value, tuple):
            return None
        key = (kind, test.field, test.op, test.value)
        if key not in self.rows and sum(row[0] == kind for row in self.rows) >= MAX_LISTS:
            return None
        return self.rows.setdefault(key, f"zz{len(self.rows)}")

    def as_json(self) -> list[Any]:
        """For the cache."""
        return [
            [kind, field_, op, list(values), name]
            for (kind, field_, op, values), name in self.rows.items()
        ]


def _test(test: Check, alias_of: dict[str, str], lists: Lists, kind: str) -> list[EnginePattern]:
    """The engine's tests for one condition; none when Python alone decides."""
    value, known = test.value, lists.fields.find(kind, test.field)
    if known is None:
        return []
    if isinstance(value, tuple):
        name = lists.name(kind, test)
        return [{name: True}] if name else []
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


def variant(rule: Rule, lists: Lists) -> Variant:
    """The engine rule of a rule."""
    alias_of = {pattern.alias: f"a{index}" for index, pattern in enumerate(rule.when)}
    made = []
    for index, pattern in enumerate(rule.when):
        joins: list[EnginePattern] = []
        tests: list[EnginePattern] = [{"kind": pattern.kind}]
        for test in pattern.tests:
            found = _test(test, alias_of, lists, pattern.kind)
            (joins if isinstance(test.value, Ref) else tests).extend(found)
        made.append({f"a{index}": {"$and": [*tests, *joins]}})
    return Variant(rule, tuple(made))


def shards(rules: Sequence[Rule], lists: Lists) -> list[Shard]:
    """The rulesets of one layer."""
    found: list[Shard] = []
    made = [variant(rule, lists) for rule in rules]
    # Rules with like constants stand together, so that a fact concerns few rulesets.
    for one in sorted(made, key=lambda item: (repr(item.patterns), item.rule.id)):
        wanted: dict[str, int] = {}
        for pattern in one.rule.when:
            wanted[pattern.kind] = wanted.get(pattern.kind, 0) + 1
        if not found or not found[-1].takes(wanted):
            found.append(Shard())
        found[-1].put(one, wanted)
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
    lists: list[Any] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._any: dict[tuple[str, str, Value], list[str]] = {}
        self._none: dict[tuple[str, str], list[tuple[tuple[Value, ...], str]]] = {}
        for kind, name, op, values, mark in self.lists:
            if op == "any":
                for value in values:
                    self._any.setdefault((kind, name, value), []).append(mark)
            else:
                self._none.setdefault((kind, name), []).append((tuple(values), mark))

    def marks(self, fact: Fact) -> list[str]:
        """The fields that stand for the lists which a fact meets."""
        found: list[str] = []
        for name, value in fact.slots.items():
            found += self._any.get((fact.kind, name, value), ())
            found += (
                mark
                for values, mark in self._none.get((fact.kind, name), ())
                if value not in values
            )
        return found

    def as_json(self) -> Any:
        """For the cache."""
        return {
            "layers": [[[r.rules, r.needs, r.body] for r in layer] for layer in self.layers],
            "used": {kind: sorted(names) for kind, names in self.used.items()},
            "lists": self.lists,
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
            data["lists"],
        )


def plan(strata: Sequence[Sequence[Rule]], fields: Fields) -> Plan:
    """The rulesets of every layer."""
    layers: list[list[Ruleset]] = []
    lists = Lists(fields)
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
                for shard in shards(rules, lists)
            ]
        )
    used = used_fields([rule for rules in strata for rule in rules])
    return Plan(layers, used, lists.as_json())


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


def engine_fact(fact: Fact, number: int, made: Plan) -> dict[str, Value]:
    """A fact as the engine gets it: the fields that rules look at, an id, a session."""
    seen = made.used.get(fact.kind, set())
    slots = {name: _shown(value) for name, value in fact.slots.items() if name in seen}
    slots |= dict.fromkeys(made.marks(fact), True)
    return {**slots, "kind": fact.kind, "id": f"f{number}", "sid": "q"}
