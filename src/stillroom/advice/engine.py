"""The durable-rules engine; the only module that imports it.

It is used inside the narrow subset that was measured to be exact: no background threads, positive
patterns, text joins, actions that only record, one short session, explicit ids, a first rule in
every ruleset that always fires (a session in which nothing fired must not be deleted). A ruleset
is compiled when facts have come for every pattern of one of its rules, and is then told all facts
so far; which rules fire does not depend on the order of facts.
"""

from __future__ import annotations

import json
import threading
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from stillroom.advice.chain import Memory, Outcome, finish
from stillroom.advice.compile import Plan, Ruleset, Token, engine_fact, plan
from stillroom.advice.fields import Fields
from stillroom.advice.gates import Gates, places_of
from stillroom.advice.guard import Guard, OverloadError
from stillroom.advice.match import fits
from stillroom.advice.rule import Rule
from stillroom.base.fact import Fact, Value

_SESSION = "q"
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


def definition(made: Ruleset, hits: list[Recorded]) -> dict[str, Any]:
    """A ruleset in the JSON form that the engine compiles."""
    rules: dict[str, Any] = {
        "boot": {"all": [{"m": {"$and": [{"kind": "boot"}]}}], "run": _boot}
    }  # fmt: skip
    for place, (index, patterns) in enumerate(zip(made.rules, json.loads(made.body), strict=True)):
        rules[f"r{place}"] = {"all": patterns, "run": _recorder(index, hits)}
    return rules


def _tokens(fact: dict[str, Value]) -> list[Token]:
    kind = str(fact["kind"])
    return [(kind, "", ""), *((kind, name, value) for name, value in fact.items())]


class _Layer:
    """The rulesets of one layer, and which of them wait for what."""

    def __init__(self, rulesets: list[Ruleset], guard: Guard, number: int) -> None:
        self.rulesets = rulesets
        self.guard = guard
        self.names = [f"l{number}s{place}" for place in range(len(rulesets))]
        self.gates = [
            frozenset(token for row in item.needs for token in row) for item in rulesets
        ]  # fmt: skip
        self.rows = [
            (place, row) for place, item in enumerate(rulesets) for row in item.needs
        ]  # fmt: skip
        self.waiting: dict[Token, list[int]] = defaultdict(list)
        for index, (_, row) in enumerate(self.rows):
            for token in row:
                self.waiting[token].append(index)


class _Session:
    """One layer at work on one memory."""

    def __init__(self, layer: _Layer) -> None:
        self.layer = layer
        self.facts: list[tuple[dict[str, Value], list[Token]]] = []
        self.seen: set[Token] = set()
        self.missing = [len(row) for _, row in layer.rows]
        self.live: list[int] = []

    def show(self, fact: dict[str, Value]) -> list[int]:
        """Note a fact; the rulesets that wake up by it."""
        marks = [token for token in _tokens(fact) if token in self.layer.waiting]
        self.facts.append((fact, marks))
        woken: list[int] = []
        for token in marks:
            if token in self.seen:
                continue
            self.seen.add(token)
            for index in self.layer.waiting[token]:
                self.missing[index] -= 1
                place = self.layer.rows[index][0]
                if not self.missing[index] and place not in self.live and place not in woken:
                    woken.append(place)
        return woken

    def concerned(self, place: int, marks: list[Token]) -> bool:
        """Whether a fact can match any pattern of a ruleset."""
        return not self.layer.gates[place].isdisjoint(marks)


