"""The rules in force: packs in order of precedence, overrides by id, layers, what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from stillroom.advice.fields import Fields
from stillroom.advice.gates import Gates, Places, places_of
from stillroom.advice.rule import Pack, Rule
from stillroom.advice.strata import Layers, circles, cycle_problems, layers, may_feed
from stillroom.advice.words import nearest
from stillroom.base.problem import Problem

if TYPE_CHECKING:
    from stillroom.advice.compile import Plan
    from stillroom.advice.engine import DurableEngine

BUILT_IN = "built-in"


@dataclass(frozen=True)
class Change:
    """A rule that a later pack switches off or takes the place of."""

    rule: str
    of: str
    by: str
    what: str


@dataclass
class RuleBook:
    """Packs put together.

    Args:
        packs: in order of precedence, built-in first.
        fields: the kinds of facts and their fields.
        rules: the rules in force.
        changes: what later packs did to earlier packs' rules.
        problems: what is wrong; a rule with a fault is not in force.
        layers: the rules in force by layer.
        mutual: pairs (rule, other) whose override does not count, as it leads back to the rule.
        engine: the engine, once it has been built.
        plan: the rules in the engine's form, where they were compiled before.
        cleared: whether the engine may run these packs; None when that is not known yet.
    """

    packs: tuple[Pack, ...]
    fields: Fields
    rules: tuple[Rule, ...] = ()
    changes: tuple[Change, ...] = ()
    problems: list[Problem] = field(default_factory=list)
    layers: Layers = field(default_factory=lambda: Layers(()))
    mutual: frozenset[tuple[str, str]] = frozenset()
    engine: DurableEngine | None = None
    plan: Plan | None = None
    cleared: bool | None = None

    @cached_property
    def by_id(self) -> dict[str, Rule]:
        """The rules in force by id."""
        return {rule.id: rule for rule in self.rules}

    @cached_property
    def gates(self) -> list[Gates]:
        """What the rules of each layer wait for in the plain chainer."""
        return [Gates(rules) for rules in self.layers.strata]

    @cached_property
    def places(self) -> Places:
        """The layer and the priority of each rule in force."""
        return places_of(self.layers.strata)

    @cached_property
    def files(self) -> dict[str, str]:
        """The file of each pack by its name."""
        return {pack.name: pack.file for pack in self.packs}

    @cached_property
    def origins(self) -> dict[str, str]:
        """The origin of each pack by its name."""
        return {pack.name: pack.origin for pack in self.packs}

    @property
    def foreign(self) -> bool:
        """Whether any pack is not one of the program's own."""
        return any(pack.origin != BUILT_IN for pack in self.packs)

    @cached_property
    def alone(self) -> RuleBook | None:
        """The built-in rules alone; None when there are no others, or none of these."""
        own = tuple(pack for pack in self.packs if pack.origin == BUILT_IN)
        if not own or not self.foreign:
            return None
        # Without rules of others in between, the layers stand as they are.
        levels = {r.id: n for n, rules in enumerate(self.layers.strata) for r in rules
                  if self.origins.get(r.pack) == BUILT_IN}  # fmt: skip
        return put_together(own, self.fields, levels=None if self.mutual else levels)

    @cached_property
    def floor(self) -> RuleBook | None:
        """The built-in rules alone, where the packs together could take a ``stop`` away.

        That is so when a later pack switches off or replaces a built-in rule, or derives a fact
        that an exception of a built-in rule looks for. None when stops are safe as they are.
        """
        own = tuple(pack for pack in self.packs if pack.origin == BUILT_IN)
        if not self.foreign or not own:
            return None
        touched = any(self.origins.get(change.of) == BUILT_IN for change in self.changes)
        return self.alone if touched or self._shades(own) else None

    def _shades(self, own: Iterable[Pack]) -> bool:
        exceptions = [p for pack in own for rule in pack.rules for p in rule.unless]
        return any(
            may_feed(template, pattern)
            for rule in self.rules
            if self.origins.get(rule.pack) != BUILT_IN
            for template in rule.derive
            for pattern in exceptions
        )


def _place(pack: Pack, part: str) -> tuple[int, int]:
    return pack.places.get(part, (0, 0))


