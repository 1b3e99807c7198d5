"""Which rulings a question is after: how near they stand to its words, and what foods may share."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from stillroom.base.fact import Ruling
from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer, Reply

_SHARING = ("loading.meat-alone", "loading.smell-two", "loading.herb-heat", "loading.may-share")
"""What is said of foods in one dryer, the gravest first."""
_QUANTITY = re.compile(
    r"\bhow (?:many|much|long|big|heavy|often|soon)\b|\bwhat weight|\bweigh", re.IGNORECASE
)
_STEM = 5
_COMMON = {
    "shoul", "would", "could", "what", "when", "does", "have", "they", "them", "need", "with",
    "this", "that", "about", "much", "many", "long", "will", "into", "your", "want", "like",
    "best", "dried", "fresh", "from", "then", "than", "there", "these", "those", "some", "more",
}  # fmt: skip
"""Beginnings of words that say nothing of what a question is about."""


def wants_figure(item: Statement) -> bool:
    """Whether a question asks for a number."""
    return bool(_QUANTITY.search(item.asked or item.text))


def nearest_first(rulings: Iterable[Ruling], item: Statement, answer: Answer) -> list[Ruling]:
    """The rulings, those first that take up most of the question's words; else in their order."""
    words = _words(item, answer)
    return sorted(rulings, key=lambda ruling: -len(words & _stems(f"{ruling.text} {ruling.why}")))


def takes_up(ruling: Ruling, item: Statement, answer: Answer) -> bool:
    """Whether a ruling takes up a word of the question."""
    return bool(_words(item, answer) & _stems(f"{ruling.text} {ruling.why}"))


def sharing_reply(answer: Answer, asks: Sequence[Statement]) -> Reply | None:
    """One answer to whether several foods may share the dryer, not one for each of them."""
    if len({item.food for item in asks}) < 2 or any(item.about != "loading" for item in asks):
        return None
    if any(wants_figure(item) for item in asks):
        return None
    found = [r for rule in _SHARING for r in answer.advice.rulings if r.rule == rule]
    if not found:
        return None
    return Reply(found[0].text, "loading", found[0].batch, (found[0].why,), found[0].sources)


def _words(item: Statement, answer: Answer) -> set[str]:
    name = answer.names.get(item.food or "", "")
    return _stems(item.asked or item.text) - _stems(f"{name} {item.food or ''}") - _COMMON


def _stems(text: str) -> set[str]:
    """The beginnings of the longer words."""
    return {word[:_STEM] for word in re.findall(r"[a-z]{4,}", text.lower())}
