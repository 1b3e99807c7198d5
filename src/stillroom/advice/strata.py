"""Rules in layers, so that an exception is tried only on finished facts.

A rule stands in the same layer as, or a later one than, every rule that can add a fact to its
``when``, and in a later one than every rule that can add a fact to its ``unless``. Whether a rule
can add a fact to a pattern is judged by the constants of both: deriving ``is: loose-wet`` has
nothing to do with a pattern for ``is: redry``.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from stillroom.advice.match import holds
from stillroom.advice.rule import Pattern, Ref, Rule, Template
from stillroom.base.fact import Fact
from stillroom.base.problem import Problem


@dataclass(frozen=True)
class Layers:
    """Rules by layer, and the rules that stand in no layer because of a cycle."""

    strata: tuple[tuple[Rule, ...], ...]
    cycles: tuple[tuple[Rule, ...], ...] = ()


@dataclass(frozen=True)
class _Made:
    """What a template is sure to carry, and the fields that another fact may fill or leave out."""

    fact: Fact
    open_fields: frozenset[str]

    def feeds(self, pattern: Pattern) -> bool:
        for test in pattern.tests:
            if test.field in self.open_fields:
                # the value comes from another fact and may be left out, so it may pass any test
                continue
            if isinstance(test.value, Ref):
                if test.field not in self.fact.slots:
                    return False
            elif not holds(test, self.fact, {}):
                return False
        return True


def _made(template: Template) -> _Made:
    fixed = {name: value for name, value in template.slots if not isinstance(value, Ref)}
    refs = frozenset(name for name, value in template.slots if isinstance(value, Ref))
    return _Made(Fact(template.kind, fixed), refs)


def may_feed(template: Template, pattern: Pattern) -> bool:
    """Whether a derived fact can match a pattern, judged by kind and constants."""
    return template.kind == pattern.kind and _made(template).feeds(pattern)


class _Producers:
    """Rules that derive facts, by kind; alike templates and alike patterns are tried once."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        self._by_kind: dict[str, dict[Template, set[int]]] = defaultdict(dict)
        self._made: dict[Template, _Made] = {}
        self._known: dict[tuple[object, ...], set[int]] = {}
        for index, rule in enumerate(rules):
            for template in rule.derive:
                self._by_kind[template.kind].setdefault(template, set()).add(index)
                self._made[template] = _made(template)

    def feeding(self, pattern: Pattern) -> set[int]:
        key = (pattern.kind, *((t.field, t.op, type(t.value), t.value) for t in pattern.tests))
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = set().union(
                *(
                    indexes
                    for template, indexes in self._by_kind.get(pattern.kind, {}).items()
                    if self._made[template].feeds(pattern)
                )
            )
        return found


def circles(graph: Sequence[set[int]]) -> list[list[int]]:
    """The groups of nodes that lead back to themselves."""
    return [c for c in _components(graph) if len(c) > 1 or c[0] in graph[c[0]]]


def _components(graph: Sequence[set[int]]) -> list[list[int]]:
    """Strongly connected components, producers before consumers (Tarjan, without recursion)."""
    order: dict[int, int] = {}
    low: dict[int, int] = {}
    stack: list[int] = []
    on_stack: set[int] = set()
    found: list[list[int]] = []
    for root in range(len(graph)):
        if root in order:
            continue
        work = [(root, iter(sorted(graph[root])))]
        order[root] = low[root] = len(order)
        stack.append(root)
        on_stack.add(root)
        while work:
            node, below = work[-1]
            for other in below:
                if other not in order:
                    order[other] = low[other] = len(order)
                    stack.append(other)
                    on_stack.add(other)
                    work.append((other, iter(sorted(graph[other]))))
                    break
                if other in on_stack:
                    low[node] = min(low[node], order[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == order[node]:
                    found.append(_pop_component(stack, on_stack, node))
    return found


def _pop_component(stack: list[int], on_stack: set[int], node: int) -> list[int]:
    component = []
    while True:
        other = stack.pop()
        on_stack.discard(other)
        component.append(other)
        if other == node:
            return component


def layers(rules: Sequence[Rule]) -> Layers:
    """The layers of a set of rules.

    Rules that depend on their own absence through a cycle are left out and named in ``cycles``.
    """
    producers = _Producers(rules)
    feeds = [set().union(*(producers.feeding(p) for p in rule.when)) for rule in rules]
    blocks = [set().union(*(producers.feeding(p) for p in rule.unless)) for rule in rules]
    graph = [fed | blocked for fed, blocked in zip(feeds, blocks, strict=True)]
    level: dict[int, int] = {}
    cycles: list[tuple[Rule, ...]] = []
    for component in _components(graph):
        inside = set(component)
        if any(blocks[index] & inside for index in component):
            cycles.append(tuple(rules[index] for index in sorted(component)))
            continue
        height = 0
        for index in component:
            for other in graph[index] - inside:
                if other in level:
                    height = max(height, level[other] + (other in blocks[index]))
        for index in component:
            level[index] = height
    # Close the gaps: only the heights in use become layers.
    heights = sorted(set(level.values()))
    strata = tuple(
        tuple(rules[index] for index in sorted(level) if level[index] == height)
        for height in heights
    )
    return Layers(strata, tuple(cycles))


def cycle_problems(found: Layers, files: dict[str, str]) -> list[Problem]:
    """A problem for each cycle, at the first rule of it."""
    problems = []
    for cycle in found.cycles:
        first = cycle[0]
        line, column = first.place("unless")
        names = " and ".join(rule.id for rule in cycle[:6])
        problems.append(
            Problem(
                files.get(first.pack, first.pack), line, column, "cycle",
                f"{names} depend on their own absence." if len(cycle) > 1
                else f"{names} depends on its own absence.",
                "Break the circle: an exception must not rest on what the rule itself leads to.",
            )
        )  # fmt: skip
    return problems