class _Shelf:
    """Puts packs on top of each other."""

    def __init__(self) -> None:
        self.rules: dict[str, Rule] = {}
        self.owner: dict[str, Pack] = {}
        self.changes: list[Change] = []
        self.problems: list[Problem] = []

    def fault(self, pack: Pack, place: tuple[int, int], name: str, text: str, remedy: str) -> None:
        self.problems.append(Problem(pack.file, *place, name, text, remedy))

    def _earlier(self, pack: Pack, key: str, index: int, rid: str) -> bool:
        """Whether an id in ``switch_off`` or ``replace`` may be touched."""
        place = _place(pack, f"{key}.{index}")
        if rid not in self.rules:
            self.fault(pack, place, "unknown-rule", f"No earlier pack has a rule {rid!r}.",
                       nearest(rid, self.rules))  # fmt: skip
            return False
        if self.rules[rid].stops:
            self.fault(pack, place, "stop-stays",
                       f"{rid!r} stops something dangerous and cannot be changed by a pack.",
                       "Add a rule of your own beside it.")  # fmt: skip
            return False
        return True

    def _drop(self, pack: Pack, rid: str, what: str) -> None:
        self.changes.append(Change(rid, self.rules[rid].pack, pack.name, what))
        del self.rules[rid]

    def put(self, pack: Pack) -> None:
        for index, rid in enumerate(pack.switch_off):
            if self._earlier(pack, "switch_off", index, rid):
                self._drop(pack, rid, "switched off")
        own = {rule.id for rule in pack.rules}
        for index, rid in enumerate(pack.replace):
            if rid not in own:
                self.fault(pack, _place(pack, f"replace.{index}"), "no-replacement",
                           f"The pack has no rule {rid!r} to put in its place.",
                           "Write the rule, or use switch_off.")  # fmt: skip
            elif self._earlier(pack, "replace", index, rid):
                self._drop(pack, rid, "replaced")
        for rule in pack.rules:
            other = self.rules.get(rule.id)
            if other is not None:
                self.fault(pack, rule.place("id"), "id-taken",
                           f"The id {rule.id!r} belongs to pack {other.pack!r}.",
                           f"Choose another, or write replace: [{rule.id}].")  # fmt: skip
            elif rule.status == "live":
                self.rules[rule.id] = rule


def put_together(
    packs: Sequence[Pack],
    fields: Fields,
    problems: Iterable[Problem] = (),
    *,
    levels: Mapping[str, int] | None = None,
) -> RuleBook:
    """The rules in force when these packs are used together, earlier ones first.

    Args:
        packs: in order of precedence; a later pack may switch off or replace earlier rules.
        fields: the kinds of facts and their fields.
        problems: what was wrong with reading the packs.
        levels: the layer of each rule in force, where it was worked out before and no fault found.
    """
    shelf = _Shelf()
    names: set[str] = set()
    kept = []
    for pack in packs:
        if pack.name in names:
            shelf.fault(pack, _place(pack, ""), "pack-twice",
                        f"A pack called {pack.name!r} is loaded already.",
                        "Give this one another name.")  # fmt: skip
            continue
        names.add(pack.name)
        kept.append(pack)
        fields = fields.with_values("finding", "is", pack.findings)
        shelf.put(pack)
    book = RuleBook(tuple(kept), fields, tuple(shelf.rules.values()), tuple(shelf.changes))
    book.problems = [*problems, *shelf.problems]
    if levels is None or set(levels) != set(book.by_id):
        _layer(book)
        _overrides(book)
        return book
    strata: list[list[Rule]] = [[] for _ in range(max(levels.values(), default=-1) + 1)]
    for rule in book.rules:
        strata[levels[rule.id]].append(rule)
    book.layers = Layers(tuple(map(tuple, strata)))
    return book


def _layer(book: RuleBook) -> None:
    """Set the layers; where a circle holds rules of other packs, those alone are left out."""
    rules = book.rules
    cycles: list[tuple[Rule, ...]] = []
    while True:
        found = layers(rules)
        fresh = [cycle for cycle in found.cycles if cycle not in cycles]
        book.problems += cycle_problems(Layers((), tuple(fresh)), book.files)
        cycles += fresh
        in_circle = [rule for cycle in found.cycles for rule in cycle]
        guilty = {r.id for r in in_circle if book.origins.get(r.pack) != BUILT_IN}
        if not guilty or len(guilty) == len(in_circle):
            book.layers = Layers(found.strata, tuple(cycles))
            return
        rules = tuple(rule for rule in rules if rule.id not in guilty)


def _overrides(book: RuleBook) -> None:
    """Find rules that override each other; between them no override counts."""
    number = {rule.id: index for index, rule in enumerate(book.rules)}
    graph = [{number[o] for o in rule.overrides if o in number} for rule in book.rules]
    mutual: set[tuple[str, str]] = set()
    for circle in circles(graph):
        members = [book.rules[index] for index in sorted(circle)]
        names = {rule.id for rule in members}
        mutual |= {(rule.id, other) for rule in members for other in rule.overrides
                   if other in names}  # fmt: skip
        first = members[0]
        where = next(i for i, other in enumerate(first.overrides) if other in names)
        book.problems.append(
            Problem(
                book.files[first.pack], *first.place(f"overrides.{where}"), "override-cycle",
                f"{' and '.join(rule.id for rule in members[:6])} override each other."
                if len(members) > 1 else f"{first.id} overrides itself.",
                "Keep the one whose ruling should stand.",
            )
        )  # fmt: skip
    book.mutual = frozenset(mutual)
