"""A drying curve asked for in plain words: "show me the curve", "plot the plums"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any

from stillroom.base.problem import ProblemError
from stillroom.base.wrap import has_words
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.phrases import parts

if TYPE_CHECKING:
    from stillroom.talk.session import Session

CURVE = "curve"
"""What such a reply is about."""
_PICTURE = r"(?:(?:drying|weight|moisture) )?(?:curves?|graphs?|plots?|charts?|diagrams?)"
_WORDS = ("curve", "graph", "plot", "chart", "diagram", "draw")


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str]]:
    """What asks for a curve, and what only sounds like it; made when a note may need them."""
    asked = re.compile(
        rf"\b(?:show|see|draw|plot|graph|chart|give|print|sketch|have|want|look at|bring up)\b"
        rf"[^.?!;]*\b{_PICTURE}\b"
        rf"|^\W*(?:(?:please|now|ok|okay|can|could|would|will|you) )*(?:plot|graph|chart|draw)\b"
        rf"|\b(?:what|how|where)\b[^.?!;]*\b(?:drying )?curve\b"
        rf"|^\W*(?:the |my )?(?:drying )?curve\b",
        re.IGNORECASE,
    )
    other = re.compile(
        r"\b(?:garden|plot of|seating|price|on the plot|the plot (?:behind|by|at))\b", re.I
    )
    return asked, other


def curve_asked(note: str) -> str:
    """The part of a note that asks for a drying curve; empty when none does.

    >>> curve_asked("The plums weigh 2 kg. Show me the curve")
    'Show me the curve'
    >>> curve_asked("plot the plums")
    'plot the plums'
    >>> curve_asked("picked 2 kg of plums from the lower plot")
    ''
    """
    low = note.lower()
    if not any(word in low for word in _WORDS):
        return ""
    asked, other = _patterns()
    return next((p for p in parts(note) if asked.search(p) and not other.search(p)), "")


def curve_reply(session: Session, answer: Answer, asked: str) -> Reply:
    """The curve of the batch meant, or a sentence on why there is none."""
    from stillroom.talk.curve import curve_of

    every = session.journal.store.batches(open_only=False)
    name = _batch_meant(session, answer, asked, every)
    if name is None:
        return Reply(
            "I can draw the curve once a batch has been on the trays: say what went in, and weigh "
            "it now and then.", CURVE,
        )  # fmt: skip
    said = session.memory.answer is not None
    try:
        curve = curve_of(session, name, answer.measure if said else None)
    except ProblemError as error:
        return Reply(" ".join(f"{p.text} {p.remedy}".strip() for p in error.problems), CURVE,
                     name)  # fmt: skip
    food = session.names.get(str(every[name]["food"]), "batch")
    return Reply(f"The drying curve of the {food}, {name}.", CURVE, name, curve=curve)


def _batch_meant(
    session: Session, answer: Answer, asked: str, every: Mapping[str, Mapping[str, Any]]
) -> str | None:
    """The batch named, else the newest loaded one of the food named or last spoken of."""
    for name in every:
        if re.search(rf"\b{re.escape(name)}\b", asked, re.IGNORECASE):
            return name
    loaded = sorted(
        (batch for batch in every.values() if batch["loaded"]), key=lambda b: str(b["loaded"])
    )
    named = _foods_named(session, asked)
    if named:
        own = [str(b["name"]) for b in every.values() if b["food"] in named]
        hot = [str(b["name"]) for b in loaded if b["food"] in named]
        return next(reversed(hot or own), None)
    said = [item.batch for item in answer.reading.statements if item.batch]
    spoken = session.memory.foods[:1]
    near = [str(b["name"]) for b in loaded if b["name"] in said]
    near = near or [str(b["name"]) for b in loaded if b["food"] in spoken]
    drying = [str(b["name"]) for b in loaded if b["stage"] == "drying"]
    return next(reversed(near or drying or [str(b["name"]) for b in loaded]), None)


def _foods_named(session: Session, asked: str) -> Sequence[str]:
    low = re.sub(r"[^\w\s'-]", " ", asked.lower())
    return [food.id for food in session.tables.foods.values() if has_words(low, food.words)]