class _Host:
    """The engine without its threads; what it refuses becomes an EngineError."""

    def __init__(self) -> None:
        from durable import engine

        class QuietHost(engine.Host):  # type: ignore[misc]  # the package has no types
            def _run(self) -> None:
                """Start no timer threads."""

        self._host = QuietHost()
        self._unmatched = engine.MessageNotHandledException
        self._errors = (engine.durable_rules_engine.error, MemoryError,
                        engine.MessageObservedException)  # fmt: skip
        self._compiled: set[str] = set()

    def begin(self, name: str, made: Ruleset, hits: list[Recorded]) -> None:
        """Compile a ruleset the first time, and open its session."""
        if name not in self._compiled:
            try:
                self._host.set_rulesets({name: definition(made, hits)})
            except self._errors as error:
                raise EngineError(f"the rules did not compile: {error}") from error
            self._compiled.add(name)
        self.tell(name, {"kind": "boot", "id": "boot", "sid": _SESSION})

    def tell(self, name: str, fact: dict[str, Any]) -> None:
        """Assert a fact; one that nothing matches is no matter."""
        try:
            answer = self._host.assert_fact(name, fact)
        except self._unmatched:
            return
        except self._errors as error:
            raise EngineError(f"the engine refused a fact: {error}") from error
        if answer == 0 and answer is not None:
            raise EngineError("a session of the engine is blocked")

    def check(self, name: str) -> None:
        """Raise what an action may have swallowed."""
        if "exception" in self._host.get_state(name, _SESSION):
            raise EngineError("an action of the engine failed")

    def end(self, name: str) -> None:
        """Close a session that was begun."""
        self._host.delete_state(name, _SESSION)


def rehearse(made: Plan, facts_of: Callable[[str], list[dict[str, Value]]]) -> int:
    """Compile every ruleset and tell it facts; for the canary's child process.

    Args:
        made: the rules in the engine's form.
        facts_of: facts for a ruleset, from its body.

    Returns:
        How many hits there were.

    Raises:
        EngineError: the engine refused something.
    """
    hits: list[Recorded] = []
    host = _Host()
    for number, layer in enumerate(made.layers):
        for place, ruleset in enumerate(layer):
            name = f"l{number}s{place}"
            host.begin(name, ruleset, hits)
            for fact in facts_of(ruleset.body):
                host.tell(name, fact)
            host.check(name)
            host.end(name)
    return len(hits)


class DurableEngine:
    """Rules compiled once; ``run`` may be called again and again, from one thread at a time.

    Args:
        strata: rules by layer.
        fields: the kinds of facts and their fields.
        made: the rules in the engine's form, where they were compiled before.
        gates: what the rules of each layer wait for, likewise.
    """

    def __init__(
        self,
        strata: Sequence[Sequence[Rule]],
        fields: Fields,
        made: Plan | None = None,
        gates: Sequence[Gates] | None = None,
    ) -> None:
        self._places = places_of(strata)
        self._fields = fields
        self._hits: list[Recorded] = []
        self._rules = [rule for rules in strata for rule in rules]
        self._lock = threading.Lock()
        self._plan = made or plan(strata, fields)
        self._layers = [
            _Layer(rulesets, Guard(rules, fields, gate), number)
            for number, (rulesets, rules, gate) in enumerate(
                zip(self._plan.layers, strata, gates or map(Gates, strata), strict=True)
            )
        ]
        self._host = _Host()

    def run(self, facts: Iterable[Fact]) -> Outcome:
        """Every firing of the rules on the facts.

        Raises:
            EngineError: the engine failed, or the note would make too many matches for it.
        """
        memory = Memory(facts, self._fields)
        with self._lock:
            for layer in self._layers:
                self._run_layer(layer, memory)
        return finish(memory, self._places, "durable")

    def _run_layer(self, layer: _Layer, memory: Memory) -> None:
        session = _Session(layer)
        done = checked = 0
        try:
            while done < len(memory.facts):
                if not checked or len(memory.facts) > checked + max(4, checked // 4):
                    checked = len(memory.facts)
                    layer.guard.check(memory)
                self._show(session, memory.facts[done], done)
                self._drain(memory)
                done += 1
            for place in session.live:
                self._host.check(layer.names[place])
        except OverloadError as error:
            raise EngineError(str(error)) from error
        finally:
            self._hits.clear()
            for place in session.live:
                self._host.end(layer.names[place])

    def _show(self, session: _Session, fact: Fact, number: int) -> None:
        woken = session.show(engine_fact(fact, number, self._plan))
        shown, marks = session.facts[-1]
        for place in session.live:
            if session.concerned(place, marks):
                self._host.tell(session.layer.names[place], shown)
        for place in woken:
            name = session.layer.names[place]
            self._host.begin(name, session.layer.rulesets[place], self._hits)
            session.live.append(place)
            for earlier, known in session.facts:
                if session.concerned(place, known):
                    self._host.tell(name, earlier)

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
