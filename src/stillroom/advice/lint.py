"""What the engine is given, held against what it was measured to do exactly.

The compiler keeps to this subset by its making; this looks at the outcome, so that a slip in the
compiler or an odd pack ends in the plain chainer and never in the C code.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import Any

from stillroom.advice.compile import MAX_PER_KIND, Plan

MAX_PATTERNS = 16
MAX_RULES = 4_000
MAX_TESTS_OF_FIELD = 400
MAX_JOINS = 20
MAX_BYTES = 4_096
_NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
_OPERATORS = frozenset(("$lt", "$lte", "$gt", "$gte", "$neq", "$ex"))
_KEPT = frozenset(("id", "sid", "exception", "items"))


def name_hash(name: str) -> int:
    """The engine's 32-bit name for a property (FNV-1a).

    >>> [hex(name_hash(text)) for text in ("a", "foobar")]  # the algorithm's own test values
    ['0xe40c292c', '0xbf9cf968']
    """
    found = 0x811C9DC5
    for byte in name.encode():
        found = ((found ^ byte) * 16777619) & 0xFFFFFFFF
    return found


def constant_ok(value: object) -> bool:
    """Whether the engine compares a constant exactly.

    >>> [constant_ok(v) for v in (True, "plum", 2.5, 0.0, 1e-5, float("nan"), None)]
    [True, True, True, True, False, False, False]
    """
    if isinstance(value, bool):
        return True
    if isinstance(value, str):
        return len(value.encode("utf-8", "surrogatepass")) <= MAX_BYTES
    if not isinstance(value, int | float):
        return False
    return math.isfinite(value) and (value == 0 or 1e-4 <= abs(value) < 1e16)


def _test(test: dict[str, Any], seen: list[str]) -> Iterator[str]:
    """What is wrong with one test; a join is told by its mapping."""
    ((first, value),) = test.items()
    name = first
    if first.startswith("$"):
        if first not in _OPERATORS:
            yield f"operator {first}"
            return
        ((name, value),) = value.items()
    if not _NAME.fullmatch(name) or name in _KEPT:
        yield f"property {name!r}"
    if not isinstance(value, dict):
        if not constant_ok(value):
            yield f"constant {value!r}"
        return
    ((alias, other),) = value.items()
    if first.startswith("$") or alias not in seen or not _NAME.fullmatch(other) or other in _KEPT:
        yield f"join {test!r}"


def _pattern(body: Any, seen: list[str]) -> Iterator[str]:
    tests = body.get("$and") if isinstance(body, dict) and set(body) == {"$and"} else None
    if not tests or not isinstance(tests[0].get("kind"), str):
        yield "a pattern that does not begin with its kind"
        return
    joins = 0
    for test in tests[1:]:
        yield from _test(test, seen)
        ((name, value),) = test.items()
        if isinstance(value, dict) and not name.startswith("$"):
            joins += 1
        elif joins:
            yield f"the constant test {test!r} after a join"
    if joins > MAX_JOINS:
        yield f"{joins} joins"


def _rule(patterns: list[dict[str, Any]]) -> Iterator[str]:
    if not 1 <= len(patterns) <= MAX_PATTERNS:
        yield f"{len(patterns)} patterns"
    seen: list[str] = []
    for pattern in patterns:
        ((alias, body),) = pattern.items()
        if not _NAME.fullmatch(alias) or alias in seen:
            yield f"alias {alias!r}"
        yield from _pattern(body, seen)
        seen.append(alias)


def _names(patterns: list[dict[str, Any]]) -> Iterator[str]:
    """Every alias and property that the engine knows by its hash."""
    for pattern in patterns:
        ((alias, body),) = pattern.items()
        yield alias
        for test in body["$and"]:
            ((name, value),) = test.items()
            yield next(iter(value)) if name.startswith("$") else name


def _sizes(rules: list[list[dict[str, Any]]]) -> Iterator[str]:
    """Limits of a whole ruleset."""
    per_kind: Counter[str] = Counter()
    tests: dict[tuple[str, str], set[str]] = defaultdict(set)
    for patterns in rules:
        for pattern in patterns:
            ((_, body),) = pattern.items()
            kind = body["$and"][0]["kind"]
            per_kind[kind] += 1
            for test in body["$and"][1:]:
                ((name, value),) = test.items()
                tests[kind, next(iter(value)) if name.startswith("$") else name].add(repr(test))
    if len(rules) > MAX_RULES:
        yield f"{len(rules)} rules"
    yield from (f"{n} patterns of kind {k!r}" for k, n in per_kind.items() if n > MAX_PER_KIND)
    yield from (
        f"{len(found)} tests of {key}" for key, found in tests.items()
        if len(found) > MAX_TESTS_OF_FIELD
    )  # fmt: skip


def lint(made: Plan) -> list[str]:
    """Everything in a plan that the engine must not get; empty when it is safe."""
    found: list[str] = []
    names: dict[int, str] = {}
    for layer in made.layers:
        for ruleset in layer:
            rules = json.loads(ruleset.body)
            faults = [fault for patterns in rules for fault in _rule(patterns)]
            found += faults
            if faults:
                continue
            found += _sizes(rules)
            for patterns in rules:
                for name in _names(patterns):
                    if names.setdefault(name_hash(name), name) != name:
                        found.append(f"names {name!r} and {names[name_hash(name)]!r} clash")
    return found
