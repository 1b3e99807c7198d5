"""Rules as text: the list of them, one of them, and what fired on a note."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from stillroom.advice.book import RuleBook
from stillroom.advice.explain import Wording
from stillroom.advice.rule import Pattern, Ref, Rule, Template
from stillroom.advice.strata import may_feed
from stillroom.advice.words import placeholders
from stillroom.base.fact import Advice, Fact, Firing


def rules_list(book: RuleBook) -> str:
    """Packs in order of precedence with their rules, and who changes whose rules."""
    lines = []
    for pack in book.packs:
        lines.append(f"{pack.name} {pack.version} ({pack.origin}, {len(pack.rules)} rules)")
        lines += [f"  {rule.id}" for rule in pack.rules if rule.id in book.by_id]
    lines += [f"{c.rule} of {c.of}: {c.what} by {c.by}" for c in book.changes]
    for rule in book.rules:
        lines += [f"{rule.id} overrides {other}" for other in rule.overrides]
    return "\n".join(lines)


def _pattern(pattern: Pattern) -> str:
    tests = ", ".join(
        f"{t.field} {'' if t.op == 'is' else t.op + ' '}"
        f"{' / '.join(map(str, t.value)) if isinstance(t.value, tuple) else t.value}"
        for t in pattern.tests
    )
    return f"{pattern.kind} ({tests})" if tests else pattern.kind


def rules_show(book: RuleBook, rid: str, titles: Mapping[str, str]) -> str | None:
    """One rule with its conditions, sources, and what feeds it; None when unknown.

    Args:
        book: the rules in force.
        rid: the id of the rule.
        titles: source id to its line; those of packs are known from the packs.
    """
    rule = book.by_id.get(rid)
    if rule is None:
        return None
    lines = [f"{rule.id}  {book.files[rule.pack]}:{rule.line}"]
    lines += [f"  when    {pattern.alias}: {_pattern(pattern)}" for pattern in rule.when]
    lines += [f"  unless  {_pattern(pattern)}" for pattern in rule.unless]
    lines += [f"  derives {_template(template)}" for template in rule.derive]
    if rule.advise:
        lines.append(f"  advises {rule.advise.topic} {rule.advise.value or ''}".rstrip())
    if rule.caution:
        lines.append(f"  warns   {rule.caution.severity} {rule.caution.hazard}")
    lines += [f"  says    {rule.say}"] if rule.say else []
    lines += [f"  why     {rule.why}"] if rule.why else []
    known = {**titles, **{k: v for pack in book.packs for k, v in pack.sources.items()}}
    lines += [f"  sources {_source(name, known)}" for name in rule.sources] or ["  sources none"]
    lines += [f"  over    {other}" for other in rule.overrides]
    lines += [f"  under   {other.id}" for other in book.rules if rid in other.overrides]
    lines += [f"  fed by  {other}" for other in _feeders(rule, book)]
    return "\n".join(lines)


def _source(name: str, titles: Mapping[str, str]) -> str:
    return f"{name}: {titles[name]}" if name in titles else name


def _template(template: Template) -> str:
    return f"{template.kind} " + ", ".join(f"{name} {value}" for name, value in template.slots)


def _feeders(rule: Rule, book: RuleBook) -> list[str]:
    """The rules that derive what a pattern asks for, each with what it derives."""
    patterns = (*rule.when, *rule.unless)
    return [
        f"{other.id}: {_template(template)}"
        for other in book.rules
        for template in other.derive
        if any(may_feed(template, pattern) for pattern in patterns)
    ]


def fact_text(fact: Fact, names: Iterable[str] | None = None) -> str:
    """A fact on one line, with all its fields or with those of some names.

    >>> fact_text(Fact("lot", {"batch": "plum-1", "cut": "halved"}), ["cut"])
    'lot: cut halved'
    """
    kept = fact.slots if names is None else {n: fact.slots[n] for n in names if n in fact.slots}
    return f"{fact.kind}: " + ", ".join(f"{n} {v}" for n, v in kept.items())


def _looked_at(rule: Rule) -> dict[str, list[str]]:
    """The fields that a rule looks at or says, by the alias of the fact, in order."""
    found: dict[str, dict[str, None]] = {p.alias: {"batch": None, "food": None} for p in rule.when}
    for pattern in (*rule.when, *rule.unless):
        for test in pattern.tests:
            if pattern.alias in found:
                found[pattern.alias][test.field] = None
            if isinstance(test.value, Ref) and test.value.alias in found:
                found[test.value.alias][test.value.field] = None
    for alias, name in (*placeholders(rule.say), *placeholders(rule.why)):
        found[alias][name] = None
    return {alias: list(names) for alias, names in found.items()}


def _in_turn(firings: Sequence[Firing]) -> Iterator[Firing]:
    """Firings so that a fact is added before it is looked at, otherwise as they stand."""
    to_come = {fact.key for firing in firings for fact in firing.derived}
    waiting = list(firings)
    while waiting:
        ready = [f for f in waiting if not any(fact.key in to_come for _, fact in f.bound)]
        for firing in ready or waiting:  # a circle among them: as they stand
            yield firing
            to_come -= {fact.key for fact in firing.derived}
        done = {id(firing) for firing in ready or waiting}
        waiting = [firing for firing in waiting if id(firing) not in done]


def rules_trace(advice: Advice, book: RuleBook, measure: str = "us") -> str:
    """Each firing in order: the rule, what it looked at, what it added; and what was cut short."""
    wording = Wording(book.fields, measure, {})
    lines = []
    for firing in _in_turn(advice.firings):
        rule = book.by_id[firing.rule]
        names = _looked_at(rule)
        lines.append(f"{firing.rule} ({firing.pack})")
        lines += [f"  {alias} = {fact_text(fact, names[alias])}" for alias, fact in firing.bound]
        lines += [f"  -> {fact_text(fact)}" for fact in firing.derived]
        said = wording.fill(rule.say, dict(firing.bound))
        lines += [f"  advises {rule.advise.topic}: {said}"] if rule.advise else []
        lines += [f"  warns {rule.caution.severity}: {said}"] if rule.caution else []
    lines += [f"cut short: {problem}" for problem in advice.problems]
    return "\n".join(lines) or "No rule fires on this note."
