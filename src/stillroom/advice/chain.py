"""The working memory, and the naive chainer: the meaning of rules in plain loops.

It is the oracle that the tests hold the engine against, the fall-back where the engine is not
there, and what runs when a note would make so many matches that only a counted loop is safe.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from stillroom.advice.fields import Fields
from stillroom.advice.gates import Gates, Places, Watch, bucket, places_of
from stillroom.advice.match import fits
from stillroom.advice.rule import Check, Pattern, Ref, Rule, Template
from stillroom.base.fact import Fact, Firing, Value
from stillroom.base.problem import Problem

MAX_FACTS = 20_000
MAX_FIRINGS_OF_RULE = 3_000
MAX_STEPS_OF_RULE = 300_000
MAX_STEPS_OF_PACK = 2_000_000
Hit = tuple[Rule, tuple[Fact, ...]]


@dataclass
class Outcome:
    """All firings and all facts, in an order that does not depend on the engine."""

    firings: tuple[Firing, ...] = ()
    facts: tuple[Fact, ...] = ()
    problems: list[Problem] = field(default_factory=list)
    engine: str = "plain"


class Memory:
    """The facts of one consultation, each once, with an index by field value."""

    def __init__(self, facts: Iterable[Fact], fields: Fields) -> None:
        self.fields = fields
        self.facts: list[Fact] = []
        self.hits: list[Hit] = []
        self.problems: list[Problem] = []
        self._number: dict[object, int] = {}
        self._places: dict[int, int] = {}  # by identity: memory keeps its facts alive
        self._kinds: dict[str, list[Fact]] = defaultdict(list)
        self._index: dict[tuple[str, str], dict[tuple[str, Value], list[Fact]]] = {}
        self._hit_keys: set[tuple[object, ...]] = set()
        self._full = False
        self.steps: Counter[str] = Counter()
        for fact in facts:
            self.add(fields.clean(fact))
        self.given = len(self.facts)

    def add(self, fact: Fact) -> Fact | None:
        """Keep a fact; None when it is known already or memory is full."""
        key = fact.key
        if key in self._number:
            return None
        if len(self.facts) >= MAX_FACTS:
            if not self._full:
                self.problems.append(
                    Problem(name="too-many-facts",
                            text=f"The rules lead to more than {MAX_FACTS:,} facts.",
                            remedy="Some were left out.")
                )  # fmt: skip
            self._full = True
            return None
        self._number[key] = self._places[id(fact)] = len(self.facts)
        self.facts.append(fact)
        self._kinds[fact.kind].append(fact)
        for name, value in fact.slots.items():
            index = self._index.get((fact.kind, name))
            if index is not None:
                index[bucket(value)].append(fact)
        return fact

    def number(self, fact: Fact) -> int:
        """The place in memory of one of its facts."""
        return self._places[id(fact)]

    def keys(self) -> list[object]:
        """The keys of all facts, in the order of memory."""
        return list(self._number)

    def kinds(self) -> set[str]:
        """The kinds that have at least one fact."""
        return set(self._kinds)

    def candidates(self, pattern: Pattern, bound: dict[str, Fact]) -> Sequence[Fact]:
        """The facts that may fit a pattern: those of its kind, narrowed by its best equality."""
        best: Sequence[Fact] = self._kinds.get(pattern.kind, ())
        for test in pattern.tests:
            if not best:
                break
            values = self._wanted(test, bound)
            if values is None:
                continue
            index = self._lookup(pattern.kind, test.field)
            rows = [row for value in values if (row := index.get(bucket(value)))]
            if sum(map(len, rows)) < len(best):
                best = rows[0] if len(rows) == 1 else [fact for row in rows for fact in row]
        return best

    @staticmethod
    def _wanted(test: Check, bound: dict[str, Fact]) -> tuple[Value, ...] | None:
        """The values one of which a test asks for; None when it asks for something else."""
        value = test.value
        if isinstance(value, tuple):
            return value if test.op == "any" else None
        if test.op != "is":
            return None
        if isinstance(value, Ref):
            if value.alias not in bound:
                return None
            other = bound[value.alias].slots.get(value.field)
            return () if other is None else (other,)
        return (value,)

    def count(self, kind: str, constant: tuple[str, Value] | None = None) -> int:
        """How many facts there are of a kind, with one field equal to a constant."""
        if constant is None:
            return len(self._kinds.get(kind, ()))
        return len(self._lookup(kind, constant[0]).get(bucket(constant[1]), ()))

    def largest(self, kind: str, name: str) -> int:
        """The most facts of a kind that share one value of a field."""
        return max(map(len, self._lookup(kind, name).values()), default=0)

    def _lookup(self, kind: str, name: str) -> dict[tuple[str, Value], list[Fact]]:
        found = self._index.get((kind, name))
        if found is None:
            found = defaultdict(list)
            for fact in self._kinds.get(kind, ()):
                value = fact.slots.get(name)
                if value is not None:
                    found[bucket(value)].append(fact)
            self._index[kind, name] = found
        return found

    def blocker(self, rule: Rule, bound: dict[str, Fact]) -> Fact | None:
        """A fact that one of the rule's exceptions matches."""
        for pattern in rule.unless:
            for fact in self.candidates(pattern, bound):
                if fits(pattern, fact, bound):
                    return fact
        return None

    def fire(self, rule: Rule, facts: tuple[Fact, ...]) -> list[Fact]:
        """Note that a rule holds on these facts, unless an exception does; the facts it adds."""
        key = (rule.id, *(self.number(fact) for fact in facts))
        if key in self._hit_keys:
            return []
        self._hit_keys.add(key)
        bound = {pattern.alias: fact for pattern, fact in zip(rule.when, facts, strict=True)}
        if rule.unless and self.blocker(rule, bound) is not None:
            return []
        self.hits.append((rule, facts))
        added = (self.add(derived(template, bound, self.fields)) for template in rule.derive)
        return [fact for fact in added if fact is not None]

    def overrun(self, rule: Rule) -> None:
        """Note that a rule makes too many matches to follow."""
        self.problems.append(
            Problem(name="too-many-matches",
                    text=f"Rule {rule.id} matches in too many ways; some are left out.",
                    remedy="Tie its patterns together with $alias.field.")
        )  # fmt: skip


