"""A bound on the engine's work, because its C code cannot be interrupted.

The engine keeps every partial match of a rule: all ways in which facts fit its first pattern, its
first two, and so on. Their number is bounded from the facts before the engine sees them; beyond
the bound the plain chainer, which counts its steps, answers instead.
"""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.advice.chain import MAX_FIRINGS_OF_RULE, Memory
from stillroom.advice.rule import Pattern, Ref, Rule

MAX_WORK_OF_RULE = MAX_FIRINGS_OF_RULE - 1
MAX_WORK = 100_000
MAX_ENGINE_FACTS = 2_000


class OverloadError(Exception):
    """The facts would make more partial matches than the engine is trusted with."""


def most(pattern: Pattern, memory: Memory) -> int:
    """The most facts that can fit a pattern for any one way in which those before it fit."""
    found = len(memory.candidates(pattern, {}))
    for test in pattern.tests:
        if isinstance(test.value, Ref) and test.op == "is":
            known = memory.fields.find(pattern.kind, test.field)
            if known is not None and known.type == "text":
                found = min(found, memory.largest(pattern.kind, test.field))
    return found


class Guard:
    """The bound for the rules of one layer.

    Args:
        rules: the rules; those of a single pattern cannot run away and are not looked at.
    """

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._rules = [rule for rule in rules if len(rule.when) > 1]

    def check(self, memory: Memory) -> None:
        """Refuse facts that would make too much work.

        Raises:
            OverloadError: they would.
        """
        if len(memory.facts) > MAX_ENGINE_FACTS:
            raise OverloadError("there are too many facts for the engine")
        total = 0
        known: dict[Pattern, int] = {}
        for rule in self._rules:
            work = 1
            for pattern in rule.when:
                here = known.get(pattern)
                if here is None:
                    here = known[pattern] = most(pattern, memory)
                if not here:
                    break
                work *= here
                if work > MAX_WORK_OF_RULE:
                    raise OverloadError(f"rule {rule.id} matches in too many ways for the engine")
                total += work
        if total > MAX_WORK:
            raise OverloadError("the rules match in too many ways for the engine")
