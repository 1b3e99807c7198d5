"""The part of an answer on each batch: what to do next, its figures, its rulings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import ceil

from stillroom.base.fact import Number, Ruling
from stillroom.talk.answer import REQUESTS, Answer
from stillroom.talk.figures import distinct, figure_sentence, figure_text, learned
from stillroom.talk.labels import ANY_STAGE, label_for
from stillroom.talk.lines import Footnotes, Line, Said
from stillroom.talk.plausible import odd_amounts

SHORT_ROWS = 12
_ROW = 61  # columns beside the label on an 80-column screen; the count of rows goes by it
_LEADS = 3
_NEXT = {
    "in-hand": ("surface", "temperature"), "drying": ("dryness",),
    "conditioning": ("conditioning",), "stored": ("storage",), "refrigerated": ("storage",),
}  # fmt: skip
_SAME = {"loading": "tray_count", "jar": "jar_count", "shelf-life": "shelf_life"}
_PLAIN_REPLIES = frozenset({"why", "source", "due", "stock", "use-first", "history", "chat", "help",
                            "plan", *REQUESTS})  # fmt: skip
_DRIVERS = {"solids": "how much dry matter the fresh food holds",
            "density": "how loosely the pieces lie"}  # fmt: skip
_DIGITS = re.compile(r"\d+(?:\.\d+)?")


def batches_of(answer: Answer) -> list[str | None]:
    """Batches and foods that the answer speaks of, in the order of the note."""
    named = [item.batch for item in answer.reading.statements]
    named += [ruling.batch for ruling in answer.advice.rulings]
    named += [number.batch for number in answer.numbers]
    return list(dict.fromkeys(named))


def _stage(answer: Answer, batch: str | None) -> str:
    for fact in answer.advice.facts:
        if fact.kind == "lot" and fact.get("batch") == batch and batch is not None:
            stage = str(fact.get("stage", ANY_STAGE))
            return stage if stage in _NEXT else ANY_STAGE
    return ANY_STAGE


def _touched(answer: Answer) -> list[str | None]:
    told = [
        item.batch for item in answer.reading.statements if item.act != "ask" and not item.undo
    ]  # fmt: skip
    return [batch for batch in dict.fromkeys(told) if batch]


def batch_name(answer: Answer, batch: str | None) -> str:
    """What stands over the part of a batch."""
    for item in answer.reading.statements:
        if batch and item.batch == batch and item.food:
            return f"{answer.names.get(item.food, item.food).capitalize()} ({batch})"
    if batch is None:
        return "In general"
    return answer.names.get(batch, batch).capitalize()


def lead_lines(answer: Answer, notes: Footnotes, said: Said) -> list[Line]:
    """What to do next with each batch that the note told of, at most three."""
    if answer.stopped:
        return []
    odd = odd_amounts(answer)
    touched = [batch for batch in _touched(answer) if batch not in odd][:_LEADS]
    lines = []
    for batch in touched:
        rulings = _next(answer, batch)
        texts = [ruling.text for ruling in rulings if said.new(ruling.text)]
        if not texts:
            continue
        name = f", {batch}" if len(touched) > 1 else ""
        sources = [source for ruling in rulings for source in ruling.sources]
        lines.append(
            Line("reply", f"Next{name}: {_look(answer, batch)}{' '.join(texts)}",
                 marks=notes.marks(sources))
        )  # fmt: skip
    return lines


def _next(answer: Answer, batch: str | None) -> list[Ruling]:
    own = [r for r in _ordered(answer.advice.rulings) if r.batch == batch]
    found = []
    for topic in _NEXT.get(_stage(answer, batch), ()):
        found += [r for r in own if r.topic == topic][:1]
    return found


def _look(answer: Answer, batch: str | None) -> str:
    if _stage(answer, batch) != "drying":
        return ""
    looked = any(item.batch == batch and item.act in ("look", "weigh")
                 for item in answer.reading.statements)  # fmt: skip
    first = [n for n in answer.numbers if n.batch == batch and n.name == "look_first"]
    if looked or not first:
        return ""
    return f"look first after {figure_text(first[0], answer.measure)}. "


def batch_lines(
    answer: Answer, notes: Footnotes, said: Said, *, more: bool, short: bool
) -> tuple[list[Line], bool]:
    """The parts of all batches, and whether anything was left out of them."""
    lines: list[Line] = []
    left_out = False
    odd = odd_amounts(answer)
    batches = [batch for batch in batches_of(answer) if (batch or "-") not in odd]
    for batch in batches:
        figures = distinct([n for n in answer.numbers if n.batch == batch])
        rulings = _fresh(answer, batch, figures, said, more=more)
        stage = _stage(answer, batch)
        if not more and _answered(answer, short=short):
            left_out = left_out or (short and _on_food(answer) and bool(figures or rulings))
            continue
        if short:
            kept = [n for n in figures if stage in label_for("figure", n.name).short]
            figures, before = kept, len(figures)
            rulings, missed = _in_rows(rulings, stage, len(figures))
            left_out = left_out or missed or before > len(figures)
        elif not more:
            figures = [n for n in figures if label_for("figure", n.name).short]
        part = _figures(figures, answer, notes, said, more=more) + _rulings(rulings, notes)
        if part and len(batches) > 1:
            lines.append(Line("head", batch_name(answer, batch)))
        lines += part
    return lines, left_out


def _on_food(answer: Answer) -> bool:
    on_food = any(reply.about not in _PLAIN_REPLIES for reply in answer.replies)
    return on_food or answer.stopped


def _answered(answer: Answer, *, short: bool) -> bool:
    """Whether the replies say it all: a question wants its answer, not the whole batch again."""
    return (short and answer.stopped) or (_only_asked(answer) and bool(answer.replies))


def _only_asked(answer: Answer) -> bool:
    return all(item.act == "ask" for item in answer.reading.statements)


def _figures(
    figures: Sequence[Number], answer: Answer, notes: Footnotes, said: Said, *, more: bool
) -> list[Line]:
    lines = []
    for number in sorted(figures, key=lambda n: label_for("figure", n.name).order):
        label = label_for("figure", number.name).text
        text = figure_text(number, answer.measure)
        if not said.new(figure_sentence(number, answer.measure)) and not more:
            continue
        if more and number.driver:
            text += f"; depends most on {_DRIVERS.get(number.driver, number.driver)}"
        lines.append(Line("figure", text, label, notes.marks(number.sources)))
        lines += [Line("figure", own) for own in learned(number) if said.new(own)]
    return lines


def _ordered(rulings: Sequence[Ruling]) -> list[Ruling]:
    return sorted(rulings, key=lambda r: (label_for("topic", r.topic).order, r.priority, r.rule))


def _fresh(
    answer: Answer, batch: str | None, figures: Sequence[Number], said: Said, *, more: bool
) -> list[Ruling]:
    """The rulings not said yet, in the order of the work; unless ``more``, one a topic."""
    allowed = None if answer.topics is None else answer.topics.get(batch)
    chosen = [
        r for r in _ordered([r for r in answer.advice.rulings if r.batch == batch])
        if (more or allowed is None or r.topic in allowed) and not repeats(r, figures)
    ]  # fmt: skip
    if not more:
        first: dict[str, Ruling] = {}
        for ruling in chosen:
            first.setdefault(ruling.topic, ruling)
        chosen = list(first.values())
    return [ruling for ruling in chosen if said.new(ruling.text)]


def repeats(ruling: Ruling, figures: Sequence[Number]) -> bool:
    """Whether a ruling only puts into words a figure that is shown anyway."""
    wanted = _SAME.get(ruling.topic)
    shown = {f"{value:.0f}" for n in figures if n.name == wanted for value in
             (n.low, n.likely, n.high)}  # fmt: skip
    digits = _DIGITS.findall(ruling.text)
    return bool(digits) and all(text in shown for text in digits)


def _in_rows(rulings: Sequence[Ruling], stage: str, taken: int) -> tuple[list[Ruling], bool]:
    """The rulings of a stage that fit the rows of the short form; whether any were left out."""
    chosen: list[Ruling] = []
    for ruling in rulings:
        rows = ceil(len(ruling.text) / _ROW)
        if stage in label_for("topic", ruling.topic).short and taken + rows <= SHORT_ROWS:
            chosen.append(ruling)
            taken += rows
    return chosen, len(chosen) < len(rulings)


def _rulings(rulings: Sequence[Ruling], notes: Footnotes) -> list[Line]:
    lines = []
    before = ""
    for ruling in rulings:
        label = label_for("topic", ruling.topic).text
        shown = "" if label == before else label
        lines.append(Line("ruling", ruling.text, shown, notes.marks(ruling.sources)))
        before = label
    return lines
