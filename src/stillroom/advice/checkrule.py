"""What can be found wrong with one rule by looking at it and at the rules around it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from itertools import pairwise

from stillroom.advice.book import RuleBook
from stillroom.advice.match import holds
from stillroom.advice.rule import Check, Pattern, Ref, Rule
from stillroom.advice.strata import may_feed
from stillroom.advice.words import nearest
from stillroom.base.fact import Fact
from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem

# Kinds that reading and the tables produce; facts of other kinds come from rules alone.
GIVEN_KINDS = frozenset(
    ("said", "done", "seen", "question", "mention", "lot", "food", "published", "kitchen",
     "number")
)  # fmt: skip
# Fields whose values are rows of a table: field to file and column.
TABLES = {
    "concept": ("concepts.csv", "concept"),
    "food": ("foods.csv", "id"),
    "group": ("foods.csv", "group"),
    "food_class": ("foods.csv", "class"),
}


@cache
def column(file: str, name: str) -> frozenset[str]:
    """The values of a column of a knowledge table."""
    return frozenset(row[name] for row in read_csv(knowledge_dir() / file, (name,)) if row[name])


def fault(rule: Rule, book: RuleBook, part: str, name: str, words: tuple[str, str]) -> Problem:
    """A problem at a part of a rule.

    Args:
        rule: the rule.
        book: the book, for the file.
        part: such as ``when.0.cut``.
        name: kind of fault.
        words: what is wrong, and what to do.
    """
    line, column_ = rule.place(part)
    text, remedy = words
    return Problem(book.files[rule.pack], line, column_, name, f"{rule.id}: {text}", remedy)


def rule_faults(rule: Rule, book: RuleBook, sources: set[str]) -> Iterator[Problem]:
    """Everything wrong with a rule apart from its examples."""
    yield from _source_faults(rule, book, sources)
    yield from _override_faults(rule, book)
    for index, pattern in enumerate(rule.when):
        yield from _never(rule, book, index, pattern)
    for part in ("when", "unless"):
        for index, pattern in enumerate(getattr(rule, part)):
            yield from _name_faults(rule, book, f"{part}.{index}", pattern)
    for index, pattern in enumerate(rule.unless):
        if any(implied(pattern, other) for other in rule.when):
            yield fault(rule, book, f"unless.{index}", "never-fires",
                        ("what its conditions ask for is excluded here.",
                         "Take the exception out, or make it narrower."))  # fmt: skip


def _source_faults(rule: Rule, book: RuleBook, sources: set[str]) -> Iterator[Problem]:
    if not rule.sources:
        words = ("no source is named.", "sources: [an id of knowledge/sources.csv]")
        yield fault(rule, book, "", "no-source", words)
    for index, source in enumerate(rule.sources):
        if source not in sources:
            yield fault(rule, book, f"sources.{index}", "unknown-source",
                        (f"there is no source {source!r}.", nearest(source, sources)))  # fmt: skip


def _override_faults(rule: Rule, book: RuleBook) -> Iterator[Problem]:
    for index, other in enumerate(rule.overrides):
        found = book.by_id.get(other)
        if found is None:
            words = (f"there is no rule {other!r}.", nearest(other, book.by_id))
            yield fault(rule, book, f"overrides.{index}", "unknown-rule", words)
        elif found.stops:
            words = (f"{other!r} stops something dangerous and never gives way.", "Leave it out.")
            yield fault(rule, book, f"overrides.{index}", "stop-stays", words)


def _never(rule: Rule, book: RuleBook, index: int, pattern: Pattern) -> Iterator[Problem]:
    if contradicts(pattern):
        yield fault(rule, book, f"when.{index}", "contradiction",
                    ("no fact can meet these conditions together.", "Take one of them out."),
                    )  # fmt: skip
    elif pattern.kind not in GIVEN_KINDS and not _fed(pattern, book.rules):
        yield fault(rule, book, f"when.{index}", "never-fires",
                    (f"no rule derives the {pattern.kind!r} asked for here.",
                     "Write the rule that derives it."))  # fmt: skip


def _fed(pattern: Pattern, rules: Iterable[Rule]) -> bool:
    return any(may_feed(template, pattern) for rule in rules for template in rule.derive)


def _name_faults(rule: Rule, book: RuleBook, part: str, pattern: Pattern) -> Iterator[Problem]:
    """Foods, concepts and the like that no table has."""
    for test in pattern.tests:
        if test.field not in TABLES:
            continue
        known = column(*TABLES[test.field])
        values = test.value if isinstance(test.value, tuple) else (test.value,)
        for value in values:
            if isinstance(value, str) and value not in known:
                yield fault(rule, book, f"{part}.{test.field}", "unknown-value",
                            (f"{TABLES[test.field][0]} has no {test.field} {value[:60]!r}.",
                             nearest(value[:60], known)))  # fmt: skip


def implied(exception: Pattern, pattern: Pattern) -> bool:
    """Whether a fact that meets a condition always meets the exception too."""
    if exception.kind != pattern.kind:
        return False
    fixed = _fixed(pattern.tests)
    return all(
        test in pattern.tests
        or (test.value == Ref(pattern.alias, test.field) and test.op == "is"
            and _known(test.field, pattern.tests))
        or (test.field in fixed and not isinstance(test.value, Ref)
            and holds(test, Fact(pattern.kind, {test.field: fixed[test.field]}), {}))
        for test in exception.tests
    )  # fmt: skip


def _fixed(tests: Iterable[Check]) -> Mapping[str, str | float | bool]:
    return {
        t.field: t.value
        for t in tests
        if t.op == "is" and not isinstance(t.value, Ref) and not isinstance(t.value, tuple)
    }


def _known(name: str, tests: Iterable[Check]) -> bool:
    return any(t.field == name and (t.op != "known" or t.value is True) for t in tests)


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
