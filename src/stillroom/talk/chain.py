"""The chain behind one ruling in a cook's words: what was said, what is known, what follows.

`stillroom rules trace` shows every fact with all its fields; here only the fields count that
the rule looked at or put into its sentence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stillroom.advice.book import RuleBook
from stillroom.advice.explain import Wording
from stillroom.advice.rule import Rule
from stillroom.advice.words import placeholders
from stillroom.base.fact import Advice, Fact, Firing

MOST = 8
_SILENT = frozenset({"food", "batch", "name", "plural", "statement", "sentence", "foods", "topic",
                     "of", "group", "guidance", "stage", "concept", "told", "act",
                     "about"})  # fmt: skip
"""Fields that tie facts together and tell a cook nothing."""


@dataclass(frozen=True)
class Chain:
    """Walks back from a rule through the firings to the note and the tables."""

    advice: Advice
    book: RuleBook
    wording: Wording

    def lines(self, rule: str, batch: str | None) -> list[str]:
        """The steps that lead to a rule's ruling, the note's words first; at most ``MOST``."""
        found: list[str] = []
        for firing in self.advice.firings:
            batches = {fact.slots.get("batch") for _, fact in firing.bound} - {None}
            if firing.rule == rule and (batch is None or not batches or batch in batches):
                found += self._steps(firing, {rule})
                break
        whole = {text.partition("”:")[0] + "”" for text in found if "”:" in text}
        return [text for text in dict.fromkeys(found) if text not in whole][:MOST]

    def _steps(self, firing: Firing, seen: set[str]) -> Iterator[str]:
        rule = self.book.by_id.get(firing.rule)
        if rule is None:
            return
        for alias, fact in firing.bound:
            parent = self._maker(fact, firing)
            if parent is not None and parent.rule not in seen:
                seen.add(parent.rule)
                yield from self._steps(parent, seen)
                maker = self.book.by_id.get(parent.rule)
                if maker is not None and maker.why:
                    yield f"So: {maker.why}"
            elif parent is None and (text := self._told(alias, fact, rule)):
                yield text

    def _maker(self, fact: Fact, using: Firing) -> Firing | None:
        for firing in self.advice.firings:
            if firing is not using and any(made.key == fact.key for made in firing.derived):
                return firing
        return None

    def _told(self, alias: str, fact: Fact, rule: Rule) -> str:
        details = ", ".join(self._details(alias, fact, rule))
        if fact.words:
            said = " … ".join(f"“{words}”" for words in dict.fromkeys(fact.words))
            return f"You said {said}" + (f": {details}" if details else "")
        if not details:
            return ""
        about = str(fact.get("food") or fact.get("name") or fact.kind)
        subject = self.wording.names.get(about, about).replace("_", " ")
        return f"Known of {subject}: {details}"

    def _details(self, alias: str, fact: Fact, rule: Rule) -> Iterator[str]:
        tested = [
            check.field for pattern in rule.when if pattern.alias == alias
            for check in pattern.tests
        ]  # fmt: skip
        tested += [name for whose, name in placeholders(rule.say) if whose == alias]
        for name in dict.fromkeys(tested):
            value = fact.get(name)
            if name in _SILENT or value is None or isinstance(value, bool):
                continue
            plain = name.removesuffix("_c").removesuffix("_mm").removesuffix("_g")
            plain = plain.replace("_", " ")
            yield f"{plain} {self.wording.value(fact, name)}"
