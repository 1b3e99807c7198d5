"""Which rules can match at all, so that the plain chainer looks at those alone.

Every rule waits for the rarest thing that one of its patterns asks for: a kind with a certain
value, such as a mention of oven canning, or a kind alone. Until such a fact is there the rule
cannot fire, and nothing of it is tried.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence

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
    """What each rule of a layer waits for.

    Args:
        rules: the rules of one layer.
    """

    def __init__(self, rules: Sequence[Rule]) -> None:
        choices = [[c for pattern in rule.when for c in _choices(pattern)] for rule in rules]
        common = Counter(token for sets in choices for tokens in sets for token in tokens)
        self._waiting: dict[Token, list[int]] = defaultdict(list)
        for index, sets in enumerate(choices):
            costs = [sum([common[token] for token in tokens]) for tokens in sets]
            rarest = sets[costs.index(min(costs))]
            for token in rarest:
                self._waiting[token].append(index)
        self._fields: dict[str, set[str]] = defaultdict(set)
        for kind, name, _, _ in self._waiting:
            self._fields[kind].add(name)

    def woken(self, facts: Iterable[Fact]) -> set[int]:
        """The places of the rules that wait for one of these facts."""
        found: set[int] = set()
        for fact in facts:
            names = self._fields.get(fact.kind, ())
            if "" in names:
                found.update(self._waiting[fact.kind, "", "", ""])
            for name in names:
                value = fact.slots.get(name)
                if value is not None:
                    found.update(self._waiting.get((fact.kind, name, *bucket(value)), ()))
        return found
