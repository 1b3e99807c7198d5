"""The durable-rules engine; the only module that imports it.

It is used inside the narrow subset that was measured to be exact: no background threads, positive
patterns, text joins, actions that only record, one short session, explicit ids, a first rule in
every ruleset that always fires (a session in which nothing fired must not be deleted).
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from stillroom.advice.chain import Memory, Outcome, finish
from stillroom.advice.compile import (
    MAX_PER_KIND,
    Shard,
    engine_fact,
    gates,
    passes,
    shards,
    used_fields,
)
from stillroom.advice.fields import Fields
from stillroom.advice.match import fits
from stillroom.advice.rule import Ref, Rule
from stillroom.base.fact import Fact

_SESSION = "q"
MAX_WORK = 20_000
MAX_ENGINE_FACTS = 2_000
Recorded = tuple[int, dict[str, str]]


class EngineError(Exception):
    """The engine failed or refused; the plain chainer must answer."""


def available() -> bool:
    """Whether the extension is there."""
    try:
        from durable import engine  # noqa: F401  # only whether it can be imported
    except (ImportError, OSError):
        return False
    return True


def _boot(_context: Any) -> None:
    """Fires once in each session; does nothing."""


def _recorder(index: int, hits: list[Recorded]) -> Callable[[Any], None]:
    def record(context: Any) -> None:
        hits.append((index, {alias: fact["id"] for alias, fact in context._m.items()}))

    return record


class _Ruleset:
    """One ruleset: its engine rules, its kinds, and its name in the host."""

    def __init__(self, name: str, shard: Shard, hits: list[Recorded], first: int) -> None:
        self.name = name
        self.gates = gates(shard)
        self.definition: dict[str, Any] = {
            "boot": {"all": [{"m": {"$and": [{"kind": "boot"}]}}], "run": _boot}
        }
        for offset, variant in enumerate(shard.variants):
            index = first + offset
            self.definition[f"r{index}"] = {
                "all": list(variant.patterns),
                "run": _recorder(index, hits),
            }


class DurableEngine:
    """Rules compiled once; ``run`` may be called again and again, from one thread at a time."""

    def __init__(self, strata: Sequence[Sequence[Rule]], fields: Fields) -> None:
        from durable import engine

        class QuietHost(engine.Host):  # type: ignore[misc]  # the package has no types
            def _run(self) -> None:
                """Start no timer threads."""

        self._strata = strata
        self._fields = fields
        self._hits: list[Recorded] = []
        self._rules: list[Rule] = []
        self._layers: list[list[_Ruleset]] = []
        self._lock = threading.Lock()
        self._used = used_fields([rule for rules in strata for rule in rules])
        self._unmatched = engine.MessageNotHandledException
        self._errors = (engine.durable_rules_engine.error, MemoryError,
                        engine.MessageObservedException)  # fmt: skip
        for rules in strata:
            self._layers.append([self._ruleset(shard) for shard in shards(rules, fields)])
        defined = {item.name: item.definition for layer in self._layers for item in layer}
        try:
            self._host = QuietHost(defined)
        except self._errors as error:
            raise EngineError(f"the rules did not compile: {error}") from error

    def _ruleset(self, shard: Shard) -> _Ruleset:
        if max(shard.kinds.values(), default=0) > MAX_PER_KIND:
            raise EngineError("a ruleset holds too many patterns of one kind")
        made = _Ruleset(f"s{len(self._rules)}", shard, self._hits, len(self._rules))
        self._rules += [variant.rule for variant in shard.variants]
        return made

    def run(self, facts: Iterable[Fact]) -> Outcome:
        """Every firing of the rules on the facts.

        Raises:
            EngineError: the engine failed, or the note would make too many matches for it.
        """
        memory = Memory(facts, self._fields)
        with self._lock:
            for rules, layer in zip(self._strata, self._layers, strict=True):
                self._check_work(rules, memory)
                self._run_layer(rules, layer, memory)
        return finish(memory, self._strata, "durable")

    @staticmethod
    def _check_work(rules: Sequence[Rule], memory: Memory) -> None:
        """Refuse a layer that would make the engine join too much: it cannot be interrupted."""
        if len(memory.facts) > MAX_ENGINE_FACTS:
            raise EngineError("too many facts")
        for rule in rules:
            work = 1
            for pattern in rule.when:
                work *= max(1, len(memory.candidates(pattern, {})))
                if any(isinstance(test.value, Ref) for test in pattern.tests):
                    work = min(work, MAX_WORK)
            if work > MAX_WORK:
                raise EngineError(f"rule {rule.id} matches in too many ways")

    def _run_layer(self, rules: Sequence[Rule], layer: list[_Ruleset], memory: Memory) -> None:
        live: list[_Ruleset] = []
        try:
            done = 0
            while done < len(memory.facts):
                shown = engine_fact(memory.facts[done], done, self._used)
                kind = str(shown["kind"])
                for item in layer:
                    if kind not in item.gates or not passes(item.gates[kind], shown):
                        continue
                    if item not in live:
                        self._assert(item, {"kind": "boot", "id": "boot", "sid": _SESSION})
                        live.append(item)
                    self._assert(item, shown)
                self._drain(memory)
                done += 1
            self._check_state(live)
        finally:
            self._hits.clear()
            for item in live:
                self._host.delete_state(item.name, _SESSION)

    def _assert(self, item: _Ruleset, fact: dict[str, Any]) -> None:
        try:
            answer = self._host.assert_fact(item.name, fact)
        except self._unmatched:
            return
        except self._errors as error:
            raise EngineError(f"the engine refused a fact: {error}") from error
        if answer == 0 and answer is not None:
            raise EngineError("a session of the engine is blocked")

    def _drain(self, memory: Memory) -> None:
        for index, ids in self._hits:
            rule = self._rules[index]
            facts = tuple(
                memory.facts[int(ids[f"a{place}"][1:])] for place in range(len(rule.when))
            )
            bound: dict[str, Fact] = {}
            for pattern, fact in zip(rule.when, facts, strict=True):
                if not fits(pattern, fact, bound):
                    break
                bound[pattern.alias] = fact
            else:
                memory.fire(rule, facts)
        self._hits.clear()

    def _check_state(self, live: list[_Ruleset]) -> None:
        for item in live:
            if "exception" in self._host.get_state(item.name, _SESSION):
                raise EngineError("an action of the engine failed")
