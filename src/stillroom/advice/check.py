"""Everything that can be found wrong with packs before anyone meets it in the kitchen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from pathlib import Path

from stillroom.advice.book import BUILT_IN, RuleBook, put_together
from stillroom.advice.checkrule import column, fault, rule_faults
from stillroom.advice.compile import plan
from stillroom.advice.engine import available
from stillroom.advice.fields import load_fields
from stillroom.advice.packs import load_book, load_files, pack_files
from stillroom.advice.rule import Case, Ref, Rule
from stillroom.advice.trials import FactsOf, Progress, Trial, Tried, tried, try_notes
from stillroom.base.fact import Fact
from stillroom.base.paths import rules_dir
from stillroom.base.problem import Problem

MUTE = ("contradiction", "never-fires")  # of a rule that cannot fire, examples tell nothing more


def known_sources() -> set[str]:
    """The ids of knowledge/sources.csv."""
    return set(column("sources.csv", "id"))


def rules_check(
    paths: Sequence[Path] = (),
    facts_of: FactsOf | None = None,
    *,
    sources: set[str] | None = None,
    mark: str = "",
    progress: Progress | None = None,
) -> list[Problem]:
    """All problems of packs; those of the built-in ones when no path is given.

    Args:
        paths: files or folders of packs; they are checked on top of the built-in packs.
        facts_of: a note to its facts; without it the example notes are not run.
        sources: ids that ``sources`` may name; None for knowledge/sources.csv.
        mark: names all that ``facts_of`` rests on, so that its facts may be kept; empty: not kept.
        progress: told how many example notes are done, and of how many.
    """
    book = _book(paths)
    mine = {p.name for p in book.packs if not paths or p.origin != BUILT_IN}
    known = (known_sources() if sources is None else sources) | {
        name for pack in book.packs for name in pack.sources
    }
    found = [p for p in book.problems if not paths or Path(p.file).parent != rules_dir()]
    found += _canary(book)
    sound: list[Rule] = []
    in_cycle = {rule.id for cycle in book.layers.cycles for rule in cycle}
    for rule in book.rules:
        if rule.pack in mine:
            faults = list(rule_faults(rule, book, known))
            found += faults
            if rule.id not in in_cycle and not any(f.name in MUTE for f in faults):
                sound.append(rule)
    notes = [note for rule in sound for note in (*rule.proofs.fires, *rule.proofs.silent)]
    known_notes = try_notes(Trial(book, facts_of, mark), notes, progress) if facts_of else {}
    trials = _Trials(book, known_notes)
    found += [problem for rule in sound for problem in trials.faults(rule)]
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
    """Judges rules by what came of their examples."""

    def __init__(self, book: RuleBook, known: Mapping[str, Tried]) -> None:
        self._book = book
        self._known = known

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
                made = tried(self._book, _case_facts(case))
                yield from self._judge(rule, f"cases.{what}", made, "a case")
        for what, notes in (("fires", proofs.fires), ("silent", proofs.silent)):
            for index, note in enumerate(notes):
                if note in self._known:
                    part = f"examples.{what}.{index}"
                    yield from self._judge(rule, part, self._known[note], repr(note[:80]))

    def _judge(self, rule: Rule, part: str, made: Tried, shown: str) -> Iterator[Problem]:
        wanted = part.split(".")[1] == "fires"
        if (rule.id in made.fired) is not wanted:
            text = f"it {'stays silent on' if wanted else 'fires on'} {shown}."
            yield fault(
                rule, self._book, part, "example", (text, "Correct the rule or the example.")
            )
        elif wanted and rule.advise is not None:
            yield from self._disagree(rule, made)

    def _disagree(self, rule: Rule, made: Tried) -> Iterator[Problem]:
        for one, two in combinations(made.values, 2):
            if rule.id not in (one[3], two[3]) or one[:2] != two[:2] or one[2] == two[2]:
                continue
            mine, other = (one, two) if one[3] == rule.id else (two, one)
            yield fault(rule, self._book, "advise", "two-values",
                        (f"it says {mine[2]!r} where {other[3]} says {other[2]!r} on "
                         f"{mine[0]!r}.",
                         "One of them needs: overrides: [the other's id]"))  # fmt: skip