def derived(template: Template, bound: dict[str, Fact], fields: Fields) -> Fact:
    """The fact that a template makes; a field whose reference is not known is left out."""
    slots: dict[str, Value] = {}
    for name, value in template.slots:
        got = bound[value.alias].slots.get(value.field) if isinstance(value, Ref) else value
        if got is not None and fields.fit(template.kind, name, got) is not None:
            slots[name] = got
    return Fact(template.kind, slots)


class _Counter:
    """Counts the steps of one rule and stops it when it runs away."""

    def __init__(self) -> None:
        self.steps = 0
        self.found = 0

    @property
    def spent(self) -> bool:
        return self.steps > MAX_STEPS_OF_RULE or self.found >= MAX_FIRINGS_OF_RULE


def matches(
    rule: Rule, memory: Memory, counter: _Counter, bound: dict[str, Fact] | None = None
) -> Iterator[tuple[Fact, ...]]:
    """Every way in which different facts fit the patterns of ``when``, one fact each."""
    bound = bound if bound is not None else {}
    depth = len(bound)
    if depth == len(rule.when):
        counter.found += 1
        yield tuple(bound[pattern.alias] for pattern in rule.when)
        return
    pattern = rule.when[depth]
    for fact in tuple(memory.candidates(pattern, bound)):
        counter.steps += 1
        if counter.spent:
            return
        if any(fact is other for other in bound.values()) or not fits(pattern, fact, bound):
            continue
        bound[pattern.alias] = fact
        yield from matches(rule, memory, counter, bound)
        del bound[pattern.alias]


