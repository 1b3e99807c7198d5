"""The whole way of drying a food, step by step: the answer to "how do I dry apples?"."""

from __future__ import annotations

from stillroom.base.fact import Ruling
from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.figures import figure_sentence

STEPS = ("prep", "pretreat", "temperature", "surface", "dryness", "conditioning")
"""Topics in the order of the work, one sentence for each."""


def overview_reply(answer: Answer, item: Statement) -> Reply | None:
    """One sentence for each step; None where the rules have nothing on the food."""
    batches = {fact.get("batch") for fact in answer.advice.facts
               if fact.kind == "lot" and fact.get("food") == item.food}  # fmt: skip
    own = [ruling for ruling in answer.advice.rulings if ruling.batch in batches]
    steps = [first for topic in STEPS if (first := _first(own, topic))]
    if len(steps) < 2:
        return None
    lines = [step.text for step in steps]
    hours = [n for n in answer.numbers if n.batch in batches and n.name == "drying_time"]
    if hours:
        place = next((k for k, step in enumerate(steps) if step.topic == "dryness"), len(lines))
        lines.insert(place, figure_sentence(hours[0], answer.measure))
    sources = dict.fromkeys(source for step in steps for source in step.sources)
    name = answer.names.get(item.food or "", item.food or "")
    numbered = tuple(f"{number}. {line}" for number, line in enumerate(lines, start=1))
    return Reply(f"{name.capitalize()}, step by step.", "plan", item.batch, numbered,
                 tuple(sources))  # fmt: skip


def _first(rulings: list[Ruling], topic: str) -> Ruling | None:
    found = [ruling for ruling in rulings if ruling.topic == topic]
    return min(found, key=lambda ruling: ruling.priority, default=None)
