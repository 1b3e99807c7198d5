"""A bound on the engine's work, because its C code cannot be interrupted.

The engine keeps every partial match of a rule: all ways in which facts fit its first pattern, its
first two, and so on. Their number is bounded from the facts before the engine sees them; beyond
the bound the plain chainer, which counts its steps, answers instead.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stillroom.advice.chain import MAX_FIRINGS_OF_RULE, Memory
from stillroom.advice.fields import Fields
from stillroom.advice.gates import Gates
from stillroom.advice.rule import Pattern, Ref, Rule
from stillroom.base.fact import Value

MAX_WORK_OF_RULE = MAX_FIRINGS_OF_RULE - 1
MAX_WORK = 100_000
MAX_ENGINE_FACTS = 2_000


class OverloadError(Exception):
    """The facts would make more partial matches than the engine is trusted with."""


@dataclass(frozen=True)
class _Shape:
    """What the engine looks at in a pattern: its kind, constants by field, its text joins."""

    kind: str
    constants: tuple[tuple[str, tuple[Value, ...]], ...]
    joins: tuple[str, ...]

    def most(self, memory: Memory) -> int:
        """The most facts that can fit for any one way in which the patterns before fit."""
        found = memory.count(self.kind)
        for name, values in self.constants:
            if found:
                here = sum(memory.count(self.kind, (name, value)) for value in values)
                found = min(found, here)
        for name in self.joins:
            if found:
                found = min(found, memory.largest(self.kind, name))
        return found


def _shape(pattern: Pattern, fields: Fields) -> _Shape:
    constants: list[tuple[str, tuple[Value, ...]]] = []
    joins = []
    for test in pattern.tests:
        if test.op not in ("is", "any"):
            continue
        if isinstance(test.value, tuple):
            constants.append((test.field, test.value))
            continue
        if not isinstance(test.value, Ref):
            constants.append((test.field, (test.value,)))
            continue
        known = fields.find(pattern.kind, test.field)
        if known is not None and known.type == "text":
            joins.append(test.field)
    return _Shape(pattern.kind, tuple(constants), tuple(joins))


class Guard:
    """The bound for the rules of one layer.

    Args:
        rules: the rules; those of a single pattern cannot run away and are not looked at.
        fields: the kinds of facts and their fields.
        gates: what each rule waits for; one that is not awake matches in no way at all.
    """

    def __init__(self, rules: Sequence[Rule], fields: Fields, gates: Gates) -> None:
        self._rules = rules
        self._fields = fields
        self._gates = gates
        self._shapes: dict[int, list[_Shape]] = {}

    def check(self, memory: Memory) -> None:
        """Refuse facts that would make too much work.

        Raises:
            OverloadError: they would.
        """
        if len(memory.facts) > MAX_ENGINE_FACTS:
            raise OverloadError("there are too many facts for the engine")
        counts: dict[_Shape, int] = {}
        total = 0
        for index in sorted(self._gates.awake(memory.facts)):
            rule = self._rules[index]
            if len(rule.when) < 2:
                continue
            work = 1
            for shape in self._shapes_of(index):
                if shape not in counts:
                    counts[shape] = shape.most(memory)
                work *= counts[shape]
                if not work:
                    break
                if work > MAX_WORK_OF_RULE:
                    raise OverloadError(f"rule {rule.id} matches in too many ways for the engine")
                total += work
        if total > MAX_WORK:
            raise OverloadError("the rules match in too many ways for the engine")

    def _shapes_of(self, index: int) -> list[_Shape]:
        found = self._shapes.get(index)
        if found is None:
            patterns = self._rules[index].when
            found = self._shapes[index] = [_shape(pattern, self._fields) for pattern in patterns]
        return found