def run_stratum(rules: Sequence[Rule], memory: Memory, gates: Gates) -> None:
    """Fire the rules of one layer until nothing new comes."""
    changed = memory.kinds()
    stopped: set[str] = set()
    watch = Watch(gates)
    shown = 0
    while changed:
        fresh: set[str] = set()
        shown, before = len(memory.facts), shown
        awake = watch.show(memory.facts[before:])
        for rule in [rules[index] for index in sorted(awake)]:
            if memory.steps[rule.pack] > MAX_STEPS_OF_PACK:
                continue  # one pack's runaway rules take no time from the others
            if rule.id in stopped or not any(p.kind in changed for p in rule.when):
                continue
            if not all(memory.candidates(pattern, {}) for pattern in rule.when):
                continue
            counter = _Counter()
            for facts in list(matches(rule, memory, counter)):
                fresh |= {fact.kind for fact in memory.fire(rule, facts)}
            memory.steps[rule.pack] += counter.steps
            if counter.spent or memory.steps[rule.pack] > MAX_STEPS_OF_PACK:
                stopped.add(rule.id)
                memory.overrun(rule)
        changed = fresh


def chain(
    strata: Sequence[Sequence[Rule]],
    facts: Iterable[Fact],
    fields: Fields,
    gates: Sequence[Gates] | None = None,
    places: Places | None = None,
) -> Outcome:
    """Every firing of the rules on the facts, layer by layer.

    Args:
        strata: rules by layer (see strata.py).
        facts: what is known at the start.
        fields: the kinds of facts and their fields; what they do not list is dropped.
        gates: what the rules of each layer wait for, where that was worked out before.
        places: the layer and priority of each rule, likewise.
    """
    memory = Memory(facts, fields)
    for rules, gate in zip(strata, gates or map(Gates, strata), strict=True):
        run_stratum(rules, memory, gate)
    return finish(memory, places or places_of(strata), "plain")


def finish(memory: Memory, place: Places, engine: str) -> Outcome:
    """Order the firings and give each derived fact the words and sources it rests on.

    Done after chaining, from sorted firings, so that the result is the same with every engine.
    """
    keys = memory.keys()
    found_by = [
        (rule, facts, [memory.number(fact) for fact in facts]) for rule, facts in memory.hits
    ]  # fmt: skip
    texts = {number: repr(keys[number]) for _, _, numbers in found_by for number in numbers}
    hits = sorted(
        found_by,
        key=lambda hit: (*place[hit[0].id], hit[0].id, [texts[number] for number in hit[2]]),
    )
    known: dict[object, Fact] = dict(zip(keys[: memory.given], memory.facts, strict=False))
    firings: dict[int, Firing] = {}
    waiting = list(enumerate(hits))
    while waiting:
        later = []
        for index, (rule, facts, numbers) in waiting:
            found = [known.get(keys[number]) for number in numbers]
            bound = [fact for fact in found if fact is not None]
            if len(bound) < len(facts):
                later.append((index, (rule, facts, numbers)))
            else:
                firings[index] = _firing(rule, bound, known, memory)
        if len(later) == len(waiting):
            break  # only after memory was full, when a derived fact was never kept
        waiting = later
    ordered = tuple(firings[index] for index in sorted(firings))
    return Outcome(ordered, tuple(known.values()), memory.problems, engine)


def _firing(rule: Rule, facts: list[Fact], known: dict[object, Fact], memory: Memory) -> Firing:
    bound = {pattern.alias: fact for pattern, fact in zip(rule.when, facts, strict=True)}
    words = tuple(dict.fromkeys(word for fact in facts for word in fact.words))
    made = []
    for template in rule.derive:
        bare = derived(template, bound, memory.fields)
        full = known.setdefault(bare.key, replace(bare, words=words, sources=rule.sources))
        made.append(full)
    return Firing(rule.id, rule.pack, tuple(bound.items()), tuple(made))
