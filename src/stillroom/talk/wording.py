"""An answer in words: lines with a role each, the most useful first; no terminal here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from stillroom.base.fact import Caution, Number, Ruling
from stillroom.base.quantity import show
from stillroom.talk.answer import Answer
from stillroom.talk.echo import echo_lines
from stillroom.talk.labels import label_for

SHORT_ECHO = 8
SHORT_SOURCES = 2
HEADLINE_FIGURES = ("dry_mass", "end_mass", "drying_time", "water_removed", "tray_count",
                    "remaining_time", "brine_volume", "jar_count", "mix_volume",
                    "soak_water_volume", "soak_time")  # fmt: skip
_PERCENT = frozenset({"air_humidity", "end_moisture", "present_moisture", "jar_acidity",
                      "jar_salt"})  # fmt: skip


@dataclass(frozen=True)
class Line:
    """One paragraph of an answer.

    Args:
        role: stop, reply, echo, head, figure, ruling, caution, note, question, kept, hint, source.
        text: the words.
        label: what stands in front, for figures and rulings.
        marks: numbers of the sources it rests on, as listed at the end.
    """

    role: str
    text: str
    label: str = ""
    marks: tuple[int, ...] = ()


@dataclass
class Footnotes:
    """Numbers the sources in the order in which they are first used."""

    titles: Mapping[str, str]
    most: int = 99
    seen: list[str] = field(default_factory=list)

    def marks(self, sources: Iterable[str]) -> tuple[int, ...]:
        """The number of each source, new ones numbered on; at most ``most`` of them."""
        sources = tuple(dict.fromkeys(sources))[: self.most]
        for source in sources:
            if source not in self.seen:
                self.seen.append(source)
        return tuple(sorted(self.seen.index(source) + 1 for source in sources))

    def lines(self) -> list[Line]:
        """The list of sources."""
        return [
            Line("source", self.titles.get(source, source), f"[{number}]")
            for number, source in enumerate(self.seen, start=1)
        ]


def figure_text(number: Number, measure: str) -> str:
    """A computed figure with its range: the likely value first."""
    if number.name in _PERCENT:
        low, likely, high = (f"{value * 100:.0f} %" for value in
                             (number.low, number.likely, number.high))  # fmt: skip
    elif number.unit == "count":
        low, likely, high = (f"{value:.0f}" for value in (number.low, number.likely, number.high))
    else:
        likely = show(number.likely, number.unit, measure)
        low = show(number.low, number.unit, measure, both=False)
        high = show(number.high, number.unit, measure, both=False)
    if low == high:
        return likely
    return f"{likely}; {_between(low, high)}"


def _between(low: str, high: str) -> str:
    """Join two figures; a unit they share is said once."""
    first, _, unit = low.rpartition(" ")
    if first and high.endswith(f" {unit}"):
        low = first
    return f"{low} to {high}"


def answer_lines(
    answer: Answer, titles: Mapping[str, str], *, more: bool = False, sources: bool = False
) -> list[Line]:
    """Every line of an answer, the gravest and most useful first.

    Args:
        answer: the answer.
        titles: source id to its title.
        more: every ruling, figure and source instead of the short form.
        sources: list the sources at the end, also in the short form.
    """
    notes = Footnotes(titles, 99 if more else SHORT_SOURCES)
    lines = [_caution_line(c, notes) for c in answer.advice.cautions if c.severity == "stop"]
    for reply in answer.replies:
        lines.append(Line("reply", reply.text, marks=notes.marks(reply.sources)))
        lines += [Line("detail", text) for text in reply.detail]
    lines += _echo(answer, more)
    lines += [Line("kept", text) for text in answer.kept]
    for batch in _batches(answer):
        lines += _batch_lines(answer, batch, notes, more)
    lines += [_caution_line(c, notes) for c in answer.advice.cautions if c.severity != "stop"]
    if answer.question:
        lines.append(Line("question", answer.question))
    if more or sources:
        lines += notes.lines()
    return lines


def _caution_line(caution: Caution, notes: Footnotes) -> Line:
    return Line(caution.severity, caution.text, marks=notes.marks(caution.sources))


def _echo(answer: Answer, more: bool) -> Iterable[Line]:
    said = [item for item in answer.reading.statements if item.act != "ask"]
    found = echo_lines(said, answer.names, answer.measure)
    found += [
        f"I took “{heard}” as {taken}."
        for item in answer.reading.statements
        if item.act == "ask"
        for heard, taken in item.guesses
    ]
    shown = found if more or len(found) <= SHORT_ECHO else found[: SHORT_ECHO - 1]
    for text in shown:
        yield Line("echo", text)
    if len(shown) < len(found):
        yield Line("echo", f"and {len(found) - len(shown)} more; say “tell me more” to see all.")
    unread = answer.reading.unread
    if unread:
        quoted = ", ".join(f"“{words}”" for words in unread[:6])
        yield Line("unread", f"Not understood: {quoted}" + (" …" if len(unread) > 6 else ""))


def _batches(answer: Answer) -> list[str | None]:
    named = [item.batch for item in answer.reading.statements]
    named += [ruling.batch for ruling in answer.advice.rulings]
    named += [number.batch for number in answer.numbers]
    return list(dict.fromkeys(named))


def _batch_lines(answer: Answer, batch: str | None, notes: Footnotes, more: bool) -> Iterable[Line]:
    figures = [n for n in answer.numbers if n.batch == batch]
    rulings = [r for r in answer.advice.rulings if r.batch == batch]
    if not figures and not rulings:
        return
    if len(_batches(answer)) > 1:
        yield Line("head", _batch_name(answer, batch))
    yield from _figures(figures, answer.measure, notes, more)
    yield from _rulings(_shown(rulings, answer, batch, more), notes)


def _batch_name(answer: Answer, batch: str | None) -> str:
    for item in answer.reading.statements:
        if batch and item.batch == batch and item.food:
            return f"{answer.names.get(item.food, item.food).capitalize()} ({batch})"
    return batch or "Kitchen"


def _figures(
    figures: Sequence[Number], measure: str, notes: Footnotes, more: bool
) -> Iterable[Line]:
    chosen = [n for n in figures if more or n.name in HEADLINE_FIGURES]
    for number in sorted(chosen, key=lambda n: label_for("figure", n.name).order):
        text = figure_text(number, measure)
        if more and number.driver:
            text += f" ({number.driver})"
        yield Line("figure", text, label_for("figure", number.name).text,
                   notes.marks(number.sources))  # fmt: skip


def _shown(
    rulings: Sequence[Ruling], answer: Answer, batch: str | None, more: bool
) -> list[Ruling]:
    """The rulings to show, in the order of the work; the short form keeps the first of a topic."""
    allowed = None if answer.topics is None else answer.topics.get(batch)
    chosen = [r for r in rulings if more or allowed is None or r.topic in allowed]
    chosen.sort(key=lambda r: (label_for("topic", r.topic).order, r.priority, r.rule))
    if more:
        return chosen
    first: dict[str, Ruling] = {}
    for ruling in chosen:
        first.setdefault(ruling.topic, ruling)
    return list(first.values())


def _rulings(rulings: Sequence[Ruling], notes: Footnotes) -> Iterable[Line]:
    before = ""
    for ruling in rulings:
        label = label_for("topic", ruling.topic).text
        yield Line("ruling", ruling.text, "" if label == before else label,
                   notes.marks(ruling.sources))  # fmt: skip
        before = label
