"""Which rules can match at all, so that the plain chainer looks at those alone.

Every rule waits for the rarest thing that each of its patterns asks for: a kind with a certain
value, such as a mention of oven canning, or a kind alone. Until such facts are there the rule
cannot fire, and nothing of it is tried.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from stillroom.advice.rule import Pattern, Ref, Rule
from stillroom.base.fact import Fact, Value

Token = tuple[str, str, str, Value]
Places = Mapping[str, tuple[int, int]]
"""The layer and the priority of each rule, by its id."""


def places_of(strata: Sequence[Sequence[Rule]]) -> Places:
    """Where each rule of these layers stands."""
    return {rule.id: (level, rule.priority) for level, rules in enumerate(strata) for rule in rules}


def bucket(value: Value) -> tuple[str, Value]:
    """A value with its type, so that 1, "1" and true are kept apart and 1 and 1.0 are not."""
    kind = "t" if isinstance(value, bool) else "s" if isinstance(value, str) else "n"
    return kind, value


def _choices(pattern: Pattern) -> list[tuple[Token, ...]]:
    """Sets of tokens; a fact that fits the pattern has one of each set."""
    kind = pattern.kind
    found: list[tuple[Token, ...]] = [((kind, "", "", ""),)]
    for test in pattern.tests:
        value = test.value
        if test.op == "is":
            if not isinstance(value, Ref | tuple):
                found.append(((kind, test.field, *bucket(value)),))
        elif test.op == "any" and isinstance(value, tuple):
            found.append(tuple({(kind, test.field, *bucket(item)) for item in value}))
    return found


class Gates:
    """What each rule of a layer waits for: one of a set of tokens for each of its patterns.

    Patterns that ask for nothing but a kind are left out where others of the rule ask for more.

    Args:
        rules: the rules of one layer.
    """

    def __init__(self, rules: Sequence[Rule]) -> None:
        choices = [[_choices(pattern) for pattern in rule.when] for rule in rules]
        common = Counter(
            token for sets in choices for found in sets for tokens in found for token in tokens
        )
        self.rows: list[int] = []  # the rule of each row
        self.missing = [0] * len(rules)
        self.waiting: dict[Token, list[int]] = defaultdict(list)
        for index, sets in enumerate(choices):
            rarest = [_rarest(found, common) for found in sets]
            telling = [tokens for tokens in rarest if tokens[0][1]] or rarest[:1]
            for tokens in telling:
                for token in tokens:
                    self.waiting[token].append(len(self.rows))
                self.rows.append(index)
            self.missing[index] = len(telling)
        self._index()

    def _index(self) -> None:
        self.fields: dict[str, set[str]] = defaultdict(set)
        for kind, name, _, _ in self.waiting:
            self.fields[kind].add(name)

    def as_json(self) -> list[Any]:
        """All of it as JSON values; for the cache."""
        return [self.rows, self.missing, [[*token, rows] for token, rows in self.waiting.items()]]

    @classmethod
    def from_json(cls, data: list[Any]) -> Gates:
        """Rebuild what ``as_json`` wrote.

        Raises:
            ValueError: the data has another shape (TypeError likewise).
        """
        made = cls(())
        made.rows, made.missing, waiting = data
        made.waiting.update(
            {(kind, name, t, value): rows for kind, name, t, value, rows in waiting}
        )
        made._index()
        return made

    def awake(self, facts: Iterable[Fact]) -> set[int]:
        """The places of the rules that may match on these facts."""
        return Watch(self).show(facts)


def _rarest(found: list[tuple[Token, ...]], common: Mapping[Token, int]) -> tuple[Token, ...]:
    costs = [sum([common[token] for token in tokens]) for tokens in found]
    return found[costs.index(min(costs))]


class Watch:
    """The rules of a layer that have seen all they wait for, as facts come in."""

    def __init__(self, gates: Gates) -> None:
        self._gates = gates
        self._missing = list(gates.missing)
        self._seen: set[Token] = set()
        self._met: set[int] = set()
        self.awake: set[int] = set()

    def show(self, facts: Iterable[Fact]) -> set[int]:
        """Note facts; the places of all rules that are awake by now."""
        for fact in facts:
            slots = fact.slots
            for name in self._gates.fields.get(fact.kind, ()):
                if name in slots:
                    self._note((fact.kind, name, *bucket(slots[name])))
                elif not name:
                    self._note((fact.kind, "", "", ""))
        return self.awake

    def _note(self, token: Token) -> None:
        if token in self._seen:
            return
        self._seen.add(token)
        for row in self._gates.waiting.get(token, ()):
            if row not in self._met:
                self._met.add(row)
                rule = self._gates.rows[row]
                self._missing[rule] -= 1
                if not self._missing[rule]:
                    self.awake.add(rule)
