"""Rules as text: the list of them, one of them, and what fired on a note."""

from __future__ import annotations

from stillroom.advice.book import RuleBook
from stillroom.advice.rule import Pattern, Rule
from stillroom.advice.strata import may_feed
from stillroom.base.fact import Advice, Fact


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


def rules_show(book: RuleBook, rid: str) -> str | None:
    """One rule with its conditions, sources, and the rules that feed it; None when unknown."""
    rule = book.by_id.get(rid)
    if rule is None:
        return None
    lines = [f"{rule.id}  {book.files[rule.pack]}:{rule.line}"]
    lines += [f"  when    {pattern.alias}: {_pattern(pattern)}" for pattern in rule.when]
    lines += [f"  unless  {_pattern(pattern)}" for pattern in rule.unless]
    lines += [
        f"  derives {t.kind} " + ", ".join(f"{n} {v}" for n, v in t.slots) for t in rule.derive
    ]
    if rule.advise:
        lines.append(f"  advises {rule.advise.topic} {rule.advise.value or ''}".rstrip())
    if rule.caution:
        lines.append(f"  warns   {rule.caution.severity} {rule.caution.hazard}")
    lines += [f"  says    {rule.say}"] if rule.say else []
    lines += [f"  why     {rule.why}"] if rule.why else []
    lines.append(f"  sources {', '.join(rule.sources) or 'none'}")
    lines += [f"  fed by  {other}" for other in _feeders(rule, book)]
    return "\n".join(lines)


def _feeders(rule: Rule, book: RuleBook) -> list[str]:
    patterns = (*rule.when, *rule.unless)
    return [
        other.id
        for other in book.rules
        if any(may_feed(t, p) for t in other.derive for p in patterns)
    ]


def fact_text(fact: Fact) -> str:
    """A fact on one line."""
    return f"{fact.kind}: " + ", ".join(f"{n} {v}" for n, v in fact.slots.items())


def rules_trace(advice: Advice) -> str:
    """Each firing in order with its facts and what it added, and where rules were cut short."""
    lines = []
    for firing in advice.firings:
        lines.append(f"{firing.rule} ({firing.pack})")
        lines += [f"  {alias} = {fact_text(fact)}" for alias, fact in firing.bound]
        lines += [f"  -> {fact_text(fact)}" for fact in firing.derived]
    lines += [f"cut short: {problem}" for problem in advice.problems]
    return "\n".join(lines)


def why_chain(advice: Advice, book: RuleBook, rid: str, batch: str | None = None) -> list[str]:
    """From the words of the note to the ruling or caution of a rule, one step a line."""
    made_by = {fact.key: firing for firing in reversed(advice.firings) for fact in firing.derived}
    lines: list[str] = []
    seen: set[int] = set()

    def walk(index: int) -> None:
        if index in seen:
            return
        seen.add(index)
        firing = advice.firings[index]
        for _, fact in firing.bound:
            parent = made_by.get(fact.key)
            if parent is not None and parent is not firing:
                walk(advice.firings.index(parent))
            elif fact.words:
                lines.append(
                    f"You wrote {', '.join(repr(w) for w in fact.words)}: {fact_text(fact)}"
                )
            else:
                lines.append(f"Known: {fact_text(fact)}")
        rule = book.by_id[firing.rule]
        sources = f" [{', '.join(rule.sources)}]" if rule.sources else ""
        lines.append(f"So {rule.id}: {rule.why or rule.say or 'concludes'}{sources}")

    for index, firing in enumerate(advice.firings):
        batches = {fact.slots.get("batch") for _, fact in firing.bound}
        if firing.rule == rid and (batch is None or batch in batches or batches == {None}):
            walk(index)
    return list(dict.fromkeys(lines))
