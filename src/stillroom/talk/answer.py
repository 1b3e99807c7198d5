"""One answer: what was read, what the rules and the sums say, and its JSON form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from stillroom.base.fact import Advice, Caution, Number, Ruling
from stillroom.base.statement import Reading

if TYPE_CHECKING:
    from stillroom.outputs.plots import DryingCurve

SCHEMA = 1


REQUESTS = ("curve", "paper", "meaning", "conversion")
"""What replies to requests that are no question of a food are about (see requests.py)."""
_OF_THEMSELVES = (*REQUESTS, "unknown-food")
"""Replies to a note without statements that was read all the same."""
_CHAT = frozenset({"thanks", "greeting", "bye", "help"})


@dataclass(frozen=True)
class Reply:
    """The direct answer to one thing asked: a sentence first, then what it rests on.

    ``curve`` is a drying curve to draw under it, as wide as the screen.
    """

    text: str
    about: str
    batch: str | None = None
    detail: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    curve: DryingCurve | None = None


@dataclass(frozen=True)
class Answer:
    """Everything that one note brought.

    Args:
        reading: the note read, statements with their batches.
        advice: rulings, cautions, the trace of the rules.
        numbers: computed figures.
        replies: direct answers to what was asked, in the order asked.
        kept: lines on what the journal did with the note.
        question: the one thing to ask back.
        wants: the slot that the question asks for.
        wants_batch: the batch that the question is about.
        measure: the measure to show figures in.
        names: food id to the name on the screen.
        topics: the topics to show by batch; None shows all.
        guesses: first guesses by batch and figure, for the journal.
    """

    reading: Reading
    advice: Advice = field(default_factory=Advice)
    numbers: tuple[Number, ...] = ()
    replies: tuple[Reply, ...] = ()
    kept: tuple[str, ...] = ()
    question: str = ""
    wants: str | None = None
    wants_batch: str | None = None
    measure: str = "us"
    names: Mapping[str, str] = field(default_factory=dict)
    topics: Mapping[str | None, frozenset[str]] | None = None
    guesses: Mapping[str, Mapping[str, tuple[float, float, float]]] = field(default_factory=dict)

    @property
    def stopped(self) -> bool:
        """Whether the note asks for something that must be stopped."""
        return any(caution.severity == "stop" for caution in self.advice.cautions)

    @property
    def lost(self) -> bool:
        """Whether nothing at all was read in the note, small talk apart."""
        reading = self.reading
        said = bool(
            any(reply.about in _OF_THEMSELVES for reply in self.replies)
            or reading.statements
            or reading.doubts
            or self.advice.cautions
            or self.kept
        )
        said = said or any(r.rule.startswith(("trouble.", "sums.")) for r in self.advice.rulings)
        return not said and reading.chat not in _CHAT

    @property
    def unread(self) -> tuple[str, ...]:
        """The words that were not understood; of a note that gave nothing, the note."""
        if any(reply.about in _OF_THEMSELVES for reply in self.replies):
            return ()
        whole = (self.reading.note,) if self.lost and self.reading.note.strip() else ()
        return self.reading.unread or whole

    def as_json(self) -> dict[str, Any]:
        """The object of `tell --json`."""
        return {
            "schema": SCHEMA,
            "statements": [statement.as_json() for statement in self.reading.statements],
            "rulings": [_ruling(ruling) for ruling in self.advice.rulings],
            "numbers": [_number(number) for number in self.numbers],
            "cautions": [_caution(caution) for caution in self.advice.cautions],
            "replies": [
                {"about": reply.about, "batch": reply.batch, "text": reply.text,
                 "detail": list(reply.detail), "sources": list(reply.sources)}
                for reply in self.replies
            ],
            "question": self.question,
            "unread": list(self.unread),
            "problems": [str(problem) for problem in self.advice.problems],
            "doubts": [
                {"heard": heard, "perhaps": list(foods)} for heard, foods in self.reading.doubts
            ],
        }  # fmt: skip


def merged_json(answers: list[Answer]) -> dict[str, Any]:
    """One object for a transcript that was split into several notes."""
    whole = answers[0].as_json() if answers else Answer(Reading("")).as_json()
    for answer in answers[1:]:
        part = answer.as_json()
        for key, value in part.items():
            if isinstance(value, list):
                whole[key] += [item for item in value if item not in whole[key]]
            elif key == "question" and not whole[key]:
                whole[key] = value
    return whole


def _ruling(ruling: Ruling) -> dict[str, Any]:
    value = round(ruling.value, 4) if isinstance(ruling.value, float) else ruling.value
    return {
        "topic": ruling.topic, "batch": ruling.batch, "value": value, "unit": ruling.unit,
        "text": ruling.text, "why": ruling.why, "rule": ruling.rule,
        "sources": list(ruling.sources), "because": list(ruling.because),
    }  # fmt: skip


def _caution(caution: Caution) -> dict[str, Any]:
    return {
        "severity": caution.severity, "hazard": caution.hazard, "text": caution.text,
        "why": caution.why, "batch": caution.batch, "rule": caution.rule,
        "sources": list(caution.sources), "because": list(caution.because),
    }  # fmt: skip


def _number(number: Number) -> dict[str, Any]:
    return {
        "name": number.name, "batch": number.batch, "low": round(number.low, 4),
        "likely": round(number.likely, 4), "high": round(number.high, 4), "unit": number.unit,
        "assumes": list(number.assumes), "driver": number.driver,
        "sources": list(number.sources), "because": list(number.because),
    }  # fmt: skip
