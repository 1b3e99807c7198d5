"""What a condition means: the one place where a test is tried on a fact.

The naive chainer, the guards after an engine hit and the exceptions all ask here.
"""

from __future__ import annotations

from collections.abc import Mapping

from stillroom.advice.rule import Check, Pattern, Ref
from stillroom.base.fact import Fact, Value

Bound = Mapping[str, Fact]


def same(one: Value, other: Value) -> bool:
    """Equality that keeps types apart, except whole and decimal numbers.

    >>> same(1, 1.0), same(1, True), same("1", 1)
    (True, False, False)
    """
    if isinstance(one, bool) is not isinstance(other, bool):
        return False
    return one == other


def _compare(op: str, value: Value, wanted: Value) -> bool:
    if isinstance(value, str | bool) or isinstance(wanted, str | bool):
        return False
    if op == "above":
        return value > wanted
    if op == "below":
        return value < wanted
    return value >= wanted if op == "at_least" else value <= wanted


def holds(test: Check, fact: Fact, bound: Bound) -> bool:
    """Whether a test holds. A field that is not known fails every test but ``known: false``.

    Args:
        test: the condition.
        fact: the fact it is tried on.
        bound: the facts of the patterns before, by alias.
    """
    value = fact.slots.get(test.field)
    if test.op == "known":
        return (value is not None) is test.value
    if value is None:
        return False
    wanted = test.value
    if isinstance(wanted, tuple):
        found = any(same(value, item) for item in wanted)
        return found if test.op == "any" else not found
    if isinstance(wanted, Ref):
        other = bound[wanted.alias].slots.get(wanted.field)
        if other is None:
            return False
        wanted = other
    if test.op == "is":
        return same(value, wanted)
    if test.op == "not":
        return not same(value, wanted)
    return _compare(test.op, value, wanted)


def fits(pattern: Pattern, fact: Fact, bound: Bound) -> bool:
    """Whether a fact is of the pattern's kind and every test of it holds."""
    return fact.kind == pattern.kind and all(holds(test, fact, bound) for test in pattern.tests)
