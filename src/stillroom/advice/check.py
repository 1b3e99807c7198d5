"""Everything that can be found wrong with packs before anyone meets it in the kitchen."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import combinations, pairwise
from pathlib import Path

from stillroom.advice.advise import advise, run
from stillroom.advice.book import BUILT_IN, RuleBook, put_together
from stillroom.advice.fields import load_fields
from stillroom.advice.match import holds
from stillroom.advice.packs import load_book, load_files, pack_files
from stillroom.advice.rule import Case, Pattern, Ref, Rule
from stillroom.advice.strata import may_feed
from stillroom.advice.words import nearest
from stillroom.base.fact import Fact, Ruling
from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir, rules_dir
from stillroom.base.problem import Problem

FactsOf = Callable[[str], Sequence[Fact]]
# Kinds that reading and the tables produce; facts of other kinds come from rules alone.
GIVEN_KINDS = frozenset(
    ("said", "done", "seen", "question", "mention", "lot", "food", "published", "kitchen", "number")
)


def known_sources() -> set[str]:
    """The ids of knowledge/sources.csv."""
    return {row["id"] for row in read_csv(knowledge_dir() / "sources.csv", ("id",))}


def rules_check(
    paths: Sequence[Path] = (), facts_of: FactsOf | None = None, *, sources: set[str] | None = None
) -> list[Problem]:
    """All problems of packs; those of the built-in ones when no path is given.

    Args:
        paths: files or folders of packs; they are checked on top of the built-in packs.
        facts_of: a note to its facts; without it the example notes are not run.
        sources: ids that ``sources`` may name; None for knowledge/sources.csv.
    """
    fields = load_fields()
    if paths:
        files = [("given", file) for path in paths for file in pack_files(path)]
        base = load_book(installed=False, remember=False)
        packs, problems = load_files(files, fields)
        book = put_together([*base.packs, *(pack for _, pack in packs)], fields, problems)
    else:
        book = load_book(built_in=rules_dir(), installed=False, remember=False)
    mine = {p.name for p in book.packs if not paths or p.origin != BUILT_IN}
    layers = book.layers
    known = (known_sources() if sources is None else sources) | {
        name for pack in book.packs for name in pack.sources
    }
    found = list(book.problems)
    in_cycle = {rule.id for cycle in layers.cycles for rule in cycle}
    rules = [rule for rule in book.rules if rule.pack in mine]
    for rule in rules:
        found += _alone(rule, book, known)
        if rule.id not in in_cycle:
            found += _examples(rule, book, facts_of)
    return sorted(set(found))


def _problem(rule: Rule, book: RuleBook, part: str, name: str, text: str, remedy: str) -> Problem:
    line, column = rule.place(part)
    return Problem(book.files[rule.pack], line, column, name, f"{rule.id}: {text}", remedy)


def _alone(rule: Rule, book: RuleBook, sources: set[str]) -> list[Problem]:
    found = []
    if not rule.sources:
        found.append(
            _problem(
                rule,
                book,
                "",
                "no-source",
                "no source is named.",
                "sources: [an id of knowledge/sources.csv]",
            )
        )
    for index, source in enumerate(rule.sources):
        if source not in sources:
            found.append(
                _problem(
                    rule,
                    book,
                    f"sources.{index}",
                    "unknown-source",
                    f"there is no source {source!r}.",
                    nearest(source, sources),
                )
            )
    for index, other in enumerate(rule.overrides):
        place = f"overrides.{index}"
        if other not in book.by_id:
            found.append(
                _problem(
                    rule,
                    book,
                    place,
                    "unknown-rule",
                    f"there is no rule {other!r}.",
                    nearest(other, book.by_id),
                )
            )
        elif book.by_id[other].stops:
            found.append(
                _problem(
                    rule,
                    book,
                    place,
                    "stop-stays",
                    f"{other!r} stops something dangerous and never gives way.",
                    "Leave it out.",
                )
            )
    for index, pattern in enumerate(rule.when):
        if contradicts(pattern):
            found.append(
                _problem(
                    rule,
                    book,
                    f"when.{index}",
                    "contradiction",
                    "no fact can meet these conditions together.",
                    "Take one of them out.",
                )
            )
        elif pattern.kind not in GIVEN_KINDS and not _fed(pattern, book.rules):
            found.append(
                _problem(
                    rule,
                    book,
                    f"when.{index}",
                    "never-fires",
                    f"no rule derives the {pattern.kind!r} asked for here.",
                    "Write the rule that derives it.",
                )
            )
    return found


def _fed(pattern: Pattern, rules: Iterable[Rule]) -> bool:
    return any(may_feed(template, pattern) for rule in rules for template in rule.derive)


def contradicts(pattern: Pattern) -> bool:
    """Whether the constant tests of a pattern exclude each other."""
    by_field: dict[str, list[object]] = {}
    for test in pattern.tests:
        by_field.setdefault(test.field, []).append(test)
    for name in by_field:
        tests = [t for t in pattern.tests if t.field == name and not isinstance(t.value, Ref)]
        trial: list[float | str | bool] = []
        for test in tests:
            for value in test.value if isinstance(test.value, tuple) else (test.value,):
                if isinstance(value, bool | str):
                    trial.append(value)
                elif not isinstance(value, Ref):
                    trial += [value, value - 0.0005, value + 0.0005]
        numbers = sorted(v for v in trial if not isinstance(v, bool | str))
        trial += [(one + two) / 2 for one, two in pairwise(numbers)]
        trial += ["another", True, False]
        absent = all(holds(t, Fact(pattern.kind), {}) for t in tests)
        if (
            tests
            and not absent
            and not any(
                all(holds(t, Fact(pattern.kind, {name: value}), {}) for t in tests)
                for value in trial
            )
        ):
            return True
    return False


def _case_facts(case: Case) -> list[Fact]:
    return [Fact(t.kind, {n: v for n, v in t.slots if not isinstance(v, Ref)}) for t in case.facts]


def _examples(rule: Rule, book: RuleBook, facts_of: FactsOf | None) -> list[Problem]:
    proofs = rule.proofs
    found = []
    for have, what in (
        (proofs.fires or proofs.fires_facts, "fires"),
        (proofs.silent or proofs.silent_facts, "silent"),
    ):
        if not have:
            found.append(
                _problem(
                    rule,
                    book,
                    "",
                    "no-example",
                    f"it has no example under {what!r}.",
                    f'examples: {{{what}: ["a note"]}}',
                )
            )
    trials = [
        (f"cases.{w}", w == "fires", _case_facts(c), "a case")
        for w, cs in (("fires", proofs.fires_facts), ("silent", proofs.silent_facts))
        for c in cs
    ]
    if facts_of is not None:
        for what, notes in (("fires", proofs.fires), ("silent", proofs.silent)):
            for index, note in enumerate(notes):
                trials.append(
                    (
                        f"examples.{what}.{index}",
                        what == "fires",
                        list(facts_of(note)),
                        repr(note[:80]),
                    )
                )
    for part, wanted, facts, shown in trials:
        outcome = run(book, tuple(facts))
        if any(firing.rule == rule.id for firing in outcome.firings) is not wanted:
            text = f"it {'stays silent on' if wanted else 'fires on'} {shown}."
            found.append(
                _problem(rule, book, part, "example", text, "Correct the rule or the example.")
            )
        elif wanted and rule.advise is not None:
            found += _disagree(rule, book, facts)
    return found


def _disagree(rule: Rule, book: RuleBook, facts: list[Fact]) -> list[Problem]:
    given = [r for r in advise(facts, book).rulings if r.value is not None]
    return [
        _problem(
            rule,
            book,
            "advise",
            "two-values",
            f"it says {mine.value!r} where {other.rule} says {other.value!r} on {mine.topic!r}.",
            "One of them needs: overrides: [the other's id]",
        )
        for one, two in combinations(given, 2)
        for mine, other in _sides(rule, one, two)
    ]


def _sides(rule: Rule, one: Ruling, two: Ruling) -> list[tuple[Ruling, Ruling]]:
    if (one.topic, one.batch) != (two.topic, two.batch) or one.value == two.value:
        return []
    if rule.id not in (one.rule, two.rule):
        return []
    return [(one, two) if one.rule == rule.id else (two, one)]
