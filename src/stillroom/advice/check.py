"""Everything that can be found wrong with packs before anyone meets it in the kitchen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations
from pathlib import Path

from stillroom.advice.advise import advise
from stillroom.advice.book import BUILT_IN, RuleBook, put_together
from stillroom.advice.checkrule import column, fault, rule_faults
from stillroom.advice.compile import plan
from stillroom.advice.engine import available
from stillroom.advice.fields import load_fields
from stillroom.advice.packs import load_book, load_files, pack_files
from stillroom.advice.rule import Case, Ref, Rule
from stillroom.base.fact import Advice, Fact, Ruling
from stillroom.base.paths import rules_dir
from stillroom.base.problem import Problem

MUTE = ("contradiction", "never-fires")  # of a rule that cannot fire, examples tell nothing more
FactsOf = Callable[[str], Sequence[Fact]]


def known_sources() -> set[str]:
    """The ids of knowledge/sources.csv."""
    return set(column("sources.csv", "id"))


def rules_check(
    paths: Sequence[Path] = (), facts_of: FactsOf | None = None, *, sources: set[str] | None = None
) -> list[Problem]:
    """All problems of packs; those of the built-in ones when no path is given.

    Args:
        paths: files or folders of packs; they are checked on top of the built-in packs.
        facts_of: a note to its facts; without it the example notes are not run.
        sources: ids that ``sources`` may name; None for knowledge/sources.csv.
    """
    book = _book(paths)
    mine = {p.name for p in book.packs if not paths or p.origin != BUILT_IN}
    known = (known_sources() if sources is None else sources) | {
        name for pack in book.packs for name in pack.sources
    }
    found = [p for p in book.problems if not paths or Path(p.file).parent != rules_dir()]
    found += _canary(book)
    trials = _Trials(book, facts_of)
    in_cycle = {rule.id for cycle in book.layers.cycles for rule in cycle}
    for rule in book.rules:
        if rule.pack in mine:
            faults = list(rule_faults(rule, book, known))
            found += faults
            if rule.id not in in_cycle and not any(f.name in MUTE for f in faults):
                found += trials.faults(rule)
    return sorted(set(found))


def _book(paths: Sequence[Path]) -> RuleBook:
    base = load_book(built_in=rules_dir(), installed=False, remember=False)
    if not paths:
        return base
    fields = load_fields()
    files = [("given", file) for path in paths for file in pack_files(path)]
    packs, problems = load_files(files, fields)
    return put_together(
        [*base.packs, *(pack for _, pack in packs)], fields, [*base.problems, *problems]
    )


def _canary(book: RuleBook) -> Iterator[Problem]:
    """Whether the engine survives the packs; tried now, in a child process."""
    if not (book.foreign and available()):
        return
    from stillroom.advice.canary import prove, verdict

    book.plan = book.plan or plan(book.layers.strata, book.fields)
    found = verdict(book.plan)
    if found is None:
        found = prove(book.plan)
    book.cleared = not found
    if found:
        files = sorted(pack.file for pack in book.packs if pack.origin != BUILT_IN)
        yield Problem(files[0], 0, 0, "engine", f"These packs cannot go to the engine: {found}.",
                      "The plain chainer answers instead; make the rules simpler.")  # fmt: skip


def _case_facts(case: Case) -> list[Fact]:
    return [Fact(t.kind, {n: v for n, v in t.slots if not isinstance(v, Ref)}) for t in case.facts]


class _Trials:
    """Runs examples, each note once however many rules name it."""

    def __init__(self, book: RuleBook, facts_of: FactsOf | None) -> None:
        self._book = book
        self._facts_of = facts_of
        self._known: dict[str, Advice] = {}

    def _advice(self, note: str) -> Advice:
        found = self._known.get(note)
        if found is None and self._facts_of is not None:
            found = self._known[note] = self._run(self._facts_of(note))
        return found or Advice()

    def _run(self, facts: Sequence[Fact]) -> Advice:
        """By the plain chainer, whose firings are those of the engine, at less cost here."""
        return advise(facts, self._book, engine="plain")

    def faults(self, rule: Rule) -> Iterator[Problem]:
        """What is wrong with the examples of a rule."""
        proofs = rule.proofs
        for have, what in (
            (proofs.fires or proofs.fires_facts, "fires"),
            (proofs.silent or proofs.silent_facts, "silent"),
        ):
            if not have:
                yield fault(rule, self._book, "", "no-example",
                            (f"it has no example under {what!r}.",
                             f'examples: {{{what}: ["a note"]}}'))  # fmt: skip
        for what, cases in (("fires", proofs.fires_facts), ("silent", proofs.silent_facts)):
            for case in cases:
                made = self._run(_case_facts(case))
                yield from self._judge(rule, f"cases.{what}", made, "a case")
        for what, notes in (("fires", proofs.fires), ("silent", proofs.silent)):
            for index, note in enumerate(notes if self._facts_of is not None else ()):
                part = f"examples.{what}.{index}"
                yield from self._judge(rule, part, self._advice(note), repr(note[:80]))

    def _judge(self, rule: Rule, part: str, made: Advice, shown: str) -> Iterator[Problem]:
        wanted = part.split(".")[1] == "fires"
        if any(firing.rule == rule.id for firing in made.firings) is not wanted:
            text = f"it {'stays silent on' if wanted else 'fires on'} {shown}."
            yield fault(
                rule, self._book, part, "example", (text, "Correct the rule or the example.")
            )
        elif wanted and rule.advise is not None:
            yield from self._disagree(rule, made)

    def _disagree(self, rule: Rule, made: Advice) -> Iterator[Problem]:
        given = [ruling for ruling in made.rulings if ruling.value is not None]
        for one, two in combinations(given, 2):
            if (one.topic, one.batch) != (two.topic, two.batch) or one.value == two.value:
                continue
            if rule.id in (one.rule, two.rule):
                mine, other = _sides(rule, one, two)
                yield fault(rule, self._book, "advise", "two-values",
                            (f"it says {mine.value!r} where {other.rule} says {other.value!r} on "
                             f"{mine.topic!r}.",
                             "One of them needs: overrides: [the other's id]"))  # fmt: skip


def _sides(rule: Rule, one: Ruling, two: Ruling) -> tuple[Ruling, Ruling]:
    return (one, two) if one.rule == rule.id else (two, one)
